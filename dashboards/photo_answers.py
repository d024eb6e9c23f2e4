"""What a Photos page is told: what the points measure so far, what was kept, written, or taken back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dash import dcc, html

from dashboards.answers import heading, plain
from dashboards.library import Trouble
from dashboards.pages.photos import as_sent, href_of
from dashboards.parts import attributes
from dashboards.photo_desk import PhotoDesk
from tracker import Entered, Marking, Problem
from tracker.show.marking import LINE_CAUTION, in_words, line_in_words, line_needs, point_name

Answer = dict[str, Any]
_OF_THE_ROW = ("photo-not-marked", "photo-no-scale", "photo-no-ground", "photo-no-points")


def kept(photos: PhotoDesk, content: bytes, name: str) -> Answer:
    """Where the photograph lies now, or why it was not kept."""
    found = photos.keep(content, name)
    if isinstance(found, Trouble):
        return {"message": f"{found.message} {found.hint}"}
    return {"href": href_of(found.name), "known": found.known}


def measured(photos: PhotoDesk, asked: tuple[Marking, Sequence[tuple[str, str]]]) -> Answer:
    """Every angle and length with its error; what is in doubt; what is still missing; the lines that were asked for."""
    found = photos.measure(*asked, photos.point_part())
    if isinstance(found, Trouble):
        return {"read": plain(found)}
    rows = [
        html.Tr([html.Th([name, html.Div(explained, className="small")], scope="row"), html.Td(value)])
        for name, value, explained in in_words(found.seen)
    ]
    table = [html.Table(html.Tbody(rows), className="read-table")] if rows else []
    wrong = [each for each in found.seen.problems if each.kind not in _OF_THE_ROW]
    missing = [each for each in found.seen.problems if each.kind in _OF_THE_ROW]
    return {
        "read": [
            *[html.P(_in_words(_said(problem)), className="problem doubt") for problem in wrong],
            *_compared(found.lines),
            *table,
            *_missing(missing),
        ],
        "lines": [{"points": each.line.line, "look": "guide"} for each in found.lines if each.line],
    }


def _compared(lines: Sequence[Any]) -> list[Any]:
    """What each line shows that was asked for, or why it is not there."""
    told: list[Any] = []
    for each in lines:
        if each.problem:
            told.append(html.P(_said(each.problem), className="problem doubt"))
        elif each.line is None:
            told.append(html.P(line_needs(each.kind)))
        else:
            lead, points = line_in_words(each.line, each.said)
            told += (
                [html.P(lead), html.Ul([html.Li(point) for point in points])] if points else [html.P(lead)]
            )
    return [*told, html.P(LINE_CAUTION, className="small")] if told else []


def _said(problem: Problem) -> str:
    return f"{problem.message} {problem.hint}"


def _missing(problems: Sequence[Problem]) -> list[Any]:
    if not problems:
        return []
    lines = [html.Li(_in_words(_said(problem))) for problem in problems]
    return [html.Details([html.Summary("Not measured, and why"), html.Ul(lines, className="small")])]


def _in_words(sentence: str) -> str:
    """Points by the names that the page gives them."""
    return " ".join(
        point_name(word.strip(".,:")).lower() + word[len(word.rstrip(".,:")) :] if "_" in word else word
        for word in sentence.split(" ")
    )


def entered(photos: PhotoDesk, asked: tuple[Marking, Marking | None, bool]) -> Answer:
    """What came of saving a marking."""
    marking, loaded, again = asked
    if not marking.date:  # elsewhere a record without one is of today; a picture seldom is
        return {"message": [html.P("Date: on which day was the picture taken?")], "field": "date"}
    found = photos.enter(marking, loaded, again=again)
    if isinstance(found, Trouble):
        return {"message": plain(found)}
    if any(entry.state == "refused" for entry in found):
        return {"message": _refused(found)}
    return {"answer": _written(photos, found), "loaded": as_sent(marking)}


def _refused(found: Sequence[Entered]) -> list[Any]:
    wrong = dict.fromkeys(
        f"{problem.column + ': ' if problem.column else ''}{_said(problem)}"
        for entry in found
        for problem in entry.problems
        if problem.severity == "error"
    )
    return [html.P("Not saved yet:"), html.Ul([html.Li(said) for said in wrong])]


def _written(photos: PhotoDesk, found: Sequence[Entered]) -> list[Any]:
    on = dcc.Link("All photos", href="/photos", className="action")
    if not found:
        return [heading("Nothing had changed"), html.Div([on], className="next")]
    library = photos.desk.library
    waits = [entry for entry in found if entry.state != "in the workbook"]
    reason = html.P(library.named(waits[0].reason)) if waits else ""
    title = "Kept beside the workbook for now" if waits else f"Written into {library.read().workbook}"
    undo = html.Button(
        "Undo", type="button", className="action",
        **attributes(data_do="undo-points", data_entries=" ".join(entry.id for entry in found)),
    )  # fmt: skip
    return [
        heading(title),
        reason,
        html.Ul([html.Li(line) for line in _lines(found)]),
        *_in_doubt(found),
        html.P("From a photo: provisional until somebody has checked the live foot.", className="small"),
        html.Div([undo, on], className="next"),
    ]


def _lines(found: Sequence[Entered]) -> list[str]:
    points = [entry for entry in found if entry.sheet == "Photo points"]
    rows = sorted(entry.row for entry in points if entry.row)
    lines = []
    if points:
        where = f", rows {rows[0]} to {rows[-1]}" if len(rows) > 1 else f", row {rows[0]}" if rows else ""
        lines.append(f"Photo points: {len(points)} {'point' if len(points) == 1 else 'points'}{where}")
    for entry in found:
        if entry.sheet != "Photo points":
            told = [f"{name} {text}" for name, text in entry.shown.items() if text and name not in _KNOWN]
            row = f", row {entry.row}" if entry.row else ""
            lines.append(f"{entry.sheet}{row}: {', '.join(told)}")
    return lines


def _in_doubt(found: Sequence[Entered]) -> list[Any]:
    """What the program is unsure of in what it wrote, and what it leaves out."""
    told = dict.fromkeys(
        f"{problem.column + ': ' if problem.column else ''}{_said(problem)}"
        for entry in found
        for problem in entry.problems
    )
    return (
        [html.H3("In doubt"), html.Ul([html.Li(said) for said in told], className="doubts")] if told else []
    )


_KNOWN = ("Date", "Horse", "Foot", "Stage", "Measured with", "Photo", "Checked on the live horse")


def taken_back(photos: PhotoDesk, entries: Sequence[str]) -> Answer:
    """What came of taking a marking back."""
    found = photos.undo(entries)
    if isinstance(found, Trouble):
        return {"answer": [heading("Not all of it was taken back"), *plain(found)]}
    if found.reason:
        return {"answer": [heading("Not all of it was taken back"), html.P(found.reason)]}
    return {"state": "taken back", "answer": [heading("Taken back"), html.P("The points still stand below.")]}
