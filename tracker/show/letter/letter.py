"""The letter to the vet, drawn up from a book: what is in it, and what was left out."""

from __future__ import annotations

from collections.abc import Callable

from tracker.book import Book, HorseRecord
from tracker.show import words
from tracker.show.letter import course, feet, lacks, months, photos, who
from tracker.show.letter.blocks import Letter, Part
from tracker.show.letter.choice import EXTRAS, PARTS, Choice
from tracker.show.letter.draft import Draft
from tracker.show.shapes import horse_view

_DRAWN_UP: dict[str, Callable[[Draft], Part | None]] = {
    "who": who.who,
    "question": who.question,
    "warnings": course.warnings,
    "course": course.course,
    "signs": course.signs,
    "remarks": course.remarks,
    "abscesses": months.abscesses,
    "feet": feet.feet,
    "growth": feet.growth,
    "trims": feet.trims,
    "relief": months.relief,
    "work": months.work,
    "body": months.body,
    "changes": months.changes,
    "visits": months.visits,
    "lacks": lacks.lacks,
    "photos": photos.photos,
}


def letter_of(book: Book, horse: HorseRecord, choice: Choice | None = None) -> Letter:
    """The letter about one horse of the book. Grades stand as they were written down, each with its scale."""
    choice = choice or Choice()
    view = horse_view(horse, book.as_of)
    draft = Draft(book, horse, view, choice)
    parts = (make(draft) for key, make in _DRAWN_UP.items() if key not in choice.without)
    return Letter(
        horse=view.name,
        title=f"{view.name}: a record for the vet",
        dated=_dated(draft),
        day=book.as_of,
        paper=choice.paper,
        parts=tuple(part for part in parts if part),
        left_out=_left_out(choice),
        caution=f"{words.ERROR_NOTE} {words.CAUTION}",
    )


def _dated(draft: Draft) -> str:
    told = f"Record as of {words.day(draft.book.as_of)}"
    begins = f" from {words.day(draft.choice.since)}" if draft.choice.since else ""
    ends = f" to {words.day(draft.until)}" if draft.choice.until else ""
    return f"{told}; it tells of the time{begins}{ends}" if begins or ends else told


def _left_out(choice: Choice) -> str:
    """What the sender left out, so that nobody takes its absence for a finding."""
    parts = [PARTS[key].lower() for key in PARTS if key in choice.without]
    extras = [said.split(",")[0].lower() for key, said in EXTRAS.items() if key not in choice.extras]
    return f"Left out by the sender: {', '.join((*parts, *extras))}." if parts or extras else ""
