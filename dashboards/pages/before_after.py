"""Before and after: two photographs of one foot, level and to one scale, and both outlines over each other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from dash import dcc, html

from dashboards.parts import Page, drawing, lead, table
from tracker import Book, Marking, Seen, markings_of
from tracker.show import words
from tracker.show.before_after import ChangeRow, change_rows, outlines
from tracker.show.marking import foot_of

PATH = "/before-after"
_CAUTION = (
    "From photographs: provisional until somebody has checked the live foot. "
    "Between two trims growth alone lowers the angles, so compare photographs of the same stage."
)


@dataclass(frozen=True, slots=True)
class Day:
    """One marked photograph, with its place among all markings."""

    number: int
    marking: Marking

    @property
    def date(self) -> dt.date:
        """The day of the picture."""
        return dt.date.fromisoformat(self.marking.date)


def is_before_after(path: str) -> bool:
    """Whether an address is one of this page's."""
    return path.startswith(f"{PATH}/")


def days_of(book: Book) -> list[list[Day]]:
    """The marked photographs from the side, by horse and foot, those of one foot by their day."""
    groups: dict[tuple[str, str], list[Day]] = {}
    for number, marking in enumerate(markings_of(book)):
        if marking.view == "side" and marking.date:
            groups.setdefault((marking.horse, marking.foot), []).append(Day(number, marking))
    return [sorted(group, key=lambda day: day.marking.date) for group in groups.values()]


def pairs_in(book: Book) -> list[html.Li]:
    """A link for each foot with photographs of two days: the first and the latest."""
    return [
        html.Li(dcc.Link(_said(group[0], group[-1], book), href=href_of(group[0], group[-1])))
        for group in days_of(book)
        if group[0].marking.date < group[-1].marking.date
    ]


def href_of(before: Day, after: Day) -> str:
    """The address of two markings."""
    return f"{PATH}/{before.number}/{after.number}"


def _said(before: Day, after: Day, book: Book) -> str:
    horse = f"{after.marking.horse}, " if len(book.horses) > 1 and after.marking.horse else ""
    return f"{horse}{foot_of(after.marking.foot)}: {words.day(before.date)} and {words.day(after.date)}"


def chosen(book: Book, path: str) -> tuple[Day, Day] | None:
    """The two markings of an address, of one foot; None where there are none."""
    numbers = path.removeprefix(f"{PATH}/").split("/")
    if len(numbers) != 2 or not all(number.isascii() and number.isdigit() for number in numbers):
        return None
    known = {day.number: (group, day) for group in days_of(book) for day in group}
    found = [known.get(int(number)) for number in numbers]
    if not all(found):
        return None
    (group, before), (other, after) = (each for each in found if each)
    return (before, after) if group is other else None


def layout(book: Book, days: tuple[Day, Day], seen: tuple[Seen, Seen]) -> Page:
    """Both pictures, both outlines, and every difference with its error."""
    before, after = days
    svg, alt = outlines(after.marking.foot, seen[0], seen[1], (before.date, after.date))
    rows = change_rows(seen[0], seen[1], before.date)
    return Page(
        "Before and after",
        [
            lead(_said(before, after, book)),
            html.Div([_picture(day, each) for day, each in zip(days, seen, strict=True)], className="pair"),
            html.Section([html.H2("One over the other"), drawing(svg, alt)], className="over"),
            html.Section([html.H2("What changed"), _changes(rows)]),
            html.P(_CAUTION, className="small caution"),
            *_others(book, after),
        ],
    )


def _picture(day: Day, seen: Seen) -> html.Figure:
    name = quote(day.marking.photo, safe="")
    level = seen.plane is not None and seen.plane.sized
    source = f"/levelled/{day.number}?of={name}" if level else f"/photo/{name}?side=1200"
    stage = f", {day.marking.stage}" if day.marking.stage else ""
    told = "" if level else " Not to scale: the picture has no ground line, or no card and no scale."
    caption = html.Figcaption(f"{words.day(day.date)}{stage}.{told}")
    return html.Figure([html.Img(src=source, alt=f"The foot on {words.day(day.date)}"), caption])


def _changes(rows: Sequence[ChangeRow]) -> Any:
    if not rows:
        return html.P("Nothing is measured on both days.")
    lines = [
        (row.name, row.before, row.after, html.B(row.moved) if row.beyond_error else row.moved, row.told)
        for row in rows
    ]
    return table(("Measure", "Before", "After", "Change", "Against the error"), lines, "Changes", "cards")


def _others(book: Book, after: Day) -> list[Any]:
    group = next((group for group in days_of(book) if any(day.number == after.number for day in group)), [])
    links = [
        html.Li(dcc.Link(_said(one, other, book), href=href_of(one, other)))
        for index, one in enumerate(group)
        for other in group[index + 1 :]
        if one.marking.date < other.marking.date
    ]
    return [html.Section([html.H2("Other days"), html.Ul(links)])] if len(links) > 1 else []
