"""The paper as a PDF: the form for the barn door, the measuring sheet, or both."""

from __future__ import annotations

import datetime as dt
from typing import Any

from tracker.show.paper.card import Card
from tracker.show.paper.daily import daily_pages
from tracker.show.paper.measuring import measuring_pages
from tracker.show.pdf import PAPERS, pdf_of

DAYS = 31


def paper_pdf(
    card: Card,
    made: dt.date,
    *,
    days: int | None = DAYS,
    start: dt.date | None = None,
    measuring: bool = True,
    paper: str = PAPERS[0],
) -> bytes:
    """The daily form for so many days (None: without it), then the measuring sheet where it is wished, as a tagged PDF.

    `start` is the day of the first row; None leaves the dates to be written. `made` is the day the file says it was made.
    Raises ValueError for fewer days than one, where there is nothing to print, and for a paper that is none of `PAPERS`.
    """
    if days is None and not measuring:
        raise ValueError("nothing to print: neither days nor the measuring sheet")
    if days is not None and days < 1:
        raise ValueError(f"days {days}: at least one")
    pages: list[dict[str, Any]] = []
    if days is not None:
        pages += daily_pages(card, days, start)
    if measuring:
        pages += measuring_pages(card)
    return pdf_of("paper/paper.typ", {"title": _title(pages), "pages": pages}, made, paper=paper)


def _title(pages: list[dict[str, Any]]) -> str:
    title, horse = str(pages[0]["title"]), pages[0]["horse"]
    return f"{title}: {horse}" if horse else title
