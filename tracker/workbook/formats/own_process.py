"""The old and the binary kind of workbook, read by a process that may end without ending this one."""

from __future__ import annotations

import pickle
import signal
import subprocess
import sys
from pathlib import Path
from typing import cast

from tracker.workbook.gate import Refused
from tracker.workbook.raw_workbook import Rows

MOST_BYTES = 64_000_000
"""Bytes of a file that is handed on; 100,000 rows of 20 figures are about 30,000,000."""

MOST_CELLS = 4_000_000
"""Cells that all sheets together may take: they are in two processes at once."""

_SECONDS, _MEMORY = 4, 800_000_000  # of work; bytes
_PATIENCE = 20  # seconds on the clock, for a busy machine and where work cannot be limited
_READER = Path(__file__).with_name("calamine_process.py")
_SPENT = {-getattr(signal, name, 0) for name in ("SIGXCPU", "SIGKILL")}


def read_apart(content: bytes) -> list[tuple[str, Rows]]:
    """Give each sheet's name and rows. Raises Refused."""
    if len(content) > MOST_BYTES:
        raise Refused("file-too-large")
    command = [sys.executable, "-P", str(_READER), str(_SECONDS), str(_MEMORY), str(MOST_CELLS)]
    try:
        ended = subprocess.run(command, input=content, capture_output=True, timeout=_PATIENCE, check=False)
    except subprocess.TimeoutExpired as error:
        raise Refused("file-too-large") from error
    if ended.returncode:
        out_of_memory = b"memory" in ended.stderr.lower()
        raise Refused("file-too-large" if ended.returncode in _SPENT or out_of_memory else "file-damaged")
    found = pickle.loads(ended.stdout)
    if isinstance(found, str):
        raise Refused(found)
    return cast("list[tuple[str, Rows]]", found)
