"""What the referral rules look at: one horse's records up to one day, with the way back to the cells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from tracker.derive.abscess import Episode
from tracker.derive.change import PairDifference
from tracker.derive.hooves import HoofRecord
from tracker.derive.progress.horse import Progress
from tracker.derive.relief import Course, masking
from tracker.derive.rows import day_until, each
from tracker.derive.trims import Trim, intervals
from tracker.derive.worsening.alternating import Alternating
from tracker.derive.worsening.record import Watch
from tracker.sheets import ABSCESSES, HORSES, SOUNDNESS, VISITS
from tracker.table import Table
from tracker.terms import FEET

VET_PURPOSES = ("vet examination", "radiographs")


@dataclass(frozen=True, slots=True)
class DayNote:
    """One row of the Soundness sheet.

    `day` is None where its date cannot be read or is still to come: when it was seen is not clear then.
    `worst` is the worse end of a range that was typed; `left_out` what a score that cannot be
    used may have been: one beyond its scale, or one that a spreadsheet turned into a date; `left_out_scale` is
    "" where its scale is not known. `signs_in_score` are the signs that stand in the Score cell only.
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
    masked: bool


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """What was worked out of one horse before the rules are asked: feet, left beside right, progress, changing legs."""

    feet: tuple[HoofRecord, ...] = ()
    pairs: tuple[PairDifference, ...] = ()
    progress: Progress | None = None
    alternating: Alternating | None = None


NOTHING_WORKED_OUT = WorkedOut()


@dataclass(frozen=True, slots=True)
class Facts:
    """One horse as of one day. Rows that were set aside are among the notes: a warning sign still warns.

    A date after `today` is a slip of the pen. `worked_out` is what stands in the record already; where
    nobody gave it, the rules that need it find nothing.
    """

    horse: str
    on: dt.date
    notes: tuple[DayNote, ...]
    vet_days: tuple[dt.date, ...]
    episodes: tuple[Episode, ...]
    unclear_abscesses: tuple[tuple[int, dt.date | None], ...]
    trims: tuple[Trim, ...]
    next_due: dt.date | None
    trim_every_days: int | None
    shoes_off: dt.date | None
    tables: Mapping[str, Table]
    watches: tuple[Watch, ...] = ()
    today: dt.date = dt.date.max
    courses: tuple[Course, ...] = ()
    worked_out: WorkedOut = NOTHING_WORKED_OUT

    def cell(self, sheet: str, key: str, row: int) -> str:
        """A value's place, such as "Soundness!F14"."""
        return self.tables[sheet].cell(key, row)

    def last_vet(self, limbs: tuple[str, ...] = ()) -> dt.date | None:
        """The last day on which a vet is recorded: on a visit, or as having seen an abscess.

        A vet who saw an abscess saw that foot: it does not count where other limbs are meant.
        """
        seen = [episode.vet_seen for episode in self.episodes if not limbs or episode.foot in limbs]
        return max((*self.vet_days, *(visit for visit in seen if visit)), default=None)

    def vet_since(self, day: dt.date | None, limbs: tuple[str, ...] = ()) -> bool:
        """Whether a vet is recorded on that day or later; `limbs` as for `last_vet`."""
        last = self.last_vet(limbs)
        return day is not None and last is not None and last >= day


