"""The scores of a horse that may be watched together: seen the same way; a look that does not say how falls back.

A blank gait, ground or line counts as that of the horse's usual check: of those that say most of how it was
looked at, the one noted most often by then.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tracker.cells.text import fold
from tracker.derive.soundness import Point, Series
from tracker.terms import FEET, LIMB_GROUPS, SCALES

WORST = "worst limb"
LEAST = 5
"""Scores of a series that is watched."""
_RARE = 10
"""A look noted so many times less often than the most noted is never the usual. Our own choice."""


@dataclass(frozen=True, slots=True)
class Comparable:
    """One series to watch; `limbs` are watched beside each other; of its rows `assumed` the look was filled in."""

    series: Series
    limbs: int
    assumed: tuple[int, ...]


def comparable(series: Sequence[Series]) -> list[Comparable]:
    """What is to be watched of one horse, of each way of looking: its worst limb of each day, and each limb."""
    found = []
    for alike, assumed in _filled(series):
        limbs = [one for one in (_limb(alike, foot) for foot in FEET) if one]
        watched = [one for one in (_worst(alike), *limbs) if len(one.points) >= LEAST]
        alone = len(limbs) == 1 and len(watched) == 2 and _looks(watched[0]) == _looks(watched[1])
        if alone:  # nothing but this limb was ever graded
            watched = watched[1:]
        found += [Comparable(one, max(len(watched) - 1, 1), _own(one, assumed)) for one in watched]
    return found


def _looks(series: Series) -> set[tuple[dt.date, str]]:
    return {(point.date, fold(point.seen_by)) for point in series.points}


def _own(series: Series, rows: tuple[int, ...]) -> tuple[int, ...]:
    own = {point.row for point in series.points}
    return tuple(row for row in rows if row in own)


def _limb(alike: Sequence[Series], foot: str) -> Series | None:
    """What was graded of one limb: by itself, with others, or a 0 that names none; None where never by name."""
    own = [one for one in alike if foot in LIMB_GROUPS.get(one.limb, (one.limb,))]
    if not own:
        return None
    zeros = [point for one in alike if not one.limb for point in one.points if point.score == 0]
    points = [*(point for one in own for point in one.points), *zeros]
    return replace(alike[0], limb=foot, points=tuple(sorted(points, key=_order)))


def _worst(alike: Sequence[Series]) -> Series:
    """The worst limb of each day, for each who looked."""
    worst: dict[tuple[dt.date, str], Point] = {}
    for point in sorted((point for one in alike for point in one.points), key=lambda point: point.score):
        worst[point.date, fold(point.seen_by)] = point
    return replace(alike[0], limb=WORST, points=tuple(sorted(worst.values(), key=_order)))


def _order(point: Point) -> tuple[dt.date, int]:
    return point.date, point.row


def _filled(series: Sequence[Series]) -> Iterator[tuple[list[Series], tuple[int, ...]]]:
    """The series of each way of looking, those that do not say it among the usual."""
    for scale in sorted({one.scale for one in series} & SCALES.keys()):
        of_scale = [one for one in series if one.scale == scale]
        usual = _usual(of_scale)
        groups: dict[tuple[str, str, str], dict[str, list[Point]]] = {}
        assumed: dict[tuple[str, str, str], list[int]] = {}
        for one in of_scale:
            way = _way(one, usual)
            groups.setdefault(way, {}).setdefault(one.limb, []).extend(one.points)
            if way != _said(one):
                assumed.setdefault(way, []).extend(point.row for point in one.points)
        for way, limbs in groups.items():
            alike = [
                Series(
                    of_scale[0].horse,
                    scale,
                    way[0],
                    way[1],
                    limb,
                    tuple(sorted(points, key=_order)),
                    way[2],
                )
                for limb, points in limbs.items()
            ]
            yield alike, tuple(sorted(assumed.get(way, ())))


def _said(series: Series) -> tuple[str, str, str]:
    return series.gait, series.ground, series.line


def _usual(series: Sequence[Series]) -> tuple[str, str, str]:
    """Of the ways that are not rare, those that say most of how; of these the one noted most often."""
    counts: Counter[tuple[str, str, str]] = Counter()
    for one in series:
        counts[_said(one)] += len(one.points)
    often = [way for way in counts if counts[way] * _RARE >= max(counts.values())]
    return max(often, key=lambda way: (len([*filter(None, way)]), counts[way], way))


def _way(series: Series, usual: tuple[str, str, str]) -> tuple[str, str, str]:
    """How a series was looked at; the usual way where it says nothing against it."""
    said = _said(series)
    agrees = all(not mine or mine == its for mine, its in zip(said, usual, strict=True))
    return usual if agrees else said
