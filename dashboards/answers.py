"""What a page is told after an entry was looked over, saved or taken back: at its fields, in its bar, in its place."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from dash import dcc, html

from dashboards.desk import Desk, Sent
from dashboards.library import Trouble
from dashboards.parts import URGENT, attributes, horse_href, marked, ring, urgency, warning
from dashboards.usual import filled_in, scale_of
from tracker import Book, Entered, Problem, TakenBack, form_of
from tracker.show import words
from tracker.show.contact import vet_of
from tracker.show.shapes import WarningView, shown_name, warning_view

Answer = dict[str, Any]
IN, KEPT, REFUSED, TAKEN, FAILED = "in", "kept", "refused", "taken back", "failed"
_SHAPES = {"error": "■", "doubt": "◇"}
_LACKING = ("entry-no-column", "entry-no-sheet")


def looked(desk: Desk, sent: Sent) -> Answer:
    """What there is to say before an entry is saved: doubts at its fields, advice, and the usual look of its horse.

    `blind` where the workbook cannot be read now: then the page says what it has at hand.
    """
    found = desk.look(sent)
    if isinstance(found, Trouble):
        return {"fields": {}, "advice": [], "blind": True}
    filled = [
        problem for problem in found.problems if problem.kind not in _LACKING and _is_filled(problem, sent)
    ]
    book = desk.library.read().book
    return {
        "fields": _at_fields(sent.sheet, filled),
        "advice": advice(found.warnings, book),
        **_usual(book, sent),
    }


def _usual(book: Book | None, sent: Sent) -> Answer:
    """How the horse is usually looked at, once it is known which."""
    horse = sent.typed.get("horse", "")
    if not book or not horse:
        return {}
    return {"usual": filled_in(book, sent.sheet, horse), "scale": scale_of(book, sent.sheet, horse)}


def entered(desk: Desk, sent: Sent) -> Answer:
    """What came of saving an entry."""
    found = desk.enter(sent)
    if isinstance(found, Trouble):
        return {"state": FAILED, "fields": {}, "message": plain(found)}
    book = desk.library.read().book
    if found.problems and not found.id:
        return _refused(sent, found, book)
    reason = desk.library.named(found.reason)
    told = _written(found, desk.library.read().workbook) if found.cells else _kept(found, reason)
    return {
        "state": IN if found.cells else KEPT,
        "fields": {},
        "answer": [
            *_warnings(found.warnings, book),
            *told,
            *_doubts(found.problems),
            _next(found.id, sent),
        ],
    }


def taken_back(desk: Desk, entry: str) -> Answer:
    """What came of taking an entry back."""
    found = desk.undo(entry)
    if isinstance(found, Trouble):
        return {"state": FAILED, "answer": [heading("Not taken back"), *plain(found), _next(entry)]}
    if found.reason:
        return {"state": FAILED, "answer": [heading("Not taken back"), html.P(found.reason), _next("")]}
    return {"state": TAKEN, "answer": _back(found)}


def _is_filled(problem: Problem, sent: Sent) -> bool:
    headings = {field.heading: field.key for field in form_of(sent.sheet)}
    return bool(problem.column and sent.typed.get(headings.get(problem.column, ""), ""))


def _at_fields(sheet: str, problems: Iterable[Problem]) -> dict[str, list[Any]]:
    """What is wrong, by the key of the field at which it stands; what is wrong with the whole under ""."""
    keys = {field.heading: field.key for field in form_of(sheet)}
    found: dict[str, list[Any]] = defaultdict(list)
    for problem in problems:
        found[keys.get(problem.column or "", "")].append(_problem(problem))
    return found


def _problem(problem: Problem) -> html.Span:
    shape = html.Span(_SHAPES[problem.severity], className="shape", **attributes(aria_hidden="true"))
    allowed = f" Allowed: {problem.allowed}. {problem.hint}" if problem.found else ""
    return html.Span([shape, f"{problem.message}{allowed}"], className=f"problem {problem.severity}")


def advice(warnings: Sequence[Any], book: Book | None) -> list[Any]:
    """The most urgent warning in full, with the vet's number; the others by what they are about."""
    views = [(warning_view(firing), firing.horse) for firing in warnings]
    if not views:
        return []
    first, horse = views[0]
    others = [html.P(f"{view.headline}: {view.because}", className="small") for view, _ in views[1:]]
    return [
        html.Div(
            [
                html.P([urgency(first.urgency, first.headline)]),
                html.P(first.to_do, className="to-do"),
                *_ring(first, book, horse),
                html.P(first.because, className="small"),
                *others,
                html.P(words.CAUTION, className="small caution"),
            ],
            className=f"warning {first.urgency.replace(' ', '-')}",
        )
    ]


def _ring(view: WarningView, book: Book | None, horse: str) -> list[Any]:
    return ring(vet_of(book, horse)) if book and view.urgency in URGENT else []


