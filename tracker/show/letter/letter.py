"""The letter to the vet, drawn up from a book: what is in it, and what was left out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any

from tracker.book import Book, HorseRecord
from tracker.show import words
from tracker.show.letter import course, feet, lacks, months, photos, who
from tracker.show.letter.blocks import Block, Letter, Part
from tracker.show.letter.choice import EXTRAS, PARTS, Choice
from tracker.show.letter.draft import BREVITIES, Draft
from tracker.show.letter.isolate import isolated
from tracker.show.letter.paper import pages
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


_PAGES = 2
_SHORTER = "To keep the letter short, less is told of what is older; each part says how much."
_TO_THE_END = "warnings, what is made of the grades, growth, trims and body: up to the record's last day"


def letter_of(book: Book, horse: HorseRecord, choice: Choice | None = None) -> Letter:
    """The letter about one horse of the book. Grades stand as they were written down, each with its scale.

    It is told as briefly as two pages of the paper ask for, but for what is open; photographs come on top of that.
    """
    draft = Draft(book, horse, horse_view(horse, book.as_of), choice or Choice())
    for brevity in BREVITIES:
        letter = _drawn_up(replace(draft, brevity=brevity))
        if brevity == BREVITIES[-1] or pages(_without_photos(letter)) <= _PAGES:
            break
    return letter


def _without_photos(letter: Letter) -> Letter:
    return replace(letter, parts=tuple(part for part in letter.parts if part.key != "photos"))


def _drawn_up(draft: Draft) -> Letter:
    choice, view = draft.choice, draft.view
    parts = (_nameless(make(draft), draft) for key, make in _DRAWN_UP.items() if key not in choice.without)
    return Letter(
        horse=view.name,
        title=f"{isolated(view.name)}: a record for the vet",
        dated=_dated(draft),
        day=draft.book.as_of,
        paper=choice.paper,
        parts=tuple(part for part in parts if part),
        left_out=" ".join(filter(None, (_left_out(choice), _SHORTER if draft.brevity else ""))),
        caution=f"{words.ERROR_NOTE} {words.CAUTION}",
    )


def _nameless(part: Part | None, draft: Draft) -> Part | None:
    """The part without names, wherever they came from; the sender's question stays as it was asked."""
    if part is None or part.key == "question":
        return part
    blocks = tuple(replace(block, **_said(block, draft)) for block in part.blocks)
    return replace(part, blocks=blocks, brief=tuple(map(draft.nameless, part.brief)))


def _said(block: Block, draft: Draft) -> dict[str, Any]:
    """The words of a block without names; a drawing's own words were seen to as it was drawn."""
    drawn = ("kind", "svg", "jpeg")
    held = {field.name: getattr(block, field.name) for field in fields(block) if field.name not in drawn}
    return {key: _each(value, draft.nameless) for key, value in held.items()}


def _each(value: Any, change: Callable[[str], str]) -> Any:
    return change(value) if isinstance(value, str) else tuple(_each(one, change) for one in value)


def _dated(draft: Draft) -> str:
    told = f"Record as of {words.day(draft.book.as_of)}"
    begins = f" from {words.day(draft.choice.since)}" if draft.choice.since else ""
    ends = f" to {words.day(draft.until)}" if draft.choice.until else ""
    if not begins and not ends:
        return told
    still = "" if draft.until == draft.book.as_of else f" ({_TO_THE_END})"
    return f"{told}; it tells of the time{begins}{ends}{still}"


def _left_out(choice: Choice) -> str:
    """What the sender left out, so that nobody takes its absence for a finding."""
    parts = [PARTS[key].lower() for key in PARTS if key in choice.without]
    extras = [said.split(",")[0].lower() for key, said in EXTRAS.items() if key not in choice.extras]
    return f"Left out by the sender: {', '.join((*parts, *extras))}." if parts or extras else ""
