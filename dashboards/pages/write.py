"""Write: today's note at once, and the other records one tap away; every form is made from its sheet's fields."""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from dash import dcc, html

from dashboards.at_hand import at_hand
from dashboards.fields import Asked, field_block
from dashboards.library import Trouble
from dashboards.parts import Page, attributes, lead, marked
from dashboards.usual import filled_in, scale_of, units_of
from tracker import Book, Field, form_of, horses_of
from tracker.show.open_records import OpenRecord, as_typed, open_records
from tracker.show.shapes import MAIN_MEASURES

_DRAWN = itertools.count(1)  # a form that is drawn anew shares no input with the one before
_SAID = {"scale": "scale ", "seen_by": "by "}  # what a bare word would leave open

PATH = "/write"
NAV = "Write"


@dataclass(frozen=True, slots=True)
class Form:
    """One form: where it is, what it writes, and how its fields are laid out.

    `look` are the keys of how the person looked, said in one line; `main` the figures that come first;
    `later` what a change of an open record asks for.
    """

    what: str
    sheet: str
    title: str
    short: str
    look: tuple[str, ...] = ()
    main: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    later_title: str = ""


FORMS = (
    Form("", "Soundness", "Today's note", "Note", look=("gait", "ground", "line", "scale", "seen_by")),
    Form("abscess", "Abscesses", "A new abscess", "Abscess",
         later=("opened", "opened_at", "comfortable_again", "vet_seen", "care_given"), later_title="An open abscess"),
    Form("visit", "Visits", "A visit", "Visit"),
    Form("relief", "Pain relief", "Pain relief begun", "Pain relief",
         later=("last_given",), later_title="Pain relief, still being given"),
    Form("hoof", "Hooves", "A hoof measured", "Hoof", main=MAIN_MEASURES),
)  # fmt: skip


def is_write(path: str) -> bool:
    """Whether an address is one of this page's."""
    return path == PATH or path.startswith(f"{PATH}/")


def horse_of(book: Book, path: str) -> str:
    """The horse of the open record at an address such as "/write/abscess/12"; "" where it names none."""
    what, _, row = path.removeprefix(PATH).strip("/").partition("/")
    form = next((form for form in FORMS if form.what == what), None)
    frame = book.tables[form.sheet].frame if form and row.isascii() and row.isdigit() else None
    return str(frame.at[int(row), "horse"]) if frame is not None and int(row) in frame.index else ""


def layout(book: Book, path: str, closed: Trouble | None) -> Page | None:
    """The form of an address such as "/write/abscess/12"; None where there is none."""
    what, _, row = path.removeprefix(PATH).strip("/").partition("/")
    form = next((form for form in FORMS if form.what == what), None)
    if form is None or (row and not (form.later and row.isascii() and row.isdigit())):
        return None
    if closed:
        return closed_page(closed)
    if row:
        return _page_of_open(book, form, int(row))
    still_open = open_records(book)
    return Page(
        form.title,
        [_tabs(form), _still_open(still_open), *_form(book, form)],
        holds_entry=True,
    )


def closed_page(trouble: Trouble) -> Page:
    """Why nothing can be entered, and what to do."""
    return Page(
        "This workbook can only be read",
        [
            lead("Nothing can be entered here now."),
            html.P(marked(trouble.message)),
            html.P([html.B("To do: "), *marked(trouble.hint)]),
        ],
    )


def _page_of_open(book: Book, form: Form, row: int) -> Page:
    record = next(
        (found for found in open_records(book) if (found.sheet, found.row) == (form.sheet, row)), None
    )
    if record is None:
        back = dcc.Link("Go on to today's note", href=PATH)
        return Page(
            "There is no such open record",
            [lead("It may be closed already, or its row has moved."), html.P(back)],
        )
    return Page(
        form.later_title,
        [_tabs(form), lead(record.said[0].upper() + record.said[1:]), *_form(book, form, record)],
        holds_entry=True,
    )


def _tabs(here: Form) -> html.Nav:
    links = [
        dcc.Link(form.short, href=_href(form), className="here" if form is here else "") for form in FORMS
    ]
    return html.Nav(links, className="tabs", **attributes(aria_label="What to write"))


def _href(form: Form) -> str:
    return f"{PATH}/{form.what}" if form.what else PATH


def _still_open(records: Sequence[OpenRecord]) -> html.Div | str:
    """What goes on: one tap, and it can be written how it went on."""
    hrefs = {form.sheet: _href(form) for form in FORMS}
    links = [
        dcc.Link(["Go on: ", record.said], href=f"{hrefs[record.sheet]}/{record.row}", className="open")
        for record in records
    ]
    return html.Div(links, className="still-open") if links else ""


