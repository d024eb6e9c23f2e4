"""A horse's warnings on its pages: in full with their answers, folded away where these say so, or in a line each."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from dash import dcc, html

from dashboards.parts import (
    URGENT,
    attributes,
    horse_href,
    link,
    ring,
    rule_name,
    share_href,
    table,
    urgency,
    warning,
)
from tracker import Book
from tracker.show import words
from tracker.show.answers import ALL_QUIET, AnswerView
from tracker.show.contact import Contact, vet_of
from tracker.show.contents import PART_OF_SHEET, PARTS
from tracker.show.shapes import HorseView, WarningView, shown_name, warning_view

ANSWER_PATH = "/answer"
MOST_LINES = 2


def now_section(book: Book, horse: str, view: HorseView) -> html.Section:
    """What needs doing now; what is answered and quiet stands folded below it."""
    vet = vet_of(book, horse)
    told: list[Any] = [_of_one_cause(found, horse, vet) for found in view.messages]
    if told:
        told.append(
            dcc.Link("Make a letter for the vet", href=share_href(horse), className="to-answer letter-link")
        )
    if not told:
        said = ALL_QUIET if view.quiet_warnings else words.NO_WARNING
        told = [html.P(said), html.P(link("What the program watches", "/warnings"))]
    return html.Section(
        [html.H2("What needs doing now"), *told, *_quiet(view.quiet_warnings, horse, vet)], className="now"
    )


def _quiet(views: tuple[WarningView, ...], horse: str, vet: Contact) -> list[Any]:
    if not views:
        return []
    summary = html.Summary(f"Answered, and quiet for now ({len(views)})")
    return [html.Details([summary, *(standing(view, horse, vet) for view in views)], className="quiet")]


def _of_one_cause(views: tuple[WarningView, ...], horse: str, vet: Contact) -> html.Article:
    """The most urgent warning of a cause, and the others of it below."""
    first, *others = views
    return standing(first, horse, vet, *(standing(other, horse, vet) for other in others))


def standing(view: WarningView, horse: str, vet: Contact, *more: Any) -> html.Article:
    """One warning with the vet's number where it is urgent, its answers, and the way to answer it."""
    return warning(
        view,
        *number(view, vet),
        *_answers(view.answers),
        *_to_answer(view, horse),
        *_behind(view, horse),
        *more,
    )


def _behind(view: WarningView, horse: str) -> list[Any]:
    """The way to the pages that tell of what it rests on."""
    sheets = (cell.partition("!")[0] for cell in view.cells)
    slugs = dict.fromkeys(PART_OF_SHEET[sheet] for sheet in sheets if sheet in PART_OF_SHEET)
    titles = {part.slug: part.title for part in PARTS}
    return [
        dcc.Link(f"See {titles[slug]}", href=horse_href(horse, slug), className="to-answer") for slug in slugs
    ]


def number(view: WarningView, vet: Contact) -> list[Any]:
    """The vet's number, beside what should not wait."""
    return ring(vet) if view.urgency in URGENT else []


def _answers(answers: tuple[AnswerView, ...]) -> list[Any]:
    told = [
        html.Li(["Answered: ", answer.said, " ", html.Span(answer.cell, className="soft")])
        for answer in answers
    ]
    return [html.Ul(told, className="answers")] if told else []


def _to_answer(view: WarningView, horse: str) -> list[Any]:
    if not view.name or not horse:
        return []
    said = f"{'Answer again' if view.answers else 'Answer'}: {rule_name(view.name)}"
    return [dcc.Link(said, href=answer_href(horse, view.name), className="to-answer")]


def answer_href(horse: str, name: str) -> str:
    """The address of the form that answers the warning of that name; the horse's name may hold any sign."""
    return f"{ANSWER_PATH}/{quote(name, safe='')}/{quote(horse, safe='')}"


def history(view: HorseView) -> html.Section | str:
    """Every answer to a warning, those to warnings that have ended too."""
    if not view.answers:
        return ""
    rows = [
        (answer.day, rule_name(answer.rule), answer.done, answer.by, answer.outcome, answer.quiet_until)
        for answer in view.answers
    ]
    headings = ("Day", "Warning", "What was done", "By", "Outcome", "Quiet until")
    listed = table(headings, rows, "Answers to warnings", "answered")
    return html.Section([html.H2("Answers to warnings"), listed])


def in_short(book: Book, horse: str, but: str = "") -> list[Any]:
    """The horse's warnings in a line each, the most urgent first, for a page that is about something else of it.

    `but` is the one that the page itself shows.
    """
    record = book.horse(horse) if horse else None
    views = [warning_view(found) for found in record.warnings if not found.quiet] if record else []
    urgent = [view for view in views if view.urgency in URGENT and view.name != but]
    rest = len([view for view in views if view.name != but]) - len(urgent[:MOST_LINES])
    if not (urgent or rest):
        return []
    lines = [html.Li([urgency(view.urgency, view.headline), _rule(view)]) for view in urgent[:MOST_LINES]]
    more = (
        f"and {rest} more" if urgent and rest else f"{rest} warning{'' if rest == 1 else 's'}" if rest else ""
    )
    whose = link(f"All of {shown_name(horse)}, and why", horse_href(horse))
    told = [html.Ul(lines)] if lines else []
    called = ring(vet_of(book, horse)) if urgent else []
    return [
        html.Aside(
            [*told, *called, html.P([html.Span(more), " ", whose] if more else whose)],
            className="in-short",
            **attributes(aria_label=f"Warnings of {shown_name(horse)}"),
        )
    ]


def _rule(view: WarningView) -> html.Span:
    return html.Span(f"{rule_name(view.name)}{f' ({view.state})' if view.state else ''}", className="rule")
