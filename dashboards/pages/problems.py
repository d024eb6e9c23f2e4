"""The problems of the workbook: which cell, what stands there, what is allowed, what to do."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from typing import Any

from dash import html

from dashboards.parts import Page, attributes, lead, table
from tracker import Book, Problem

PATH = "/problems"
MOST = 200
_SHAPES = {"error": "■", "doubt": "◇"}


def layout(book: Book) -> Page:
    """Every problem by its place, in the workbook's order; the display is cut, never the list."""
    problems = book.problems
    if not problems:
        return Page("Problems in the workbook", _none(book))
    headings = ("Where", "Found", "Allowed", "What it means", "To do")
    rows = [_row(problem) for problem in problems[:MOST]]
    return Page(
        "Problems in the workbook",
        [
            lead(_tally(problems)),
            html.P(
                "Mend them in your spreadsheet program and save: this page looks again by itself within a few "
                "seconds, and what is mended goes from the list. Nothing you typed is changed."
            ),
            table(headings, rows, "Problems", "problems"),
            *_rest(book),
        ],
    )


def _tally(problems: Sequence[Problem]) -> str:
    errors = sum(problem.severity == "error" for problem in problems)
    doubts = len(problems) - errors
    told = [f"{errors} error{'' if errors == 1 else 's'}"] if errors else []
    told += [f"{doubts} doubt{'' if doubts == 1 else 's'}"] if doubts else []
    return f"{' and '.join(told)} in what is typed."


def _row(problem: Problem) -> tuple[Any, ...]:
    where = [
        html.Span(
            [
                html.Span(_SHAPES[problem.severity], className="shape", **attributes(aria_hidden="true")),
                problem.severity,
            ],
            className=f"severity {problem.severity}",
        ),
        html.Div(problem.cell or problem.sheet or "the workbook", className="cell"),
        html.Div(problem.column, className="small") if problem.column else "",
    ]
    return (
        where,
        html.Span(problem.found, className="typed") if problem.found else "",
        problem.allowed,
        problem.message,
        problem.hint,
    )


def _rest(book: Book) -> list[Any]:
    more = len(book.problems) - MOST
    if more <= 0:
        return []
    command = f"soundness check {shlex.quote(book.path.name)} --all"
    return [html.P([f"… and {more} more. ", html.Code(command), " lists them all."])]


def _none(book: Book) -> list[Any]:
    if not any(read for read, _ in book.rows.values()):
        return [lead("Nothing is written down yet, so there is nothing to look over.")]
    return [
        lead("Nothing that is typed is in doubt."),
        html.P("This speaks of how the workbook is written, and says nothing about the horse."),
    ]
