"""The letters about the horses of the sample workbooks, word by word: what changes in them is to be looked at.

`python tests/test_show_letter_kept.py` writes them anew.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from letters import ON, SAMPLES, everything

from tracker.book import open_book
from tracker.show.letter.letter import letter_of

KEPT = Path(__file__).with_name("kept_letters")
NAMES = ("a-first-week", "a-year-barefoot", "a-yard-of-six", "thirty-mistakes")


def letters(name: str) -> str:
    """The letters about every horse of a sample workbook."""
    book = open_book(SAMPLES / f"{name}.xlsx", on=ON)
    return "\n\n\n".join(everything(letter_of(book, horse)) for horse in book.horses) + "\n"


@pytest.mark.parametrize("name", NAMES)
def test_the_letters_are_as_they_were_looked_at(name: str) -> None:
    assert letters(name) == (KEPT / f"{name}.txt").read_text("utf-8")


if __name__ == "__main__":
    KEPT.mkdir(exist_ok=True)
    for each in NAMES:
        (KEPT / f"{each}.txt").write_text(letters(each), "utf-8")
