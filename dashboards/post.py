"""The three questions that the Write page asks: look over, save, take back. Each comes as JSON, by POST."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from flask import Flask, Response, abort, request

from dashboards import answers
from dashboards.desk import Desk, Sent
from tracker import form_of

D = TypeVar("D")
# What reading a body raises that no page of ours sends; the last where it is nested without end.
NOT_OURS = (ValueError, KeyError, AttributeError, TypeError, RecursionError)
_FAULT = {
    "state": answers.FAILED,
    "fields": {},
    "message": "Something went wrong inside the program. What you entered still stands here; the program's log holds the details.",
}


def entry_routes(server: Flask, desk: Desk) -> None:
    """Answer the page's questions."""
    for name, read, answer in (
        ("look", sent_in, answers.looked),
        ("enter", sent_in, answers.entered),
        ("undo", _entry_in, answers.taken_back),
    ):
        server.add_url_rule(f"/{name}", name, answering(desk, read, answer), methods=["POST"])


def answering(desk: D, read: Callable[[Any], Any], answer: Callable[[D, Any], Any]) -> Callable[[], Response]:
    """A route that reads what a page sent, answers it as JSON, and says so where the program itself fails."""

    def respond() -> Response:
        try:
            asked = read(request.get_json())
        except NOT_OURS:
            abort(400)
        try:
            told = answer(desk, asked)
        except Exception:
            logging.getLogger(__name__).exception("answering %s", request.path)
            told = _FAULT
        return Response(json.dumps(told, default=_component), mimetype="application/json")

    return respond


def sent_in(body: Mapping[str, Any]) -> Sent:
    """What the page sent. Raises ValueError, KeyError, TypeError, AttributeError where no page of ours sends that."""
    form_of(body["sheet"])
    row = body.get("row")
    if row is not None and (isinstance(row, bool) or not isinstance(row, int) or row < 1):
        raise ValueError("not a row")
    allowed = {name: body.get(name) is True for name in ("add_column", "to_remarks", "add_sheet")}
    return Sent(
        sheet=body["sheet"],
        typed=texts(body["typed"]),
        row=row,
        seen=texts(body.get("seen") or {}),
        once=text(body.get("once") or ""),
        **allowed,
    )


def _entry_in(body: Mapping[str, Any]) -> str:
    return text(body["entry"])


def texts(named: Mapping[str, Any]) -> dict[str, str]:
    """The same, once it is sure that all are texts. Raises ValueError."""
    return {text(name): text(value) for name, value in named.items()}


def text(value: Any) -> str:
    """The same, once it is sure that it is a text. Raises ValueError."""
    if not isinstance(value, str):
        raise ValueError("not a text")
    return value


def _component(value: Any) -> Any:
    return value.to_plotly_json()
