"""A checked sheet: typed columns, and the way back from every value to its cell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import pandas as pd

from tracker.sheets import Sheet


@dataclass(frozen=True, slots=True)
class Table:
    """The records of one sheet.

    `frame` has one row a record and one column for each declared key, whether the workbook has it or not.
    Its index is the row number of the spreadsheet. Dates are datetime64 (a true NaT where empty), quantities
    float in the canonical unit (NaN where empty), words str ("" where empty), limbs and signs tuples of str.
    The Soundness sheet has three columns more, for the warnings alone: see tracker.check.scores.settle_scales.
    Rows that were set aside are still in `frame`, so that nothing that was typed is out of reach;
    `kept` is what the rest of the program works with. `units` are those that headings name for bare numbers.
    """

    sheet: Sheet
    frame: pd.DataFrame
    set_aside: frozenset[int]
    letters: dict[str, str]
    units: Mapping[str, str] = field(default_factory=dict)

    @property
    def kept(self) -> pd.DataFrame:
        """The records without those that were set aside."""
        if not self.set_aside:
            return self.frame
        return self.frame.loc[~self.frame.index.isin(list(self.set_aside))]

    def cell(self, key: str, row: int) -> str:
        """Where a value stands, such as "Soundness!F14"; the row's first column where the key has none."""
        letter = self.letters.get(key) or next(iter(self.letters.values()), "A")
        return f"{self.sheet.name}!{letter}{row}"
