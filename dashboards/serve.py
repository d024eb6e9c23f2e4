"""Serve one workbook's pages to this computer, and to no other."""

from __future__ import annotations

import contextlib
import logging
import tempfile
import webbrowser
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dashboards.desk import Desk

HOST = "127.0.0.1"


def make_server(file: Path, *, port: int = 0, day_first: bool | None = None) -> Any:
    """A server that is bound to its port and not yet running, with its `desk`. Raises OSError where the port is taken."""
    from waitress.server import create_server

    from dashboards.app import make_app

    app = make_app(file, day_first)
    server = create_server(app.server, host=HOST, port=port, threads=8, ident=None)
    server.desk = app.server.config["DESK"]
    return server


def serve(file: Path, *, port: int = 0, browser: bool = True, day_first: bool | None = None) -> None:
    """Show the workbook until Ctrl-C. Raises OSError where the port is taken."""
    _log_to_file()
    server = make_server(file, port=port, day_first=day_first)
    address = f"http://{HOST}:{server.effective_port}/"
    print(f"{file.name} is shown at {address} on this computer only. Ctrl-C stops it.", flush=True)
    if browser:
        webbrowser.open(address)
    try:
        server.run()  # returns at Ctrl-C
    except KeyboardInterrupt:
        pass
    finally:
        server.close()
    print(f"Stopped. {said_at_the_end(server.desk, file.name)}", flush=True)


def said_at_the_end(desk: Desk, workbook: str) -> str:
    """What happened to the workbook while it was shown, and what still waits for it."""
    number = desk.written
    said = "The workbook was not changed."
    if number:
        said = f"{workbook} was written {'once' if number == 1 else f'{number} times'} from these pages."
    waits = len(desk.waits().entries)
    if waits == 1:
        said += " 1 entry still waits beside it, and is written when you open it again."
    elif waits:
        said += f" {waits} entries still wait beside it, and are written when you open it again."
    return said


def _log_to_file() -> None:
    """What goes wrong inside is for the log, not for the reader's screen."""
    handler: logging.Handler = logging.NullHandler()
    with contextlib.suppress(OSError):
        handler = logging.FileHandler(
            Path(tempfile.gettempdir()) / "soundness-ledger.log", encoding="utf-8", delay=False
        )
        handler.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    logging.getLogger().addHandler(handler)
