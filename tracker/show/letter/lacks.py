"""What a vet asks for first and the record does not hold."""

from __future__ import annotations

from collections.abc import Iterator

from tracker.sheets import BODY, HORSES, SOUNDNESS, VISITS
from tracker.show import words
from tracker.show.letter.blocks import Lines, Part, first_of
from tracker.show.letter.choice import PARTS
from tracker.show.letter.draft import Draft
from tracker.terms import FEET, FOOT_WORDS

# Asked for in a history (Devereux, The Veterinary Care of the Horse, pp. 147-149; signalment and use: Adams and
# Stashak's Lameness in Horses, p. 71), with the column that would hold it.
_HISTORY = {
    "breed": "breed",
    "use": "use (intended and actual)",
    "owned_since": "how long owned",
    "tetanus": "last tetanus vaccination",
    "allergies": "allergies",
    "insurance": "insurance",
}
_RECENT = 7


def lacks(draft: Draft) -> Part:
    """What is missing, so that it can be asked: nothing here says that it was not so."""
    lines = tuple(_lacks(draft))
    return Part("lacks", PARTS["lacks"], (Lines(lines),), first_of(lines, 5, "Gaps"))


def _lacks(draft: Draft) -> Iterator[str]:
    aside = {sheet: count for sheet in draft.book.tables if (count := draft.set_aside(sheet))}
    if aside:
        told = ", ".join(f"{count} of {sheet}" for sheet, count in aside.items())
        yield f"Rows that could not be used, and are in none of the figures: {told}."
    yield from _notes(draft)
    if not any(row.role == "vet" for row in draft.rows(VISITS.name)):
        yield "No visit of a vet in the time that is told of."
    taken = [row.date.date() for row in draft.rows(BODY.name) if row.temperature == row.temperature]
    if not taken or (draft.until - taken[-1]).days > _RECENT:
        last = f"; the last of {words.day(taken[-1])}" if taken else ""
        yield f"No temperature within {_RECENT} days before {words.day(draft.until)}{last}."
    measured = {record.foot for record, _ in draft.horse.feet}
    if missing := [FOOT_WORDS[foot] for foot in FEET if foot not in measured]:
        yield f"Never measured: {', '.join(missing)}."
    known = {column.key for column in HORSES.columns}
    if absent := [said for key, said in _HISTORY.items() if key not in known]:
        yield f"Not in this letter, known or not: {', '.join(absent)}. Please ask."


def _notes(draft: Draft) -> Iterator[str]:
    rows = [*draft.rows(SOUNDNESS.name)]
    if not rows:
        yield "No soundness note in the time that is told of."
        return
    last = rows[-1].date.date()
    if (draft.until - last).days > _RECENT:
        yield f"No note since {words.day(last)}."
    for key, said in (("seen_by", "who graded"), ("ground", "the ground"), ("line", "the line")):
        if without := sum(not getattr(row, key) for row in rows if row.score == row.score):
            yield f"{words.counted(without, 'grade')} without {said}."
    if late := sum(row.Index in draft.horse.late_rows for row in rows):
        yield f"{words.counted(late, 'grade')} written down days later."
