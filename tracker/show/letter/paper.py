"""The letter on paper: a PDF that a screen reader can follow."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from tracker.show.letter.blocks import Letter
from tracker.show.pdf import pages_of, pdf_of

_SET_BY = "letter/letter.typ"


def paper(letter: Letter) -> bytes:
    """The letter as a PDF on the paper that was chosen."""
    return pdf_of(_SET_BY, _told(letter), letter.day, paper=letter.paper)


def pages(letter: Letter) -> int:
    """How many pages of the paper that was chosen the letter takes."""
    return pages_of(_SET_BY, _told(letter), paper=letter.paper)


def _told(letter: Letter) -> dict[str, Any]:
    return {**asdict(letter), "day": letter.day.isoformat()}
