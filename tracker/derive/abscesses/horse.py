"""All that is said of one horse's abscesses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from tracker.derive.abscess import Episode
from tracker.derive.abscesses.crack import PUBLISHED_PACE, Pace, crack_of
from tracker.derive.abscesses.often import Often, often
from tracker.derive.abscesses.story import Story, note_days, story
from tracker.derive.hooves import HoofRecord
from tracker.derive.rows import day_of
from tracker.derive.trims import Trim
from tracker.derive.work.life import life_changes
from tracker.sheets import ABSCESSES, CHANGES, HORSES, PAIN_RELIEF, PLAN, SOUNDNESS
from tracker.table import Table

_NO_SIGN_OF_KEEPING = (HORSES.name, ABSCESSES.name, PAIN_RELIEF.name, PLAN.name)


@dataclass(frozen=True, slots=True)
class AbscessRecord:
    """One horse's episodes with what stands around them, oldest first, and how often they came."""

    stories: tuple[Story, ...]
    often: Often | None


def abscess_record(
    name: str,
    own: Sequence[Episode],
    tables: Mapping[str, Table],
    shoes_off: Mapping[str, date | None],
    trims: Sequence[Trim],
    feet: Sequence[HoofRecord],
    on: date,
    paces: Mapping[str, Pace] | None = None,
) -> AbscessRecord:
    """What one horse's episodes tell as of the day `on`; episodes, shoes, trims and feet are that horse's own.

    `paces` is how fast each foot's horn grows, where it is known; else the published range is taken.
    """
    known = paces or {}
    noted = note_days(tables[SOUNDNESS.name], name, on)
    changes = life_changes(name, tables[CHANGES.name], on)
    stories = [
        story(
            one, own, noted, trims, changes,
            crack_of(one, own, feet, known.get(one.foot, PUBLISHED_PACE), on),
        )
        for one in own
    ]  # fmt: skip
    return AbscessRecord(tuple(stories), often(own, shoes_off, _first_record(name, tables, on), changes, on))


def _first_record(name: str, tables: Mapping[str, Table], on: date) -> date | None:
    """The first day of the horse's record; an abscess or a course may be written down from memory."""
    days = [
        day
        for sheet, table in tables.items()
        if sheet not in _NO_SIGN_OF_KEEPING and "date" in table.sheet.by_key
        if (day := day_of(min((row.date for row in table.rows_of(name) if row.date), default=None)))
    ]
    return min((day for day in days if day <= on), default=None)
