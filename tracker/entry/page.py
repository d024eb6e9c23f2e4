"""One of the owner's sheets as an entry meets it: where its columns are, and where a new one would go."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from tracker.cells.text import says_nothing, squeeze
from tracker.check.headings import second_block
from tracker.check.layout import totals_row
from tracker.check.locate import locate_sheets
from tracker.sheets import Column, Sheet
from tracker.workbook.letters import column_letter
from tracker.workbook.new.lay_out import heading_text
from tracker.workbook.read import RawSheet, RawWorkbook


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet's cells and the place of each known column, from 0, by its key.

    `heading_row` counts from 1; it is 0 where the sheet has no heading row that fits. The records reach to
    the row `end`, without those `aside`; `totals` is a row of totals below them. From the row `until` on
    something else stands, such as a second table; 0 where nothing does. `beside` is the column from which on
    another table stands beside this one; 0 where none does. `is_new`: the workbook has no such
    sheet, and this is the one that would be added.
    """

    sheet: Sheet
    name: str
    heading_row: int
    rows: list[list[object]]
    places: dict[str, int]
    end: int
    aside: frozenset[int] = frozenset()
    totals: int = 0
    until: int = 0
    beside: int = 0
    is_new: bool = False

    def ref(self, key: str, row: int) -> str:
        """A cell as the owner knows it: "Soundness!F14"."""
        return f"{self.sheet.name}!{column_letter(self.places[key])}{row}"

    def record(self, row: int) -> dict[str, object]:
        """The known cells of a row that hold something, by key; empty where the sheet has no record there."""
        if not self.heading_row < row <= self.end or row in self.aside:
            return {}
        cells = self.rows[row - 1]
        known = {key: cells[index] for key, index in self.places.items() if index < len(cells)}
        return {key: value for key, value in known.items() if not says_nothing(value)}

    def is_blank(self, row: int) -> bool:
        """Whether a record could stand in that row, and none does."""
        beyond = bool(self.until) and row >= self.until
        return row > self.heading_row and row not in self.aside and not beyond and not self.record(row)

    def records(self) -> Iterable[tuple[int, dict[str, object]]]:
        """Every record with its row."""
        for row in range(self.heading_row + 1, self.end + 1):
            if found := self.record(row):
                yield row, found

    def count(self, wanted: Mapping[str, Callable[[object], bool]]) -> int:
        """How many rows fit: a test for each key, the most telling first."""
        if not wanted.keys() <= self.places.keys():
            return 0
        tests = [(self.places[key], fits) for key, fits in wanted.items()]
        body = self.rows[self.heading_row : self.end]
        return sum(all(fits(row[at] if at < len(row) else "") for at, fits in tests) for row in body)

    def with_columns(self, columns: Iterable[Column]) -> Page:
        """The sheet with more headings, each in the first free column right of the last heading.

        A table beside it is left out, for it ends what is read; `crowded` says whether it is in the way.
        """
        places = dict(self.places)
        rows = [row[: self.beside] for row in self.rows] if self.beside else list(self.rows)
        for column in columns:
            index = _free_column(rows, self.heading_row)
            rows[self.heading_row - 1] = _with(rows[self.heading_row - 1], {index: heading_text(column)})
            places[column.key] = index
        return replace(self, rows=rows, places=places)

    @property
    def crowded(self) -> str:
        """The heading's cell, such as "E1", that must stay blank to part this table from the one beside it.

        "" where there is room for all headings.
        """
        if not self.beside or max(self.places.values(), default=0) < self.beside - 1:
            return ""
        return f"{column_letter(self.beside - 1)}{self.heading_row}"

    def with_row(self, cells: Mapping[str, object], row: int | None) -> tuple[Page, int]:
        """The sheet with a new record below the others (`row` None) or with cells of a record set, and its row."""
        rows = list(self.rows) if row else [*self.rows[: self.end], []]
        number = row or len(rows)
        rows[number - 1] = _with(rows[number - 1], {self.places[key]: value for key, value in cells.items()})
        return replace(self, rows=rows), number

    def grown(self, cells: Mapping[str, object], row: int | None) -> Page:
        """The sheet once that record is in it."""
        known = {key: value for key, value in cells.items() if key in self.places}
        page, number = self.with_row(known, row)
        return replace(page, end=max(self.end, number), is_new=False)

    def raw(self) -> RawSheet:
        """The sheet as the reader would give it."""
        width = max(map(len, self.rows))
        square = [row if len(row) == width else row + [""] * (width - len(row)) for row in self.rows]
        return RawSheet(self.name, square)


def _with(row: list[object], cells: Mapping[int, object]) -> list[object]:
    longer = row + [""] * (max(cells, default=-1) + 1 - len(row))
    for index, value in cells.items():
        longer[index] = value
    return longer


def _filled(value: object) -> bool:
    return value != ""


def _free_column(rows: list[list[object]], heading_row: int) -> int:
    """The first column right of the last heading in which nothing stands."""
    headings = rows[heading_row - 1]
    index = max((at for at, text in enumerate(headings) if text != ""), default=-1) + 1
    while any(index < len(row) and row[index] != "" for row in rows):
        index += 1
    return index


def page_of(workbook: RawWorkbook, sheet: Sheet) -> Page:
    """The workbook's sheet of that declaration, or the one that would be added where there is none."""
    for located in locate_sheets(workbook)[0]:
        if located.sheet is sheet:
            places = {place.column.key: place.index for place in located.places}
            rows, end = located.raw.rows, located.body.end
            below = (number for number, row in enumerate(rows[end:], end + 1) if any(map(_filled, row)))
            headings = rows[located.heading_row - 1]
            beside = second_block(sheet, headings)
            return Page(
                sheet, located.raw.name, located.heading_row, rows, places, end,
                frozenset(located.body.totals), totals_row(located) or 0, next(below, 0),
                beside if beside < len(headings) else 0,
            )  # fmt: skip
    for raw in workbook.sheets:
        if squeeze(raw.name) == squeeze(sheet.name):
            return Page(sheet, raw.name, 0, raw.rows, {}, 0)
    titles: list[object] = [heading_text(column) for column in sheet.columns]
    places = {column.key: index for index, column in enumerate(sheet.columns)}
    return Page(sheet, sheet.name, 1, [titles], places, 1, is_new=True)


def workbook_with(workbook: RawWorkbook, page: Page) -> RawWorkbook:
    """The workbook with that sheet in place of its own, or added."""
    kept = [page.raw() if raw.name == page.name else raw for raw in workbook.sheets]
    return replace(workbook, sheets=(*kept, page.raw()) if page.is_new else tuple(kept))
