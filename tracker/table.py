"""A checked sheet: typed columns, and the way back from every value to its cell."""

from __future__ import annotations

from collections import namedtuple
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from keyword import iskeyword
from typing import Any

import pandas as pd

from tracker.sheets import Sheet


@dataclass(frozen=True)  # without slots, so that what is asked for again and again is worked out once
class Table:
    """The records of one sheet.

    `frame` has one row a record and one column for each declared key, whether the workbook has it or not.
    Its index is the row number of the spreadsheet. Dates are datetime64 (a true NaT where empty), quantities
    float in the canonical unit (NaN where empty), words str ("" where empty), limbs and signs tuples of str.
    The Soundness sheet has three columns more, for the warnings alone: see tracker.check.scores.settle_scales.
    Rows that were set aside are still in `frame`, so that nothing that was typed is out of reach;
    `kept` is what the rest of the program works with, by whole columns; `rows` and `rows_of` are the same by
    rows, and `all_rows` is `frame` by rows. `units` are those that headings name for bare numbers. The frame of a table is never changed.
    """

    sheet: Sheet
    frame: pd.DataFrame
    set_aside: frozenset[int]
    letters: dict[str, str]
    units: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def kept(self) -> pd.DataFrame:
        """The records without those that were set aside."""
        if not self.set_aside:
            return self.frame
        return self.frame.loc[~self.frame.index.isin(list(self.set_aside))]

    @cached_property
    def all_rows(self) -> tuple[Any, ...]:
        """All records, those that were set aside too, in order, as `each` gives them."""
        return tuple(each(self.frame))

    @cached_property
    def rows(self) -> tuple[Any, ...]:
        """The records that are kept, in order."""
        if not self.set_aside:
            return self.all_rows
        return tuple(row for row in self.all_rows if row.Index not in self.set_aside)

    def rows_of(self, horse: str) -> tuple[Any, ...]:
        """Those of one horse."""
        return self._by_horse.get(horse, ())

    @cached_property
    def _by_horse(self) -> dict[str, tuple[Any, ...]]:
        found: dict[str, list[Any]] = {}
        for row in self.rows:
            found.setdefault(row.horse, []).append(row)
        return {horse: tuple(rows) for horse, rows in found.items()}

    def cell(self, key: str, row: int) -> str:
        """Where a value stands, such as "Soundness!F14"; the row's first column where the key has none."""
        letter = self.letters.get(key) or next(iter(self.letters.values()), "A")
        return f"{self.sheet.name}!{letter}{row}"


def each(frame: pd.DataFrame) -> Iterator[Any]:
    """Go through a frame's rows: each has the columns' keys as attributes, and `Index`, its row number.

    The same as pandas' `itertuples`, in a fraction of its time, but for moments: they are plain datetimes here, and
    None where one is empty. The columns' types are declared with the sheets, not with pandas, so the row is `Any`. A key that
    Python keeps for itself, such as "from", ends with an underscore here.
    """
    if frame.empty:
        return iter(())
    columns = [_cells(column) for _, column in frame.items()]
    return map(_row_class(tuple(frame.columns))._make, zip(frame.index.tolist(), *columns, strict=True))


def _cells(column: pd.Series[Any]) -> list[Any]:
    if column.dtype.kind == "M":
        return list(column.to_numpy().astype("datetime64[us]").tolist())
    return list(column.to_numpy().tolist())


@lru_cache
def _row_class(keys: tuple[str, ...]) -> Any:
    names = [f"{key}_" if iskeyword(key) else key for key in keys]
    return namedtuple("Row", ["Index", *names], rename=True)
