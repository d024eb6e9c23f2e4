"""How much of the wall has grown since the shoes came off, and when all of it will have."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from dateutil.relativedelta import relativedelta

from tracker.derive.growth.rates import RateRange
from tracker.derive.hooves import STAGES, HoofRecord
from tracker.derive.shoes import pair_of
from tracker.derive.uncertainty import Measure
from tracker.reference.growing import HEELS, MONTH, QUARTERS, SITES, TOE, renewal
from tracker.reference.measuring import COVERAGE

Length = tuple[float, float]


@dataclass(frozen=True, slots=True)
class NewHorn:
    """One part of one foot's wall: the share that has grown since the shoes came off, 0 to 1, as a range.

    From `all_from` to `all_until` all of it will have, or has. `length` is the wall's length there, mm, with
    its error, and `rate` what it was reckoned with; both None where the wall's length is not measured and
    only published times of renewal are left.
    """

    foot: str
    site: str
    since: date
    low: float
    high: float
    all_from: date
    all_until: date
    length: Length | None
    rate: RateRange | None

    @property
    def is_all(self) -> bool:
        """Whether all of it is new by the slowest reckoning."""
        return self.low >= 1

    def share_on(self, day: date) -> tuple[float, float]:
        """The share on another day: 0 before the shoes came off, beyond 1 once some of it has been worn away."""
        days = max(0, (day - self.since).days)
        least, most = ((end - self.since).days for end in (self.all_from, self.all_until))
        return days / max(1, most), days / max(1, least)


def new_horn(
    feet: Iterable[str],
    records: Iterable[HoofRecord],
    shoes_off: Mapping[str, date | None],
    rates: Mapping[str, RateRange],
    on: date,
) -> tuple[NewHorn, ...]:
    """Every part of those feet whose shoes came off by the day `on`; `rates` by foot."""
    latest = _latest(records, on)
    found = []
    for foot in feet:
        since = shoes_off.get(pair_of(foot))
        if since and since <= on:
            lengths = wall_lengths(latest.get(foot, {}))
            found += [_of(foot, site, since, lengths.get(site), rates[foot], on) for site in SITES]
    return tuple(found)


def wall_lengths(measures: Mapping[str, Measure]) -> dict[str, Length]:
    """The wall's length at each part from hairline to ground, mm, as a range that holds it 19 times in 20.

    Nobody measures the quarters. From the side hairline and ground are nearly straight, so the wall shortens
    evenly from toe to heel; the quarters are the middle third of the way.
    """
    found = {
        site: _within(measures[key])
        for site, key in ((TOE, "toe_length"), (HEELS, "heel_length"))
        if key in measures
    }
    if len(found) == 2:
        (toe_low, toe_high), (heel_low, heel_high) = found[TOE], found[HEELS]
        ends = (toe_low + 2 * heel_low) / 3, (2 * toe_high + heel_high) / 3
        found[QUARTERS] = min(ends), max(ends)
    return found


def _within(measure: Measure) -> Length:
    reach = COVERAGE * measure.sd
    return measure.value - reach, measure.value + reach


def _latest(records: Iterable[HoofRecord], on: date) -> dict[str, dict[str, Measure]]:
    """Each foot's newest value of each measure; of one day that after the trim."""
    found: dict[str, dict[str, Measure]] = {}
    for record in sorted(records, key=lambda record: (record.date, STAGES.index(record.stage))):
        if record.date <= on:
            found.setdefault(record.foot, {}).update(record.measures)
    return found


def _of(foot: str, site: str, since: date, length: Length | None, rate: RateRange, on: date) -> NewHorn:
    days = (on - since).days
    if length is None:
        least, most = renewal(site)
        first, last = since + relativedelta(months=least), since + relativedelta(months=most)
        low, high = days / (last - since).days, days / (first - since).days
        return NewHorn(foot, site, since, min(1.0, low), min(1.0, high), first, last, None, None)
    least_days, most_days = MONTH * length[0] / rate.high, MONTH * length[1] / rate.low
    return NewHorn(
        foot=foot,
        site=site,
        since=since,
        low=min(1.0, days / most_days),
        high=min(1.0, days / least_days) if least_days > 0 else 1.0,
        all_from=since + timedelta(days=round(max(0.0, least_days))),
        all_until=since + timedelta(days=round(most_days)),
        length=length,
        rate=rate,
    )
