"""What the Photos pages ask the program: keep a photograph, show it, measure its points, enter them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from flask import Flask, Response, request

from dashboards import photo_answers
from dashboards.library import Trouble
from dashboards.photo_desk import LARGEST_SIDE, PhotoDesk
from dashboards.post import answering, text, texts
from tracker import Marking, markings_of

_MOST_BYTES = 200_000_000  # the largest photograph that can be used, without any compression
_MOST_POINTS = 100
_MOST_LINES = 10
_VIEWS = ("side", "front", "sole")


def photo_routes(server: Flask, photos: PhotoDesk) -> None:
    """Answer the pages' questions."""
    server.add_url_rule("/photo/<path:name>", "photo", lambda name: _picture(photos, name))
    server.add_url_rule(
        "/levelled/<view>/<foot>/<path:name>", "levelled", lambda **which: _levelled(photos, **which)
    )
    server.add_url_rule("/keep", "keep", lambda: _keep(photos), methods=["POST"])
    for name, read, answer in (
        ("measure", _asked_in, photo_answers.measured),
        ("enter-points", _saved_in, photo_answers.entered),
        ("undo-points", _entries_in, photo_answers.taken_back),
    ):
        server.add_url_rule(f"/{name}", name, answering(photos, read, answer), methods=["POST"])


def _picture(photos: PhotoDesk, name: str) -> Response:
    side = request.args.get("side", LARGEST_SIDE, type=int)
    return _jpeg(photos.shown(name, side))


def _levelled(photos: PhotoDesk, view: str, foot: str, name: str) -> Response:
    """By name, so that the address means the same marking when rows were deleted or sorted.

    An address that names no horse means the first with that foot on the photograph.
    """
    book = photos.desk.library.read().book
    horse = request.args.get("horse")
    for marking in markings_of(book) if book else ():
        same = (marking.view, marking.foot, marking.photo) == (view, foot, name)
        if same and (horse is None or marking.horse == horse):
            return _jpeg(photos.levelled(marking))
    return Response("There is no such marked photograph.", 404, mimetype="text/plain")


def _jpeg(found: bytes | Trouble) -> Response:
    if isinstance(found, Trouble):
        return Response(f"{found.message} {found.hint}", 404, mimetype="text/plain")
    return Response(found, mimetype="image/jpeg")


def _keep(photos: PhotoDesk) -> Response:
    """Keep the body as it comes: it is the file."""
    request.max_content_length = _MOST_BYTES
    told = photo_answers.kept(photos, request.get_data(), request.args.get("name", ""))
    return Response(json.dumps(told), mimetype="application/json")


def marking_in(body: Mapping[str, Any]) -> Marking:
    """The marking that the page sent. Raises ValueError, KeyError, TypeError, AttributeError for what no page sends."""
    said = texts({key: body.get(key, "") for key in ("foot", "horse", "date", "stage", "scale", "card")})
    named = texts({"photo": body["photo"], "view": body["view"]})
    if named["view"] not in _VIEWS or len(body["points"]) > _MOST_POINTS:
        raise ValueError("no view, or too many points")
    points = {name: (_number(x), _number(y)) for name, (x, y) in body["points"].items()}
    return Marking(**named, **said, points=points)


def _asked_in(body: Mapping[str, Any]) -> tuple[Marking, list[tuple[str, str]]]:
    lines = [(text(kind), text(said)) for kind, said in body.get("lines", [])]
    return marking_in(body), lines[:_MOST_LINES]


def _saved_in(body: Mapping[str, Any]) -> tuple[Marking, Marking | None, bool]:
    """What is saved, what was opened, and whether that is marked once more: then it has all but the points anew."""
    marking, loaded = marking_in(body), marking_in(body["loaded"]) if body.get("loaded") else None
    if body.get("again") and loaded:
        return replace(loaded, points={**loaded.points, **marking.points}), loaded, True
    return marking, loaded, False


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 100_000:
        raise ValueError("not a place in a picture")
    return round(float(value), 1)


def _entries_in(body: Mapping[str, Any]) -> list[str]:
    entries = [text(entry) for entry in body["entries"]]
    if not 0 < len(entries) <= _MOST_POINTS:
        raise ValueError("no entries, or too many")
    return entries