def _warnings(warnings: Sequence[Any], book: Book | None) -> list[Any]:
    told: list[Any] = [heading("What needs doing now")]
    for firing in warnings:
        view = warning_view(firing)
        told += [warning(view), *_ring(view, book, firing.horse)]
    if not warnings:
        return []
    told.append(html.P(words.CAUTION, className="small caution"))
    return [html.Div(told, className="advised")]


def heading(text: str) -> html.H2:
    """The heading of an answer, which gets the focus."""
    return html.H2(text, tabIndex=-1, **attributes(data_focus="yes"))


def _written(found: Entered, workbook: str) -> list[Any]:
    rows = [
        part
        for heading, cell in found.cells.items()
        for part in (
            html.Dt(heading),
            html.Dd([_said(found.shown, heading), html.Span(cell, className="cell")]),
        )
    ]
    return [heading(f"Written into {workbook}"), html.Dl(rows, className="written")]


def _said(shown: Mapping[str, str], heading: str) -> html.Span:
    return html.Span(shown.get(heading, "") or "emptied")


def _kept(found: Entered, reason: str) -> list[Any]:
    said = ", ".join(f"{heading}: {text}" for heading, text in found.shown.items() if text)
    return [
        heading("Kept beside the workbook for now"),
        html.P(reason),
        html.P("The program tries again by itself; the top of the page says when it is in the workbook."),
        html.P(said, className="small"),
    ]


def _doubts(problems: Sequence[Problem]) -> list[Any]:
    doubts = [html.Li(_with_column(problem)) for problem in problems]
    return [html.H3("In doubt"), html.Ul(doubts, className="doubts")] if doubts else []


def _with_column(problem: Problem) -> list[Any]:
    return [html.B(f"{problem.column}: ") if problem.column else "", _problem(problem)]


def _next(entry: str, sent: Sent | None = None) -> html.Div:
    """What to do after an entry: take it back, or go on from it."""
    undo = [_do("Undo", "undo", data_entry=entry)] if entry else []
    return html.Div([*undo, _on_from(sent)], className="next")


def _on_from(sent: Sent | None) -> Any:
    """A changed record leads back to today's note, an answer to its horse, any other to one more."""
    if sent and sent.sheet == "Follow-up":
        horse = sent.typed.get("horse", "")
        return dcc.Link(f"Back to {shown_name(horse)}", href=horse_href(horse), className="action")
    if sent and sent.row:
        return dcc.Link("Today's note", href="/write", className="action")
    return _do("Write another", "again")


def _do(text: str, what: str, **more: str) -> html.Button:
    return html.Button(text, type="button", className="action", **attributes(data_do=what, **more))


def _back(found: TakenBack) -> list[Any]:
    cells = ", ".join(cell.rpartition("!")[2] for cell in found.cells.values())
    said = "It no longer waits for the workbook."
    if cells:
        said = f"On the sheet {found.sheet} these cells hold again what they held before: {cells}."
    return [heading("Taken back"), html.P(f"{said} What you entered still stands below.")]


def plain(trouble: Trouble) -> list[Any]:
    """What is the matter, and what to do."""
    return [html.P(marked(trouble.message)), html.P([html.B("To do: "), *marked(trouble.hint)])]


def _refused(sent: Sent, found: Entered, book: Book | None) -> Answer:
    """What is wrong at its fields; for a column or a sheet that is lacking, what may be done about it."""
    lacking = [problem for problem in found.problems if problem.kind in _LACKING]
    told = [problem for problem in found.problems if problem not in lacking]
    others = _at_fields(sent.sheet, told)
    whole = others.pop("", [])
    number = sum(problem.severity == "error" and bool(problem.column) for problem in told)
    message: list[Any] = [html.P(part) for part in whole]
    if number:
        message.append(
            html.P(f"Not saved yet: {'one thing' if number == 1 else f'{number} things'} to mend above.")
        )
    if lacking and not number and not whole:
        message += _choices(lacking)
    return {"state": REFUSED, "fields": others, "advice": advice(found.warnings, book), "message": message}


def _choices(lacking: Sequence[Problem]) -> list[Any]:
    sheet = lacking[0].sheet or ""
    if lacking[0].kind == "entry-no-sheet":
        return [
            html.P(f"The workbook has no sheet {sheet}."),
            _do(f"Add the sheet {sheet}", "save", data_with="add_sheet"),
        ]
    columns = " and ".join(problem.column or "" for problem in lacking)
    noun = "column" if len(lacking) == 1 else "columns"
    buttons = [_do(f"Add the {noun} {columns}", "save", data_with="add_column")]
    if "Remarks" in lacking[0].hint:
        buttons.append(_do("Put it into Remarks", "save", data_with="to_remarks"))
    return [html.P(f"Your sheet {sheet} has no {noun} {columns}."), html.Div(buttons, className="next")]