def gather(
    horse: str,
    on: dt.date,
    tables: Mapping[str, Table],
    episodes: list[Episode],
    courses: list[Course],
    trims: list[Trim],
    shoes_off: Mapping[str, dt.date | None],
    today: dt.date,
    watches: tuple[Watch, ...] = (),
    worked_out: WorkedOut = NOTHING_WORKED_OUT,
) -> Facts:
    """Collect what the rules need. `episodes`, `courses` and `trims` may be of all horses, `watches` are its own.

    A note dated after `today` is a slip of the pen and counts as one without a clear date.
    """
    visits = _of(tables[VISITS.name].kept, horse, on)
    by_vet = visits[
        (visits["role"] == "vet") & (visits["purpose"] != "trim") | visits["purpose"].isin(VET_PURPOSES)
    ]
    mine = _once([episode for episode in episodes if episode.horse == horse])
    own_trims = tuple(trim for trim in trims if trim.horse == horse and trim.date <= on)
    return Facts(
        horse=horse,
        on=on,
        notes=_notes(tables[SOUNDNESS.name], horse, on, max(on, today), courses),
        vet_days=tuple(sorted({*by_vet["date"].dt.date})),
        episodes=mine,
        unclear_abscesses=_unclear(tables[ABSCESSES.name], horse, on),
        trims=own_trims,
        next_due=_next_due(visits, own_trims),
        trim_every_days=intervals(tables[HORSES.name]).get(horse),
        shoes_off=max((day for day in shoes_off.values() if day and day <= on), default=None),
        tables=tables,
        watches=watches,
        today=max(on, today),
        courses=tuple(course for course in courses if course.horse == horse),
        worked_out=worked_out,
    )


def _of(frame: pd.DataFrame, horse: str, on: dt.date) -> pd.DataFrame:
    return frame[(frame["horse"] == horse) & (frame["date"] < pd.Timestamp(on) + pd.Timedelta(days=1))]


def _notes(
    table: Table, horse: str, on: dt.date, today: dt.date, courses: list[Course]
) -> tuple[DayNote, ...]:
    frame = table.frame
    known_later = (frame["date"] > pd.Timestamp(on)) & (frame["date"] <= pd.Timestamp(today))
    return tuple(_note(row, today, courses) for row in each(frame[(frame["horse"] == horse) & ~known_later]))


def _note(at: Any, today: dt.date, courses: list[Course]) -> DayNote:
    day = day_until(at.date, today)
    return DayNote(
        row=int(at.Index),
        day=day,
        gait=at.gait,
        ground=at.ground,
        line=at.line,
        limb=at.limb,
        scale=at.scale,
        score=at.score,
        worst=getattr(at, "score_high", at.score),
        left_out=getattr(at, "score_left_out", float("nan")),
        left_out_scale=getattr(at, "left_out_scale", ""),
        scale_assumed=bool(getattr(at, "scale_assumed", False)),
        than_last=at.than_last_time,
        pulses={foot: getattr(at, f"pulse_{foot.lower()}") for foot in FEET},
        warm=at.warm,
        signs=at.signs,
        signs_in_score=getattr(at, "signs_in_score", ()),
        masked=day is not None and masking(courses, at.horse, day) != "",
    )


def _once(episodes: list[Episode]) -> tuple[Episode, ...]:
    """One episode for each foot and first day: a row typed twice is not a second abscess. One that ended wins."""
    once: dict[tuple[str, dt.date], Episode] = {}
    for episode in sorted(episodes, key=lambda episode: episode.is_open):
        once.setdefault((episode.foot, episode.first_seen), episode)
    return tuple(sorted(once.values(), key=lambda episode: (episode.first_seen, episode.row)))


def _unclear(table: Table, horse: str, on: dt.date) -> tuple[tuple[int, dt.date | None], ...]:
    """Abscess rows that cannot be used as they are and do not tell that it is over or was seen by a vet.

    These are the rows that were set aside, and those whose first day is still to come.
    """
    frame = table.frame
    aside = frame.index.isin(list(table.set_aside)) | (frame["first_seen"] > pd.Timestamp(on)).to_numpy()
    mine = frame[aside & (frame["horse"] == horse).to_numpy()]
    still = mine[mine["comfortable_again"].isna() & mine["vet_seen"].isna()]
    return tuple((int(row.Index), day_until(row.first_seen, on)) for row in each(still))


def _next_due(visits: pd.DataFrame, trims: tuple[Trim, ...]) -> dt.date | None:
    """The date the last trim named for the next one."""
    if not trims or trims[-1].row not in visits.index:
        return None
    due: Any = visits["next_due"].loc[trims[-1].row]
    return None if pd.isna(due) else due.date()
