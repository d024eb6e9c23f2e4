"""What the page For the vet asks the program: the letter as it would be sent, and the files to take away."""

from __future__ import annotations

import datetime as dt
import json
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import Flask, Response, abort, request

from dashboards.desk import Desk
from dashboards.made import EVERYTHING, LETTER, attached, named
from dashboards.post import NOT_OURS, answering, text
from tracker import Book, HorseRecord, NotWritten, Unreadable
from tracker.show import words
from tracker.show.letter.choice import Choice
from tracker.show.letter.letter import letter_of
from tracker.show.letter.message import message
from tracker.show.letter.page import page

_DAYS = {"since": "From", "until": "To"}
_UNEXPECTED = (
    "Something went wrong inside the program, so nothing was made. The program's log holds the details."
)


class Wrong(Exception):
    """What keeps a letter from being drawn up, in one sentence, and the fields to be mended."""

    def __init__(self, message: str, *fields: str) -> None:
        super().__init__(message)
        self.fields = fields


@dataclass(frozen=True, slots=True)
class Asked:
    """What a page sends: the horse, the choices as they stand in its form, and what is to be made of them."""

    horse: str
    question: str
    without: tuple[str, ...]
    extras: tuple[str, ...]
    since: str
    until: str
    paper: str
    what: str = ""


def share_routes(server: Flask, desk: Desk) -> None:
    """Answer the page's questions."""
    server.add_url_rule("/letter", "letter", answering(desk, asked_in, drawn), methods=["POST"])
    server.add_url_rule("/make", "make", lambda: _make(desk), methods=["POST"])


def asked_in(body: Mapping[str, Any]) -> Asked:
    """What the page sent. Raises ValueError, KeyError, TypeError, AttributeError where no page of ours sends that."""
    said = {key: text(body[key]) for key in ("horse", "question", "since", "until", "paper")}
    without, extras = (_texts(body[key]) for key in ("without", "extras"))
    return Asked(without=without, extras=extras, what=text(body.get("what", "")), **said)


def _texts(given: Any) -> tuple[str, ...]:
    if not isinstance(given, list):
        raise ValueError("not a list")
    return tuple(text(one) for one in given)


def drawn(desk: Desk, asked: Asked) -> dict[str, Any]:
    """The letter as a page and as a message; or the sentence that says why there is none."""
    try:
        book, horse = _found(desk, asked)
        letter = letter_of(book, horse, choice_of(asked, book))
    except Wrong as wrong:
        return {"message": str(wrong), "fields": wrong.fields}
    return {"page": page(letter), "text": message(letter)}


def _make(desk: Desk) -> Response:
    """The file itself; where there is none, the sentence that says why, as JSON."""
    try:
        asked = asked_in(request.get_json())
        made = EVERYTHING[asked.what]
    except NOT_OURS:
        abort(400)
    try:
        book, horse = _found(desk, asked)
        content = made.make(book, horse, choice_of(asked if asked.what in LETTER else _paper_of(asked), book))
    except Wrong as wrong:
        return _told(str(wrong))
    except (NotWritten, Unreadable) as failure:
        trouble = desk.told(failure)
        return _told(f"{trouble.message} {trouble.hint}")
    except Exception:
        logging.getLogger(__name__).exception("making %s", asked.what)
        return _told(_UNEXPECTED)
    return Response(
        content, content_type=made.kind, headers={"Content-Disposition": attached(named(made, book, horse))}
    )


def _paper_of(asked: Asked) -> Asked:
    """What matters to a file that is no letter."""
    return Asked(asked.horse, "", (), (), "", "", asked.paper)


def _told(sentence: str) -> Response:
    return Response(json.dumps({"message": sentence}), mimetype="application/json")


def _found(desk: Desk, asked: Asked) -> tuple[Book, HorseRecord]:
    reading = desk.library.read()
    if reading.book is None:
        raise Wrong(reading.trouble.message if reading.trouble else "The workbook cannot be read now.")
    horse = reading.book.horse(asked.horse)
    if horse is None:
        raise Wrong(f"{reading.workbook} has no horse named {asked.horse} now.")
    return reading.book, horse


def choice_of(asked: Asked, book: Book) -> Choice:
    """The sender's choice of that book. Raises Wrong where it cannot be meant so."""
    since, until = _day(asked.since, "since"), _day(asked.until, "until")
    if since and until and since > until:
        raise Wrong(
            f"From, {words.day(since)}, is a later day than To, {words.day(until)}. Put the earlier day under From.",
            "since", "until",
        )  # fmt: skip
    if since and since > book.as_of:
        raise Wrong(
            f"From, {words.day(since)}, is later than the record's last day, {words.day(book.as_of)}. Put an earlier day there.",
            "since",
        )
    question = asked.question.encode(
        "utf-8", "replace"
    ).decode()  # half a sign can be typed, but not be written
    try:
        return Choice(question, frozenset(asked.without), frozenset(asked.extras), since, until, asked.paper)
    except ValueError as unknown:
        raise Wrong(f"Not known: {unknown}.") from None


def _day(typed: str, field: str) -> dt.date | None:
    """A day as the browser's own calendar gives it; None where it was left empty."""
    if not typed:
        return None
    try:
        return dt.datetime.strptime(typed, "%Y-%m-%d").date()
    except ValueError:
        raise Wrong(f"{_DAYS[field]} is not a whole day. Choose one, or empty it.", field) from None
