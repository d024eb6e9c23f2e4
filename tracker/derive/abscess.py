"""Episodes of hoof abscess: how long they lasted, how long until they opened, which are still open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from tracker.derive.rows import day_of, day_until
from tracker.table import Table


@dataclass(frozen=True, slots=True)
class Episode:
    """One abscess of one foot, suspected or seen by the vet, as it stood on one day.

    `days` runs from the first day seen to the first comfortable day, or to that one day while the horse
    is not comfortable. `days_to_open` is None while it has not opened, and where the workbook has it open
    before it was seen.
    """

    horse: str
    foot: str
    first_seen: date
    where: str
    opened: date | None
    opened_at: str
    comfortable: date | None
    vet_seen: date | None
    days: int
    days_to_open: int | None
    is_open: bool
    row: int


def episodes(abscesses: Table, on: date) -> list[Episode]:
    """List the episodes known on the day `on`, by their first day.

    One first seen later is left out, and what happened later has not happened yet. A comfortable day that
    stands before the first day does not end an episode.
    """
    found = [_episode(row, on) for row in abscesses.rows if day_until(row.first_seen, on)]
    return sorted(found, key=lambda episode: (episode.first_seen, episode.row))


def _episode(row: Any, on: date) -> Episode:
    first = row.first_seen.date()
    opened = day_until(row.opened, on)
    comfortable = day_until(row.comfortable_again, on)
    if comfortable and comfortable < first:  # a slip of the pen must not close an episode
        comfortable = None
    still_to_open = day_of(row.opened) is not None and opened is None
    return Episode(
        horse=row.horse,
        foot=row.foot,
        first_seen=first,
        where=row.where,
        opened=opened,
        opened_at="" if still_to_open else row.opened_at,
        comfortable=comfortable,
        vet_seen=day_until(row.vet_seen, on),
        days=max(0, ((comfortable or on) - first).days),
        days_to_open=(opened - first).days if opened and opened >= first else None,
        is_open=comfortable is None,
        row=row.Index,
    )
