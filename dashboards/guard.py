"""What keeps the pages on this computer: known hosts only, callbacks from our own pages only, strict headers."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from dash import Dash
from flask import Flask, Response, abort, request

HOSTS = ["127.0.0.1", "localhost"]
MOST_BYTES = 64 * 1024
_READ_ONLY = ("GET", "HEAD", "OPTIONS")
_KEPT = ("/_dash-component-suites/", "/assets/")


def guard(app: Dash) -> None:
    """Put every guard on the app. To be called last, when all its scripts are known."""
    server: Flask = app.server
    _nothing_for_developers(app)
    server.config.update(TRUSTED_HOSTS=HOSTS, MAX_CONTENT_LENGTH=MOST_BYTES)
    server.before_request(_own_pages_only)
    server.after_request(_with_headers(_policy(app.csp_hashes())))


def _nothing_for_developers(app: Dash) -> None:
    """Said aloud, because the environment could turn it on."""
    app.server.debug = False
    app.enable_dev_tools(
        debug=False,
        dev_tools_ui=False,
        dev_tools_props_check=False,
        dev_tools_serve_dev_bundles=False,
        dev_tools_hot_reload=False,
        dev_tools_disable_version_check=True,
    )


def _own_pages_only() -> None:
    """A page of another site can send a form here, but not without naming itself as its origin."""
    if request.method not in _READ_ONLY and request.headers.get("Origin") != request.host_url.rstrip("/"):
        abort(403)


def _policy(script_hashes: Sequence[str]) -> str:
    # plotly and the page renderer write style elements, for which no hash can be known beforehand
    return "; ".join(
        (
            "default-src 'self'",
            f"script-src 'self' {' '.join(script_hashes)}",
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data:",
            "object-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
            "frame-ancestors 'none'",
        )
    )


def _with_headers(policy: str) -> Callable[[Response], Response]:
    def add(response: Response) -> Response:
        response.headers["Content-Security-Policy"] = policy
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["X-Frame-Options"] = "DENY"
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
        if not request.path.startswith(_KEPT):
            response.headers["Cache-Control"] = "no-store"
        return response

    return add
