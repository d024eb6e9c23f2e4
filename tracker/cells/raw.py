"""What a cell can hold besides text, numbers and dates, as the workbook's reader hands it on."""

from __future__ import annotations


class CellError(str):
    """An error the spreadsheet shows in the cell, such as "#N/A"."""

    __slots__ = ()


class UnsavedFormula(str):
    """A formula whose result was never saved, such as "=A1+1"."""

    __slots__ = ()
