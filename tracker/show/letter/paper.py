"""The letter on paper: a PDF that a screen reader can follow."""

from __future__ import annotations

from dataclasses import asdict

from tracker.show.letter.blocks import Letter
from tracker.show.pdf import pdf_of


def paper(letter: Letter) -> bytes:
    """The letter as a PDF on the paper that was chosen."""
    told = {**asdict(letter), "day": letter.day.isoformat()}
    return pdf_of("letter/letter.typ", told, letter.day, paper=letter.paper)
