"""The yard: every horse in a few words, the most urgent first."""

from __future__ import annotations

from typing import Any

from dash import html

from dashboards.pages import problems
from dashboards.parts import Page, horse_href, lead, link, rule_name, table, urgency
from tracker import Book
from tracker.show.overview import YardRow, yard_rows

PATH = "/"
NO_RULE = (
    "Where no rule fires, that does not mean that nothing is wrong: the rules see only what was written down."
)


def layout(book: Book) -> Page:
    """Every horse with its most urgent warning, the time since its shoes came off, and the last note."""
    rows = yard_rows(book)
    if not rows:
        return Page("Nothing is written down yet", [*_first_steps(book), *_problems(book)])
    headings = ("Horse", "To do", "Shoes off for", "Last note")
    listed = table(headings, [_row(row) for row in rows], "The horses", "yard")
    return Page("The yard", [listed, html.P(NO_RULE, className="small"), *_problems(book)])


def _row(row: YardRow) -> tuple[Any, ...]:
    said = "What fires is answered, and quiet for now." if row.quiet else "No rule fires on what is recorded."
    doing: list[Any] = [html.Span(said, className="soft")]
    if row.urgent:
        doing = [
            urgency(row.urgent.urgency, row.urgent.headline),
            html.Div(rule_name(row.urgent.rule), className="small"),
            *([html.Div(row.urgent.state, className="small")] if row.urgent.state else []),
        ]
    if row.more:
        doing.append(html.Div(f"and {row.more} more", className="small"))
    since: list[Any] = [html.Div(text) for text in row.since] or [
        html.Span("No day given.", className="soft")
    ]
    return (
        link(row.shown, horse_href(row.name)),
        doing,
        since,
        row.last_note or html.Span("None yet.", className="soft"),
    )


def _first_steps(book: Book) -> list[Any]:
    return [
        lead(f"{book.path.name} holds no records yet."),
        html.Ol(
            [
                html.Li("Open it in your spreadsheet program."),
                html.Li("On the Horses sheet, write the horse's name and the day its shoes came off."),
                html.Li(
                    "On the Soundness sheet, write today's note: the date, how you looked, and the score."
                ),
                html.Li("Save. This page then shows it by itself."),
            ]
        ),
        html.P(["Or ", link("write today's note here", "/write"), "."]),
    ]


def _problems(book: Book) -> list[Any]:
    number = len(book.problems)
    if not number:
        return []
    text = "1 cell or row of the workbook cannot be read or is in doubt." if number == 1 else (
        f"{number} cells or rows of the workbook cannot be read or are in doubt."
    )  # fmt: skip
    return [html.P([text, " ", link("See which", problems.PATH)])]
