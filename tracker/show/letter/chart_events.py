"""Below the grades: abscesses and pain relief as bars, visits as ticks, on the same axis of days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from tracker.sheets import VISITS
from tracker.show import words
from tracker.show.charts.style import PURPLE, VERMILLION
from tracker.show.letter.draft import Draft
from tracker.show.letter.strokes import INK, ROW, SOFT, Axis, Lane, line, mark, row
from tracker.terms import FEET, FOOT_WORDS

_PRODUCTS = 4
_ARROW = 9


@dataclass(frozen=True, slots=True)
class Bar:
    """From a day to a day, None where it goes on; perhaps with a day between that stands out."""

    first: dt.date
    last: dt.date | None
    opened: dt.date | None = None


def days_of(draft: Draft) -> Iterator[dt.date]:
    """The first days of everything that is drawn below the grades."""
    yield from (
        bar.first for bars in (_abscesses(draft), _relief(draft)) for own in bars.values() for bar in own
    )
    yield from (day for own in _visits(draft).values() for day in own)


def event_lanes(draft: Draft, axis: Axis) -> Iterator[Lane]:
    """The lanes that have something to show on that axis."""
    relief = _newest(_on(_relief(draft), axis))
    for title, colour, rows in (
        ("Abscesses", VERMILLION, _on(_abscesses(draft), axis)), ("Pain relief", PURPLE, relief),
    ):  # fmt: skip
        if rows:
            yield Lane(title, ROW * len(rows), partial(_bars, rows=rows, colour=colour, axis=axis))
    visits = {kind: on for kind, days in _visits(draft).items() if (on := [*filter(axis.has, days)])}
    if visits:
        yield Lane("Visits", ROW * len(visits), partial(_ticks, rows=visits, axis=axis))


def not_drawn(draft: Draft, axis: Axis) -> str:
    """What the picture has no room for, in a sentence; "" where there is nothing."""
    more = len(_on(_relief(draft), axis)) - _PRODUCTS
    said = [f"{words.counted(more, 'product')} given longer ago not drawn." if more > 0 else ""]
    if any(day < axis.days.start for day in days_of(draft)):
        said.append(f"What began before {words.day(axis.days.start)} is not drawn, or only from then on.")
    return " ".join(filter(None, said))


def _abscesses(draft: Draft) -> dict[str, list[Bar]]:
    told = [one for one in draft.horse.episodes if draft.tells_of(one.first_seen, one.comfortable)]
    own = {
        FOOT_WORDS[foot]: [
            Bar(one.first_seen, one.comfortable, one.opened) for one in told if one.foot == foot
        ]
        for foot in FEET
    }
    return {foot: bars for foot, bars in own.items() if bars}


def _relief(draft: Draft) -> dict[str, list[Bar]]:
    found: dict[str, list[Bar]] = {}
    for course in draft.horse.courses:
        bar = Bar(course.first.date(), course.last.date() if course.last else None)
        if draft.tells_of(bar.first, bar.last):
            found.setdefault(course.product_class or draft.typed(course.product), []).append(bar)
    return found


def _on(rows: Mapping[str, Sequence[Bar]], axis: Axis) -> dict[str, list[Bar]]:
    """The rows without the bars that were over before the axis begins."""
    kept = {
        name: [bar for bar in bars if bar.last is None or bar.last >= axis.days.start]
        for name, bars in rows.items()
    }
    return {name: bars for name, bars in kept.items() if bars}


def _newest(rows: Mapping[str, list[Bar]]) -> dict[str, list[Bar]]:
    """The products that were given last, the one that is still given before all others."""
    latest = sorted(rows, key=lambda name: max(bar.last or dt.date.max for bar in rows[name]))[-_PRODUCTS:]
    return {name: bars for name, bars in rows.items() if name in latest}


def _visits(draft: Draft) -> dict[str, list[dt.date]]:
    found: dict[str, list[dt.date]] = {"trim": [], "vet": [], "other": []}
    for visit in draft.rows(VISITS.name):
        kind = "vet" if visit.role == "vet" else "trim" if visit.purpose == "trim" else "other"
        found[kind].append(visit.date.date())
    return found


def _bars(y: float, rows: Mapping[str, Sequence[Bar]], colour: str, axis: Axis) -> Iterator[str]:
    for place, (name, bars) in enumerate(rows.items()):
        middle, drawn = row(y, place, name)
        yield from drawn
        for bar in bars:
            yield from _bar(bar, middle, colour, axis)


def _bar(bar: Bar, middle: float, colour: str, axis: Axis) -> Iterator[str]:
    goes_on = bar.last is None or bar.last > axis.days.end
    end = axis.x(axis.days.end if goes_on or bar.last is None else bar.last)
    start = axis.x(max(bar.first, axis.days.start))
    yield (
        f'<rect x="{start:.1f}" y="{middle - 5:.1f}" width="{max(3.0, end - start):.1f}" height="10" '
        f'fill="{colour}" stroke="{INK}" stroke-width="0.6"/>'
    )
    if bar.last is None:
        tip = f"{end:.1f},{middle - 7:.1f} {end + _ARROW:.1f},{middle:.1f} {end:.1f},{middle + 7:.1f}"
        yield f'<polygon points="{tip}" fill="{colour}"/>'
    if bar.opened and axis.has(bar.opened):
        yield mark("stand", axis.x(bar.opened), middle, hollow=True, colour=INK)


def _ticks(y: float, rows: Mapping[str, Sequence[dt.date]], axis: Axis) -> Iterator[str]:
    for place, (kind, days) in enumerate(rows.items()):
        middle, drawn = row(y, place, kind)
        yield from drawn
        for x in map(axis.x, days):
            if kind == "vet":
                yield line(x - 4, middle, x + 4, middle, INK, 2.2)
                yield line(x, middle - 4, x, middle + 4, INK, 2.2)
            else:
                yield line(x, middle - 5, x, middle + 5, INK if kind == "trim" else SOFT, 2)
