"""One episode with what stands around it: the notes before it, those in the same foot, trims and changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from tracker.derive.abscess import Episode
from tracker.derive.abscesses.crack import Crack
from tracker.derive.abscesses.place import same_spot
from tracker.derive.trims import Trim
from tracker.derive.work.life import LifeChange
from tracker.table import Table

NEAR = timedelta(days=28)  # how far back trims and changes are set beside an episode: our own choice
TRIM = "trim"


@dataclass(frozen=True, slots=True)
class Beside:
    """Something written down in the weeks before an episode: a date side by side, and no cause."""

    date: date
    kind: str
    what: str
    days_before: int


@dataclass(frozen=True, slots=True)
class Again:
    """The episode before in the same foot, ended by then: how long the foot was free, and if the place is the same.

    `number` counts the foot's episodes up to this one.
    """

    number: int
    before: Episode
    free_days: int
    same_place: bool


@dataclass(frozen=True, slots=True)
class Story:
    """One episode and what stands around it.

    `noted_before` is the last day before `first_seen` with a note, or on which the foot was comfortable again;
    None where there is none: it began in between. `opened_after` is the days from its beginning until it opened, fewest and most; the most is
    None where no note bounds it. `eased_after` is the days from opening to comfortable.
    """

    episode: Episode
    noted_before: date | None
    opened_after: tuple[int, int | None] | None
    eased_after: int | None
    again: Again | None
    beside: tuple[Beside, ...]
    crack: Crack | None

    @property
    def earlier_days(self) -> int | None:
        """By how many days it may have begun before it was first seen; None where no note bounds it."""
        if self.noted_before is None:
            return None
        return (self.episode.first_seen - self.noted_before).days - 1


def note_days(soundness: Table, horse: str, on: date) -> tuple[date, ...]:
    """The days up to `on` with a note of that horse, by date."""
    days = {row.date.date() for row in soundness.rows_of(horse)}
    return tuple(sorted(day for day in days if day <= on))


def story(
    episode: Episode,
    own: Sequence[Episode],
    noted: Sequence[date],
    trims: Sequence[Trim],
    changes: Sequence[LifeChange],
    crack: Crack | None,
) -> Story:
    """Put together what stands around one of the horse's `own` episodes."""
    over = [one.comfortable for one in own if one.foot == episode.foot and one.comfortable]
    before = max((day for day in (*noted, *over) if day < episode.first_seen), default=None)
    opened, eased = episode.opened, episode.comfortable
    after = None
    if opened is not None and episode.days_to_open is not None:
        after = episode.days_to_open, (opened - before).days - 1 if before else None
    return Story(
        episode=episode,
        noted_before=before,
        opened_after=after,
        eased_after=(eased - opened).days if after and eased and opened and eased >= opened else None,
        again=_again(episode, own),
        beside=_beside(episode, trims, changes),
        crack=crack,
    )


def _again(episode: Episode, own: Sequence[Episode]) -> Again | None:
    earlier = [one for one in own if one.foot == episode.foot and one.first_seen < episode.first_seen]
    ended = [one for one in earlier if one.comfortable and one.comfortable <= episode.first_seen]
    if not ended:
        return None
    last = max(ended, key=lambda one: one.comfortable or date.min)
    assert last.comfortable is not None
    free = (episode.first_seen - last.comfortable).days
    return Again(len(earlier) + 1, last, free, same_spot(last.where, episode.where))


def _beside(episode: Episode, trims: Sequence[Trim], changes: Sequence[LifeChange]) -> tuple[Beside, ...]:
    first = episode.first_seen
    dated = [(trim.date, TRIM, "") for trim in trims if not trim.feet or episode.foot in trim.feet]
    dated += [(change.date, change.kind, change.what) for change in changes]
    near = sorted({found for found in dated if first - NEAR <= found[0] <= first})
    return tuple(Beside(day, kind, what, (first - day).days) for day, kind, what in near)