def _form(book: Book, form: Form, record: OpenRecord | None = None) -> list[Any]:
    kept_as = form.sheet.lower().replace(" ", "-") + (f"-{record.row}" if record else "")
    name = form_name(kept_as)
    values = record.values if record else filled_in(book, form.sheet)
    fields = [field for field in form_of(form.sheet) if not record or field.key in form.later]
    horses, (units, likely) = horses_of(book), units_of(book, form.sheet)
    asked = {
        field.key: Asked(name, field, values.get(field.key, ""), horses, units.get(field.key, ""), likely)
        for field in fields
    }
    data = {
        "data_row": str(record.row) if record else "",
        "data_seen": json.dumps(as_typed(book, record) if record else {}),
        "data_scale": scale_of(book, form.sheet),
    }
    title = form.later_title if record else form.title
    parts = [*_blocks(form, asked), bar(at_hand(book) if form.look else "")]
    return entry_form(book, form.sheet, name, kept_as, title, parts, **data)


def form_name(kept_as: str) -> str:
    """An id for a form that no form before it had."""
    return f"{kept_as}-{next(_DRAWN)}"


def entry_form(
    book: Book, sheet: str, name: str, kept_as: str, title: str, parts: Sequence[Any], **data: str
) -> list[Any]:
    """A form whose entry is looked over, saved and taken back by the page; `kept_as` names its draft in this tab."""
    shared = {"data_row": "", "data_seen": "{}", "data_scale": "", "data_sheet": sheet}
    shared |= {"data_workbook": book.path.name, "data_kept_as": kept_as, "aria_label": title}
    return [
        html.Div(id="answer"),
        html.P(
            ["Taken up again where you left it. ", _button("Start afresh", "afresh")],
            id="restored", className="restored", hidden=True,
        ),
        html.Form(
            list(parts), id=name, className="entry", autoComplete="off", noValidate=True,
            **attributes(**{**shared, **data}),
        ),
    ]  # fmt: skip


def _blocks(form: Form, asked: Mapping[str, Asked]) -> Iterator[Any]:
    """What is asked at once; how the person looked, in a line that opens; what is asked only when wished."""
    look = [asked[key] for key in form.look if key in asked]
    rest = [each for each in asked.values() if each not in look]
    for each in rest:
        if _at_once(form, each.field):
            yield field_block(each)
        if look and each.field.key == "horse":
            yield _look(look)
    folded = [each for each in rest if not _at_once(form, each.field)]
    pulses = [each for each in folded if each.field.kind == "pulse"]
    others = [each for each in folded if each.field.kind != "pulse"]
    if pulses:
        yield _folded("pulses", "Pulses at the fetlocks", pulses)
    if others:
        yield _folded(
            "more", ", ".join(each.field.heading for each in others[:3]) + _and_more(others), others
        )


def _and_more(fields: Sequence[Asked]) -> str:
    return f" and {len(fields) - 3} more" if len(fields) > 3 else ""


def _at_once(form: Form, field: Field) -> bool:
    """A form with main figures asks for these first, and for the others only when it is wished."""
    lesser = (
        form.main and field.kind in ("length", "number", "words", "yes/no") and field.key not in form.main
    )
    return field.at_once and (field.required or not lesser)


def _folded(name: str, title: str, fields: Sequence[Asked]) -> html.Details:
    return html.Details([html.Summary(title), *(field_block(each) for each in fields)], id=f"fold-{name}")


def _look(fields: Sequence[Asked]) -> html.Details:
    """How the person looked, as last time unless it is changed."""
    said = ", ".join(f"{_SAID.get(each.field.key, '')}{each.value}" for each in fields if each.value)
    opening = "Seen as last time: " if said else "How did you look? "
    summary = html.Summary(html.Span([opening, html.Span(said, id="looked")]))
    blocks = [
        html.Div(field_block(each), **attributes(data_said=_SAID.get(each.field.key, ""))) for each in fields
    ]
    return html.Details([summary, *blocks], id="fold-look", className="look")


def bar(known_beforehand: Any) -> html.Div:
    """Always in reach: what is urgent, what is the matter with the entry, and Save."""
    return html.Div(
        [
            known_beforehand,
            html.Div(id="advice", **attributes(aria_live="assertive")),
            html.Div(id="message", **attributes(aria_live="polite")),
            html.Button("Save", type="submit", className="save", id="save"),
        ],
        className="bar",
    )


def _button(text: str, what: str) -> html.Button:
    return html.Button(text, type="button", className="action", **attributes(data_do=what))
