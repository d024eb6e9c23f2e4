"""A second reader looks at every workbook we have written, before the file gets its name."""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO

import openpyxl

Cells = Mapping[tuple[int, int], object]


def differences(content: bytes, written: Mapping[str, Cells]) -> list[str]:
    """The cells that do not read back as they were written, as "sheet!row,column" counted from 0.

    Words and numbers are compared; formulas, errors and dates are the spreadsheet program's to show.
    """
    book = openpyxl.load_workbook(BytesIO(content))
    return [
        f"{name}!{row},{column}"
        for name, cells in written.items()
        for (row, column), value in cells.items()
        if _plain(value) and book[name].cell(row + 1, column + 1).value != value
    ]


def _plain(value: object) -> bool:
    return isinstance(value, int | float) or (isinstance(value, str) and value[:1] not in ("", "=", "#"))
