"""The dashboard of one workbook: a frame that stays, and a page in it that follows the address and the file."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import Any

from dash import ClientsideFunction, Dash, Input, Output, State
from flask import Response

from dashboards.frame import INDEX, page_in_frame, shell, went_wrong
from dashboards.guard import guard
from dashboards.library import Library

_CLIENT = "ledger"


def make_app(file: Path, day_first: bool | None = None) -> Dash:
    """An app of its own for the workbook; it reads the file at once, and whenever it changes."""
    library = Library(file, day_first)
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
    app.layout = lambda: shell(library.read().stamp)
    app.server.url_map.merge_slashes = False  # a horse's name may hold any sign
    app.server.add_url_rule("/stamp", "stamp", lambda: Response(library.read().stamp, mimetype="text/plain"))
    _follow(app)
    _show(app, library)
    guard(app)
    return app


def _follow(app: Any) -> None:
    """What the page does by itself: watch the file and the window, and name its tab."""
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


def _show(app: Dash, library: Library) -> None:
    @app.callback(
        Output("head", "children"),
        Output("page", "children"),
        Output("title", "data"),
        Input("place", "pathname"),
        Input("stamp", "data"),
        Input("narrow", "data"),
    )
    def show(path: str | None, _stamp: str | None, narrow: bool | None) -> tuple[Any, Any, str]:
        try:
            return page_in_frame(path or "/", library.read(), narrow=bool(narrow))
        except Exception:
            logging.getLogger(__name__).exception("showing %s", path)
            return went_wrong()
