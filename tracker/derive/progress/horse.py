"""All that is said of one horse's progress."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from tracker.derive.progress.around_trims import AroundTrim, around_trims, together
from tracker.derive.progress.days import counted_from, days_of, only_zeros, with_zeros
from tracker.derive.progress.levels import Level, first_clear, levels
from tracker.derive.progress.standstill import standstill
from tracker.derive.progress.trend import Slope, trend
from tracker.derive.raters import Agreement, agreements
from tracker.derive.soundness import Series
from tracker.derive.statistics.interval import Estimate
from tracker.derive.trims import Trim
from tracker.derive.written import OnItsDay


@dataclass(frozen=True, slots=True)
class Way:
    """One way of looking: what its grades show. `since` is the day its months are counted from.

    `series` holds the zeros as well that were seen the same way and name no limb.
    """

    series: Series
    since: date | None
    levels: tuple[Level, ...]
    clear: Level | None
    trend: Slope | None
    standstill: Slope | None
    trims: tuple[AroundTrim, ...]
    trims_together: Estimate | None

    @property
    def says_something(self) -> bool:
        """Whether there are enough notes for anything at all."""
        return bool(self.trend or self.trims or any(level.middle is not None for level in self.levels))


@dataclass(frozen=True, slots=True)
class Progress:
    """One horse: the ways of looking that have enough notes, the most noted first; who agrees; how it was written."""

    ways: tuple[Way, ...]
    agreements: tuple[Agreement, ...]
    written: OnItsDay | None


def progress(
    series: Sequence[Series],
    shoes_off: Mapping[str, date | None],
    trims: Iterable[Trim],
    written: OnItsDay | None,
    on: date,
) -> Progress:
    """What one horse's series show as of the day `on`; shoes_off, trims and share are that horse's own."""
    done = list(trims)
    ways = [
        _way(with_zeros(one, series), shoes_off, done, on) for one in series if not only_zeros(one, series)
    ]
    told = sorted((way for way in ways if way.says_something), key=lambda way: -len(way.series.points))
    return Progress(tuple(told), tuple(found for one in series for found in agreements(one)), written)


def _way(series: Series, shoes_off: Mapping[str, date | None], trims: list[Trim], on: date) -> Way:
    since = counted_from(series, shoes_off)
    if since and since > on:
        since = None
    days = days_of(series)
    by_month = levels(series, since, on, days)
    around = around_trims(series, trims, on, days)
    return Way(
        series=series,
        since=since,
        levels=by_month,
        clear=first_clear(by_month, on),
        trend=trend(series, since, on, days),
        standstill=standstill(series, on, days),
        trims=around,
        trims_together=together(around),
    )
