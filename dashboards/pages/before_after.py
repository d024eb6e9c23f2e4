"""Before and after: two photographs of one foot, level and to one scale, and both outlines over each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, unquote

from dash import dcc, html

from dashboards.parts import Page, drawing, lead, table
from tracker import Book, Marking, Seen, markings_of
from tracker.show import words
from tracker.show.before_after import (
    ERROR_HOLDS,
    LINES_BY_NUMBER,
    ChangeRow,
    Occasion,
    baseline,
    change_rows,
    occasion,
    outlines,
    shoes_off,
    when,
)
from tracker.show.marking import foot_of

PATH = "/before-after"
_TURNED = (
    " The toe points {} here, in the other photograph the other way: one shows the outer side of the foot and "
    "the other the inner, unless a picture is mirrored."
)
_CAUTION = (
    "From photographs: provisional until somebody has checked the live foot. "
    "Between two trims growth alone lowers the angles, so compare photographs of the same stage."
)


@dataclass(frozen=True, slots=True)
class Day:
    """One marked photograph, and when it was taken."""

    marking: Marking
    when: Occasion

    @property
    def part(self) -> str:
        """Its part of an address: the photograph and the foot."""
        return f"{quote(self.marking.photo, safe='')}/{quote(self.marking.foot, safe='')}"


def is_before_after(path: str) -> bool:
    """Whether an address is one of this page's."""
    return path.startswith(f"{PATH}/")


def days_of(book: Book) -> list[list[Day]]:
    """The marked photographs from the side, by horse and foot, those of one foot by day and stage.

    One without a day, or of no foot, cannot be set before or after another.
    """
    groups: dict[tuple[str, str], list[Day]] = {}
    for marking in markings_of(book):
        taken = occasion(marking.foot, marking.date, marking.stage)
        if marking.view == "side" and taken:
            groups.setdefault((marking.horse.casefold(), marking.foot), []).append(Day(marking, taken))
    return [sorted(group, key=lambda day: day.when.place) for group in groups.values()]


def pairs_in(book: Book) -> list[html.Li]:
    """Links for each foot: the first since the shoes came off and the latest, and the latest day's own two stages."""
    groups = days_of(book)
    return [
        html.Li(dcc.Link(_said(before, after, book), href=href_of(before, after, groups)))
        for group in groups
        for before, after in _offered(group, book)
    ]


def _offered(group: Sequence[Day], book: Book) -> list[tuple[Day, Day]]:
    latest = group[-1]
    off = shoes_off(book, latest.marking.horse, latest.marking.foot)
    first = baseline([day.when for day in group], latest.when, off)
    earlier = [day for day in group if day.when.place < latest.when.place]
    found = [day for day in earlier if day.when == first][:1]
    found += [day for day in earlier[-1:] if day.when.day == latest.when.day and day not in found]
    return [(day, latest) for day in found]


def href_of(before: Day, after: Day, groups: Sequence[Sequence[Day]]) -> str:
    """The address of two markings; the horse's name ends it where another horse has the same foot on a photograph."""
    path = f"{PATH}/{before.part}/{after.part}"
    several = sum(1 for group in groups if _pair(group, path)) > 1
    return f"{path}/{quote(after.marking.horse, safe='')}" if several else path


def _said(before: Day, after: Day, book: Book) -> str:
    horse = f"{after.marking.horse}, " if len(book.horses) > 1 and after.marking.horse else ""
    days = f"{when(before.when, after.when)} and {when(after.when, before.when)}"
    return f"{horse}{foot_of(after.marking.foot)}: {days}"


def chosen(book: Book, path: str) -> tuple[Day, Day] | None:
    """The two markings of an address, of one foot, the earlier first; None where there are none.

    An address that names no horse means the first that has the foot on both photographs.
    """
    found = (pair for group in days_of(book) if (pair := _pair(group, path)))
    return next(found, None)


def _pair(group: Sequence[Day], path: str) -> tuple[Day, Day] | None:
    """The two markings of an address, where they are of this foot of this horse."""
    parts = [unquote(part) for part in path.removeprefix(f"{PATH}/").split("/")]
    horse = [group[0].marking.horse.casefold()]
    if len(parts) < 4 or [part.casefold() for part in parts[4:]] not in ([], horse):
        return None
    known = {(day.marking.photo, day.marking.foot): day for day in group}
    found = [known[each] for each in ((parts[0], parts[1]), (parts[2], parts[3])) if each in known]
    if len(found) != 2 or found[0] is found[1]:
        return None
    before, after = sorted(found, key=lambda day: day.when.place)
    return before, after


def layout(book: Book, days: tuple[Day, Day], seen: tuple[Seen, Seen]) -> Page:
    """Both pictures, both outlines, and every difference with its error."""
    before, after = days
    told = (when(before.when, after.when), when(after.when, before.when))
    marked = (before.marking.points, after.marking.points)
    svg, alt = outlines(after.marking.foot, seen[0], seen[1], told, marked)
    rows = change_rows(seen[0], seen[1], before.when.day)
    figures = [_picture(*each) for each in zip(days, seen, told, _facing(seen), strict=True)]
    return Page(
        "Before and after",
        [
            lead(_said(before, after, book)),
            html.Div(figures, className="pair"),
            html.Section([html.H2("One over the other"), drawing(svg, alt)], className="over"),
            html.Section([html.H2("What changed"), _changes(rows), *_by_number(rows)]),
            html.P([_CAUTION, " ", ERROR_HOLDS], className="small caution"),
            *_others(book, after),
        ],
    )


def _facing(seen: tuple[Seen, Seen]) -> tuple[str, str]:
    """Which way each foot points, where the two point different ways."""
    right = [each.plane.toe_right if each.plane else None for each in seen]
    if None in right or right[0] == right[1]:
        return "", ""
    first, last = (_TURNED.format("right" if each else "left") for each in right)
    return first, last


def _picture(day: Day, seen: Seen, told: str, facing: str) -> html.Figure:
    name = quote(day.marking.photo, safe="")
    level = seen.plane is not None and seen.plane.sized
    source = (
        f"/levelled/side/{day.marking.foot}/{name}?horse={quote(day.marking.horse, safe='')}"
        if level
        else f"/photo/{name}?side=1200"
    )
    stage = f" ({day.when.stage})" if day.when.stage else ""
    unsized = "" if level else " Not to scale: the picture has no ground line, or no card and no scale."
    caption = html.Figcaption(f"{words.day(day.when.day)}{stage}.{facing}{unsized}")
    return html.Figure([html.Img(src=source, alt=f"The foot on {told}"), caption])


def _changes(rows: Sequence[ChangeRow]) -> Any:
    if not rows:
        return html.P("Nothing is measured in both photographs.")
    lines = [
        (row.name, row.before, row.after, html.B(row.moved) if row.beyond_error else row.moved, row.told)
        for row in rows
    ]
    return table(("Measure", "Before", "After", "Change", "Against the error"), lines, "Changes", "cards")


def _by_number(rows: Sequence[ChangeRow]) -> list[Any]:
    lines = any(row.name.startswith("Line ") for row in rows)
    return [html.P(LINES_BY_NUMBER, className="small")] if lines else []


def _others(book: Book, after: Day) -> list[Any]:
    groups = days_of(book)
    group = next((group for group in groups if after in group), [])
    links = [
        html.Li(dcc.Link(_said(one, other, book), href=href_of(one, other, groups)))
        for index, one in enumerate(group)
        for other in group[index + 1 :]
        if one.when.place < other.when.place
    ]
    return [html.Section([html.H2("Other days and stages"), html.Ul(links)])] if len(links) > 1 else []
