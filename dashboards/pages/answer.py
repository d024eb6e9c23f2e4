"""Answer a warning: the warning itself, and below it what was done, on which day, and until when it may be quiet."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from dash import html

from dashboards.fields import Asked, field_block, known
from dashboards.library import Trouble
from dashboards.pages.write import bar, closed_page, entry_form, form_name
from dashboards.parts import Page, horse_href, lead, link, warning
from dashboards.warned import ANSWER_PATH, number
from tracker import Book, Field, form_of
from tracker.show.answers import DONE
from tracker.show.contact import vet_of
from tracker.show.shapes import WarningView, shown_name, warning_view

PATH = ANSWER_PATH
_SHEET = "Follow-up"
_NOW = "now"
_STAYS = "An answer is shown with this warning. It stays until its own rule ends, and is open again as soon as the sign is recorded again."
_FOLDS = "An answer is shown with this warning. With a day under Quiet until it is folded away up to that day; what begins later is shown anew."


def is_answer(path: str) -> bool:
    """Whether an address is one of this page's."""
    return path.startswith(f"{PATH}/")


def parts_of(path: str) -> tuple[str, str]:
    """The names of the warning and of the horse in such an address; "" where it is none."""
    name, _, horse = path.removeprefix(f"{PATH}/").partition("/") if is_answer(path) else ("", "", "")
    return name, horse


def layout(book: Book, path: str, closed: Trouble | None) -> Page:
    """The form of an address such as "/answer/lame-at-walk/Hazel"."""
    name, horse = parts_of(path)
    record = book.horse(horse)
    firing = next((found for found in record.warnings if found.name == name), None) if record else None
    if record is None or firing is None:
        return _gone(record.name if record else "")
    if closed:
        return closed_page(closed)
    view = warning_view(firing)
    shown = warning(view, *number(view, vet_of(book, record.name)))
    said = html.P(_STAYS if view.urgency == _NOW else _FOLDS, className="small")
    title = f"Answer a warning of {shown_name(record.name)}"
    return Page(title, [html.Div([html.H2("The warning"), shown], className="answered-here"), said, *_form(book, record.name, view, title)], holds_entry=True)  # fmt: skip


def _gone(horse: str) -> Page:
    back = link(f"Back to {shown_name(horse)}", horse_href(horse)) if horse else link("The first page", "/")
    return Page(
        "There is no such warning now",
        [lead("It has ended, or its row was changed meanwhile."), html.P(back)],
    )


def _form(book: Book, horse: str, view: WarningView, title: str) -> list[Any]:
    name = form_name("follow-up")
    given = {"date": book.as_of.isoformat(), "horse": horse, "warning": view.name}
    blocks = [
        _block(Asked(name, _as_asked(field), given.get(field.key, "")))
        for field in form_of(_SHEET)
        if field.key != "quiet_until" or view.urgency != _NOW
    ]
    return entry_form(book, _SHEET, name, f"answer {view.name} {horse}", title, [*blocks, bar("")])


def _as_asked(field: Field) -> Field:
    """What is most often done stands below its line, to be tapped."""
    return replace(field, kind="words", choices=DONE) if field.key == "what_was_done" else field


def _block(asked: Asked) -> Any:
    return known(asked) if asked.field.key in ("horse", "warning") else field_block(asked)
