"""How long something that was seen keeps warning, and one warning for all notes of one episode."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from tracker.cells.limbs import label
from tracker.derive.referral.facts import DayNote, Facts
from tracker.derive.referral.firing import Found, day
from tracker.sheets import SOUNDNESS
from tracker.terms import HARD_TURN, NO_MOVE, NO_WEIGHT, NOT_SURE, POINTS, SHIFTS, STILTED

# How long a sign keeps warning while no vet is recorded (our own choice; a vet on the day or later ends it).
NOW_STANDS = dt.timedelta(days=14)
SAME_DAY_STANDS = dt.timedelta(days=7)

# Signs that tell of lameness whatever the grade.
LAME_SIGNS = (NO_WEIGHT, NO_MOVE, SHIFTS, STILTED, HARD_TURN, POINTS)

Reason = tuple[str, str]  # (what was recorded, the key of its cell)


@dataclass(frozen=True, slots=True)
class Telling:
    """One row that gives reasons to warn, with their cells; `day` is None where its date is not clear."""

    day: dt.date | None
    row: int
    what: tuple[str, ...]
    cells: tuple[str, ...]
    limb: str = ""


def standing(
    facts: Facts, reasons: Callable[[DayNote], list[Reason]], stands: dt.timedelta
) -> Iterator[Found]:
    """One warning for all notes that give a reason and that no vet has followed."""
    telling = [
        of_note(facts, note, found)
        for note in facts.notes
        if (found := reasons(note)) and not followed(facts, note)
    ]
    yield from in_one(facts, telling, stands, "notes")


def of_note(facts: Facts, note: DayNote, found: Sequence[Reason]) -> Telling:
    """A note and what in it warns."""
    cells = tuple(facts.cell(SOUNDNESS.name, key, note.row) for _, key in found)
    return Telling(note.day, note.row, tuple(words for words, _ in found), cells, label(note.limb))


def in_one(
    facts: Facts, telling: Iterable[Telling], stands: dt.timedelta, rows: str = "readings"
) -> Iterator[Found]:
    """One warning for the latest episode: what was seen again before it had stopped warning belongs to one.

    Its cells are those that make it stand today.
    """
    unclear = [one for one in telling if one.day is None]
    episode = _chain([one for one in telling if one.day], facts.on, stands)
    fresh = [one for one in episode if one.day and facts.on - one.day <= stands]
    if not (unclear or fresh):
        return
    latest = max((*unclear, *episode), key=lambda one: (one.day or dt.date.max, one.row))
    what = " and ".join(dict.fromkeys(latest.what))
    limb = f" ({latest.limb})" if latest.limb else ""
    when = f"on {day(latest.day)}" if latest.day else "on a date that is unclear"
    count = len(episode) + len(unclear)
    more = f"; {count} {rows} in all" if count > 1 else ""
    cells = [cell for one in sorted((*unclear, *fresh), key=lambda one: one.row) for cell in one.cells]
    yield Found(
        min((one.day for one in episode if one.day), default=None),
        f"Recorded {when}: {what}{limb}{more}.",
        tuple(dict.fromkeys(cells)),
    )


def _chain(dated: Sequence[Telling], on: dt.date, stands: dt.timedelta) -> list[Telling]:
    """Those from which the warning never stopped standing until the day `on`."""
    found: list[Telling] = []
    until = on
    for one in sorted(dated, key=lambda one: (one.day or on, one.row), reverse=True):
        assert one.day
        if until - one.day > stands:
            break
        found.append(one)
        until = one.day
    return found


def followed(facts: Facts, note: DayNote) -> bool:
    """Whether a vet is recorded since. On the day itself it is not clear which came first, so the warning stays."""
    return note.day is not None and facts.on != note.day and facts.vet_since(note.day, limbs_of(note))


def limbs_of(note: DayNote) -> tuple[str, ...]:
    """The limbs that a note names; none where they are not sure."""
    return () if NOT_SURE in note.limb else note.limb


def signs(note: DayNote, *wanted: str) -> list[Reason]:
    """Those of the wanted signs that the note holds, each with its cell."""
    if not note.signs:
        return []
    return [(sign, _column(note, sign)) for sign in wanted if sign in note.signs]


def _column(note: DayNote, sign: str) -> str:
    elsewhere = {"score": note.signs_in_score, "remarks": note.signs_in_remarks}
    return next((key for key, found in elsewhere.items() if sign in found), "signs")
