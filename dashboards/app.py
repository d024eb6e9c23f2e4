"""The dashboard of one workbook: a frame that stays, and a page in it that follows the address and the file."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import Any

from dash import ClientsideFunction, Dash, Input, Output, State, no_update
from flask import Response

from dashboards.desk import Desk
from dashboards.frame import INDEX, above, framed, shell, went_wrong
from dashboards.guard import guard
from dashboards.library import Library
from dashboards.photo_desk import PhotoDesk
from dashboards.photo_post import photo_routes
from dashboards.post import entry_routes
from dashboards.share_post import share_routes

_CLIENT = "ledger"


def make_app(file: Path, day_first: bool | None = None) -> Dash:
    """An app of its own for the workbook; it reads the file at once, and whenever it changes."""
    desk = Desk(file, Library(file, day_first), day_first)
    photos = PhotoDesk(file, desk)
    app = Dash(
        __name__,
        assets_folder=str(Path(__file__).with_name("assets")),
        serve_locally=True,
        use_pages=False,
        compress=False,
        title="Soundness Ledger",
        update_title="",
        index_string=INDEX,
        add_log_handler=False,
        enable_mcp=False,
    )
    app.layout = lambda: shell(desk.stamp())
    app.server.url_map.merge_slashes = False  # a horse's name may hold any sign
    app.server.add_url_rule("/stamp", "stamp", lambda: _stamp(desk))
    app.server.config["DESK"] = desk
    entry_routes(app.server, desk)
    photo_routes(app.server, photos)
    share_routes(app.server, desk)
    _follow(app)
    _show(app, desk, photos)
    guard(app)
    return app


def _stamp(desk: Desk) -> Response:
    """The page's question whether anything changed; what waits is tried again on the way."""
    desk.try_again()
    return Response(desk.stamp(), mimetype="text/plain")


def _follow(app: Any) -> None:
    """What the page does by itself: watch the file and the window, name its tab, draw a letter anew."""
    app.clientside_callback(
        ClientsideFunction(_CLIENT, "follow"),
        Output("stamp", "data"),
        Output("stopped", "hidden"),
        Input("tick", "n_intervals"),
        State("stamp", "data"),
        prevent_initial_call=True,
    )
    app.clientside_callback(
        ClientsideFunction(_CLIENT, "narrow"), Output("narrow", "data"), Input("narrow", "id")
    )
    app.clientside_callback(ClientsideFunction(_CLIENT, "title"), Input("title", "data"))
    app.clientside_callback(ClientsideFunction(_CLIENT, "shared"), Input("stamp", "data"))


def _show(app: Dash, desk: Desk, photos: PhotoDesk) -> None:
    @app.callback(
        Output("head", "children"),
        Output("waiting", "children"),
        Output("page", "children"),
        Output("title", "data"),
        Output("held", "data"),
        Input("place", "pathname"),
        Input("stamp", "data"),
        Input("narrow", "data"),
        State("held", "data"),
    )
    def show(path: str | None, _stamp: str | None, narrow: bool | None, held: str | None) -> tuple[Any, ...]:
        return shown(desk, path or "/", bool(narrow), held, photos)


def shown(
    desk: Desk, path: str, narrow: bool, held: str | None, photos: PhotoDesk | None = None
) -> tuple[Any, ...]:
    """Everything in the frame, for an address. A page in which somebody may be typing, `held`, is left as it is."""
    try:
        reading = desk.library.read()
        head, page, title, holds = framed(path, reading, narrow=narrow, closed=desk.closed, desk=photos)
        told = above(path, reading, desk.waits())
        if held == path:
            return head, told, no_update, no_update, no_update
        return head, told, page, title, path if holds else ""
    except Exception:
        logging.getLogger(__name__).exception("showing %s", path)
        if held == path:
            return (no_update,) * 5
        head, page, title = went_wrong()
        return head, [], page, title, ""
