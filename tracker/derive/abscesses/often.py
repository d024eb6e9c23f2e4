"""How often abscesses come, with the exact interval of so few, and how often before and after a day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from tracker.derive.abscess import Episode
from tracker.derive.statistics.interval import Estimate
from tracker.derive.statistics.poisson import rate, rate_ratio
from tracker.derive.statistics.survival import Lasting, kaplan_meier
from tracker.derive.work.life import LifeChange

YEAR = 365.25
LEAST_DAYS = 56  # on each side of a day that is compared: our own choice
HALVES, SHOES_OFF = "halves", "shoes off"


@dataclass(frozen=True, slots=True)
class Compared:
    """Episodes before a day and from that day on; `ratio` is the later rate over the earlier, None without any.

    `what` is "halves", "shoes off", or the kind of a change in the horse's life; `change` is that change.
    """

    what: str
    split: date
    before: int
    days_before: int
    after: int
    days_after: int
    ratio: Estimate | None
    change: LifeChange | None = None


@dataclass(frozen=True, slots=True)
class Often:
    """How many episodes began from `since` to a day, in any foot, and how many that is for each 100 days and a year.

    `since` is the day the first shoes came off, or the first day of the record where that is later; `earlier` is
    how many were first seen between the two, and so are not counted.
    """

    since: date
    shoes_off: date
    days: int
    episodes: int
    per_100_days: Estimate
    per_year: Estimate
    compared: tuple[Compared, ...]
    earlier: int = 0


def often(
    own: Sequence[Episode],
    shoes_off: Mapping[str, date | None],
    first_record: date | None,
    changes: Iterable[LifeChange],
    on: date,
) -> Often | None:
    """How often one horse's episodes began since its shoes came off; None where that day is not known.

    `first_record` is the first day that anything but an abscess is recorded of: what came before it may not
    have been written down, so it does not count. Days in an episode count as days like others.
    """
    off = min((day for day in shoes_off.values() if day and day <= on), default=None)
    if off is None or first_record is None:
        return None
    since = max(off, first_record)
    days = (on - since).days
    if days < 1:
        return None
    starts = [episode.first_seen for episode in own]
    events = sum(since <= day <= on for day in starts)
    half = since + timedelta(days=days // 2)
    splits = [
        (first_record, SHOES_OFF, off, None),
        (since, HALVES, half, None),
        *((since, change.kind, change.date, change) for change in changes),
    ]
    told = (compare(starts, start, split, on, what, change) for start, what, split, change in splits)
    return Often(
        since, off, days, events, rate(events, days, 100), rate(events, days, YEAR), tuple(filter(None, told)),
        sum(off <= day < since for day in starts),
    )  # fmt: skip


def compare(
    starts: Iterable[date],
    since: date,
    split: date,
    on: date,
    what: str = "",
    change: LifeChange | None = None,
) -> Compared | None:
    """How often before `split` and from it on; None where either side is shorter than eight weeks."""
    before, after = (split - since).days, (on - split).days
    if min(before, after) < LEAST_DAYS:
        return None
    known = [day for day in starts if since <= day <= on]
    earlier, later = sum(day < split for day in known), sum(day >= split for day in known)
    ratio = rate_ratio(earlier, before, later, after)
    return Compared(what, split, earlier, before, later, after, ratio, change)


def time_to_comfortable(episodes: Iterable[Episode]) -> Lasting:
    """How many days the episodes of many horses last; one still open counts as long as it is known."""
    found = list(episodes)
    return kaplan_meier([one.days for one in found], [not one.is_open for one in found])
