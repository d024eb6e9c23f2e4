"""The grades of the days after longer work, beside those after shorter work or none in the same fortnight.

Not a cause: an owner works a horse less on a bad day, and that alone makes longer work look kinder than it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import fmean, median
from typing import NamedTuple

from tracker.derive.progress.days import READING_SD, Day, days_of
from tracker.derive.soundness import Series
from tracker.derive.statistics.interval import Estimate, mean
from tracker.derive.work.sessions import Session, total

# All our own choices. A fortnight is short beside what changes slowly (season, trim, ground, the plan), and long
# enough to hold both longer and shorter days.
AFTER = (1, 2)
_BACK = [timedelta(days=days) for days in AFTER]
FORTNIGHT = 14
LEAST_EACH = 2
LEAST_FORTNIGHTS = 6
LEAST_SESSIONS = 20


@dataclass(frozen=True, slots=True)
class Response:
    """The grade after longer work less that after shorter work or none, the mean of `fortnights`.

    Above 0 the horse was lamer after longer work. `longer` and `shorter` count the graded days on either side,
    `sessions` the days of work they followed.
    """

    series: Series
    difference: Estimate
    longer: int
    shorter: int
    sessions: int
    first: date
    last: date

    @property
    def fortnights(self) -> int:
        """How many fortnights held enough of both."""
        return self.difference.count


class _Graded(NamedTuple):
    """A graded day, and the minutes of the longer of the two days before it; the days of work among those."""

    day: date
    grade: float
    minutes: float
    worked: frozenset[date]


def response(series: Iterable[Series], noted: Mapping[date, Sequence[Session]], on: date) -> Response | None:
    """Compare for that of the series which allows most fortnights; None where none allows enough.

    Each graded day counts once, by the longer work of the two days before it; grades under pain relief, and
    days after work whose minutes are not known, are left out. Longer is at least the middle one of a fortnight's
    worked days. Each fortnight gives one difference, and Student's t of 95 % over them holds however much
    neighbouring days resemble each other.
    """
    worked = {
        day: own for day, sessions in noted.items() if (own := [one for one in sessions if one.is_work])
    }
    if len(worked) < LEAST_SESSIONS:
        return None
    minutes = {day: total(own) for day, own in worked.items()}
    enough = LEAST_FORTNIGHTS * 2 * LEAST_EACH
    before = _Before(minutes)
    found = [told for one in series if len(one.points) >= enough and (told := _of(one, before, on))]
    return max(found, key=lambda one: (one.fortnights, one.longer + one.shorter), default=None)


class _Before(dict[date, tuple[float, frozenset[date]] | None]):
    """Of the two days before a day: the minutes of the longer, and which of them were worked; None if not known."""

    def __init__(self, minutes: Mapping[date, float | None]) -> None:
        self.minutes = minutes

    def __missing__(self, day: date) -> tuple[float, frozenset[date]] | None:
        had = {day - back: self.minutes.get(day - back, 0.0) for back in _BACK}
        known = {past: minutes for past, minutes in had.items() if minutes is not None}
        worked = frozenset(past for past, minutes in known.items() if minutes)
        self[day] = (max(known.values()), worked) if len(known) == len(had) else None
        return self[day]


def _of(series: Series, before: _Before, on: date) -> Response | None:
    days = days_of(series, last=on)
    sides: dict[int, tuple[list[_Graded], list[_Graded]]] = {}
    for number, graded in _by_fortnight(days, before).items():
        longer, shorter = _parted(graded)
        if min(len(longer), len(shorter)) >= LEAST_EACH:
            sides[number] = longer, shorter
    sessions = {day for pair in sides.values() for side in pair for one in side for day in one.worked}
    if len(sides) < LEAST_FORTNIGHTS or len(sessions) < LEAST_SESSIONS:
        return None
    used = [one.day for pair in sides.values() for side in pair for one in side]
    moved = [
        fmean(one.grade for one in long) - fmean(one.grade for one in short) for long, short in sides.values()
    ]
    difference = mean(moved, least_sd=READING_SD)
    assert difference is not None
    return Response(
        series=series,
        difference=difference,
        longer=sum(len(long) for long, _ in sides.values()),
        shorter=sum(len(short) for _, short in sides.values()),
        sessions=len(sessions),
        first=min(used),
        last=max(used),
    )


def _by_fortnight(days: Sequence[Day], before: _Before) -> dict[int, list[_Graded]]:
    """The graded days of each fortnight. Fortnights stand fast, so that a new note never moves an old one."""
    found: dict[int, list[_Graded]] = {}
    for day in days:
        if known := before[day.date]:
            graded = _Graded(day.date, day.grade, *known)
            found.setdefault(day.date.toordinal() // FORTNIGHT, []).append(graded)
    return found


def _parted(graded: Sequence[_Graded]) -> tuple[list[_Graded], list[_Graded]]:
    """The days after longer work, and the others."""
    middle = median([one.minutes for one in graded if one.minutes] or [0.0])
    longer = [one for one in graded if one.minutes and one.minutes >= middle]
    return longer, [one for one in graded if not one.minutes or one.minutes < middle]
