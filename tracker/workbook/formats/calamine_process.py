"""Reads one .xls or .xlsb workbook in a process of its own: the file on standard input, its cells on standard output.

The library may end the whole process, run on and on, or fill the memory, and nothing in the process could stop it.
This file is run by its path and imports nothing of the program.
"""

from __future__ import annotations

import pickle
import sys
from collections.abc import Iterator
from contextlib import suppress
from io import BytesIO

import python_calamine

Tables = list[tuple[str, list[list[object]]]]


def _limit(seconds: int, memory: int) -> None:
    """Set limits, in seconds of work and in bytes, where the system has such; Windows has none."""
    try:
        import resource
    except ImportError:
        return
    for what, most in (
        (resource.RLIMIT_CPU, seconds),
        (resource.RLIMIT_AS, memory),
        (resource.RLIMIT_CORE, 0),
    ):
        with suppress(ValueError, OSError):
            resource.setrlimit(what, (most, most))


def _tables(content: bytes, most_cells: int) -> Iterator[tuple[str, list[list[object]]]]:
    workbook = python_calamine.load_workbook(BytesIO(content))
    for meta in workbook.sheets_metadata:
        if meta.typ != python_calamine.SheetTypeEnum.WorkSheet:
            continue
        sheet = workbook.get_sheet_by_name(meta.name)
        most_cells -= sheet.total_height * sheet.total_width
        if most_cells < 0:
            raise MemoryError
        rows = sheet.to_python(skip_empty_area=False)
        yield meta.name, [[float(cell) if type(cell) is int else cell for cell in row] for row in rows]


def _outcome(content: bytes, most_cells: int) -> Tables | str:
    """The cells, or the reason why there are none."""
    try:
        return list(_tables(content, most_cells))
    except MemoryError:
        return "file-too-large"
    except python_calamine.PasswordError:
        return "file-password"
    except BaseException:  # the library's panics are no Exceptions
        return "file-damaged"


if __name__ == "__main__":
    _limit(int(sys.argv[1]), int(sys.argv[2]))
    found = _outcome(sys.stdin.buffer.read(), int(sys.argv[3]))
    with suppress(BrokenPipeError):
        pickle.dump(found, sys.stdout.buffer, protocol=5)
        sys.stdout.buffer.flush()
