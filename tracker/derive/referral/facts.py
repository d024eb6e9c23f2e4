"""What the referral rules look at: one horse's records up to one day, with the way back to the cells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple, Protocol

from tracker.derive.abscess import Episode
from tracker.derive.change import PairDifference
from tracker.derive.hooves import HoofRecord
from tracker.derive.progress.horse import Progress
from tracker.derive.referral.limit import Limit, OwnLimit
from tracker.derive.relief import Course
from tracker.derive.trims import Trim
from tracker.derive.worsening.alternating import Alternating
from tracker.derive.worsening.record import Watch
from tracker.table import Table


class DayNote(NamedTuple):
    """One row of the Soundness sheet.

    `day` is None where its date cannot be read or is still to come: when it was seen is not clear then.
    `worst` is the worse end of a range that was typed; `left_out` what a score that cannot be
    used may have been: one beyond its scale, or one that a spreadsheet turned into a date; `left_out_scale` is
    "" where its scale is not known. `signs_in_score` are the signs that stand in the Score cell only,
    `signs_in_remarks` those that stand among the remarks only.
    """

    row: int
    day: dt.date | None
    gait: str
    ground: str
    line: str
    limb: tuple[str, ...]
    scale: str
    score: float
    worst: float
    left_out: float
    left_out_scale: str
    scale_assumed: bool
    than_last: str
    pulses: Mapping[str, float]
    warm: tuple[str, ...]
    signs: tuple[str, ...]
    signs_in_score: tuple[str, ...]
    signs_in_remarks: tuple[str, ...]
    masked: bool


class Reading(NamedTuple):
    """One reading of a vital sign; `day` is None where its date is not clear, `time` where no hour is written.

    `perhaps` holds where its cell cannot be used as it is typed, and this is the highest that it may have been;
    `up_to` where a range was typed, and this is its higher end.
    """

    row: int
    day: dt.date | None
    value: float
    perhaps: bool = False
    up_to: bool = False
    time: dt.time | None = None

    @property
    def moment(self) -> dt.datetime | None:
        """Day and hour, where both are known."""
        return dt.datetime.combine(self.day, self.time) if self.day and self.time else None


@dataclass(frozen=True, slots=True)
class AbscessRow:
    """A row of an abscess that is not told to be over; `aside` where the row was set aside, `seen` by a vet."""

    row: int
    first_seen: dt.date | None
    aside: bool
    seen: bool

    def is_unclear(self, on: dt.date, today: dt.date) -> bool:
        """Whether it cannot be used as it is: it was set aside, or its first day is still to come."""
        known_later = self.first_seen is not None and on < self.first_seen <= today
        to_come = self.first_seen is not None and self.first_seen > today
        return to_come or (self.aside and not known_later)


@dataclass(frozen=True, slots=True)
class ReliefRow:
    """A row of pain relief that makes no course: it was set aside, or its first day is still to come.

    `first` and `last` are None where they cannot be read, `last` too while the last dose is still to come.
    """

    row: int
    product: str
    first: dt.date | None
    last: dt.date | None
    ordered: bool


class WorkedOut(Protocol):
    """What was worked out of one horse before the rules are asked."""

    @property
    def feet(self) -> tuple[HoofRecord, ...]:
        """Its hoof records up to the day."""

    @property
    def pairs(self) -> tuple[PairDifference, ...]:
        """Left beside right of each of them."""

    @property
    def progress(self) -> Progress | None:
        """What its grades say about progress."""

    @property
    def alternating(self) -> Alternating | None:
        """Whether the lame leg changes."""

    @property
    def watches(self) -> tuple[Watch, ...]:
        """What the filter makes of its grades."""


@dataclass(frozen=True, slots=True)
class Worked:
    """The same where it stands in the record already."""

    feet: tuple[HoofRecord, ...] = ()
    pairs: tuple[PairDifference, ...] = ()
    progress: Progress | None = None
    alternating: Alternating | None = None
    watches: tuple[Watch, ...] = ()


NOTHING_WORKED_OUT = Worked()


@dataclass(frozen=True, slots=True)
class Facts:
    """One horse as of one day. `next_due` is the day that the last trim named, with its row. Rows that were set aside are among the notes: a warning sign still warns.

    A date after `today` is a slip of the pen. `readings` are those of each vital sign by its key; `typed_episodes`
    every row of the Abscesses sheet, `episodes` one for each foot and first day. `own_limits` is what the horse has
    instead of a rule's number, by the limit's key. Where nobody gave what is `worked_out`, the rules that need it find nothing.
    """

    horse: str
    on: dt.date
    today: dt.date
    tables: Mapping[str, Table]
    notes: tuple[DayNote, ...] = ()
    readings: Mapping[str, tuple[Reading, ...]] = field(default_factory=dict)
    vet_days: tuple[dt.date, ...] = ()
    typed_episodes: tuple[Episode, ...] = ()
    episodes: tuple[Episode, ...] = ()
    unclear_abscesses: tuple[AbscessRow, ...] = ()
    courses: tuple[Course, ...] = ()
    unclear_relief: tuple[ReliefRow, ...] = ()
    trims: tuple[Trim, ...] = ()
    next_due: tuple[dt.date, int] | None = None
    trim_every_days: int | None = None
    shoes_off: dt.date | None = None
    own_limits: Mapping[str, OwnLimit] = field(default_factory=dict)
    worked_out: WorkedOut = NOTHING_WORKED_OUT

    def cell(self, sheet: str, key: str, row: int) -> str:
        """A value's place, such as "Soundness!F14"."""
        return self.tables[sheet].cell(key, row)

    def limit(self, limit: Limit) -> float:
        """The number from which a rule fires: the horse's own, which is never less careful, else the rule's."""
        own = self.own_limits.get(limit.key)
        return own.value if own else limit.value

    def grades(self, limit: Limit) -> dict[str, float]:
        """The grades from which a rule fires, by their scale."""
        return {scale: self.limit(one) for scale, one in limit.by_scale.items()}

    def own_grades(self, limit: Limit) -> dict[str, float]:
        """Those that are the horse's own."""
        return {scale: self.limit(one) for scale, one in limit.by_scale.items() if one.key in self.own_limits}

    def last_vet(self, limbs: tuple[str, ...] = ()) -> dt.date | None:
        """The last day on which a vet is recorded: on a visit, or as having seen an abscess.

        A vet who saw an abscess saw that foot: it does not count where other limbs are meant.
        """
        seen = [episode.vet_seen for episode in self.typed_episodes if not limbs or episode.foot in limbs]
        return max((*self.vet_days, *(visit for visit in seen if visit)), default=None)

    def vet_since(self, day: dt.date | None, limbs: tuple[str, ...] = ()) -> bool:
        """Whether a vet is recorded on that day or later; `limbs` as for `last_vet`."""
        last = self.last_vet(limbs)
        return day is not None and last is not None and last >= day


def once(episodes: Iterable[Episode]) -> tuple[Episode, ...]:
    """One episode for each foot and first day: a row typed twice is not a second abscess.

    Of rows that contradict each other the more careful stands: one that is still open before one that has ended, a later
    end before an earlier one. A vet who is recorded in either has seen it.
    """
    rows: dict[tuple[str, dt.date], list[Episode]] = {}
    for episode in episodes:
        rows.setdefault((episode.foot, episode.first_seen), []).append(episode)
    found = []
    for alike in rows.values():
        stands = max(alike, key=lambda one: (one.is_open, one.comfortable or dt.date.max, -one.row))
        seen = max((one.vet_seen for one in alike if one.vet_seen), default=None)
        found.append(replace(stands, vet_seen=seen))
    return tuple(sorted(found, key=lambda episode: (episode.first_seen, episode.row)))
