"""How one sheet is laid out: headings, widths, formats, lists to pick from, hints, and the printed page."""

from __future__ import annotations

import itertools
import math
import textwrap
from collections.abc import Mapping, Sequence

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_range
from xlsxwriter.worksheet import Worksheet

from tracker.cells.text import heading as fold_heading
from tracker.sheets import BORN, CHOICE, DATE, FOOT, HORSE, MOMENT, PULSE, SCORE, SIGNS, TEXT, Column, Sheet

Head = tuple[str, Column | None]
"""A heading as it stands in the workbook, and the declared column it names: None for the owner's own."""

LAST_ROW = 10_000  # years of daily notes; lists and hints reach down to here
PAGE_CHARS = 230  # what A4 across holds in type that can still be read
OWN_WIDTH = 16
LONGEST_LIST = 255  # characters with the commas: what Excel takes in a cell's own list

BLUE, GREY, INK, LINE = "#0072B2", "#E7E7E7", "#222222", "#999999"  # blue: Okabe and Ito 2008
DAY, DAY_AND_MONTH, DAY_AND_TIME = "d mmm yyyy", "d mmm", "d mmm yyyy h:mm"
GENERAL, AS_TYPED = "General", "@"
POINTS = 15  # one line of words
A4 = 9  # ISO/IEC 29500-1 §18.3.1.63

# In a cell of no format, 2/5 or 1-2 turns into a date and what was meant is lost; so does 0-10, even when it
# is picked from a list. As Text it stays as typed. The price, that the spreadsheet cannot add the grades up,
# is no loss: a grade is a rank.
_FORMATS = {DATE: DAY, MOMENT: DAY_AND_TIME} | dict.fromkeys((SCORE, PULSE, CHOICE), AS_TYPED)
_WRAPPED = (TEXT, SIGNS)
_ACROSS = {BORN: "left", DATE: "left", MOMENT: "left", SCORE: "center", PULSE: "center"}


class Look:
    """The cell formats of one workbook, each made once."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, object], ...], Format] = {}

    def format(self, **how: object) -> Format:
        """Make a format of XlsxWriter's properties, such as `bold=True`."""
        key = tuple(sorted(how.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(how)
        return self._made[key]

    def cell(self, column: Column | None, number_format: str) -> Format:
        """Hang rows from their upper edge, and let long words run on to the next line, not out of sight."""
        holds = column.holds if column else TEXT
        across = {"align": _ACROSS[holds]} if holds in _ACROSS else {}
        return self.format(num_format=number_format, valign="top", text_wrap=holds in _WRAPPED, **across)


def heading_text(column: Column) -> str:
    """Name the column as the blank workbook does. Weeks are said: "Trim every" alone leaves that open."""
    return f"{column.heading} (weeks)" if column.unit_note == "weeks" else column.heading


def heads_of(sheet: Sheet | None, headings: Sequence[str]) -> list[Head]:
    """Pair each heading with the declared column it names; a second one of a name is the owner's own."""
    unnamed = {fold_heading(column.heading)[0]: column for column in sheet.columns} if sheet else {}
    return [(text, unnamed.pop(fold_heading(text)[0], None)) for text in headings]


def number_format(column: Column | None) -> str:
    """Give a column's cell format, in the spreadsheet's own code."""
    return _FORMATS.get(column.holds, GENERAL) if column else GENERAL


def lay_out(page: Worksheet, look: Look, heads: Sequence[Head], *, everyday: bool) -> None:
    """Give an empty sheet its heading row, its columns, and its printed page."""
    lines = max((len(textwrap.wrap(text, _width(column) - 1)) for text, column in heads), default=1)
    page.set_row(0, 6 + POINTS * lines)
    for number, (text, column) in enumerate(heads):
        page.write_string(0, number, text, _heading_format(look, column))
        page.set_column(number, number, _width(column), look.cell(column, number_format(column)))
        if column:
            page.data_validation(1, number, LAST_ROW - 1, number, _hint(column))
    _keep_as_typed(page, heads)
    page.set_tab_color(BLUE if everyday else LINE)
    _print(page, heads)


def height(heads: Sequence[Head], values: Mapping[int, object]) -> int:
    """Give the height that a row needs, in points, for its words to be seen: `values` by column, from 0."""
    texts = ((str(value), heads[number][1]) for number, value in values.items() if isinstance(value, str))
    wrapping = [(text, column) for text, column in texts if column is None or column.holds in _WRAPPED]
    # Most letters are narrower than the figure that widths are counted in.
    return POINTS * max(
        (len(textwrap.wrap(text, int(1.15 * _width(column)))) for text, column in wrapping), default=1
    )


def print_to_fit(page: Worksheet, wide: int) -> None:
    """Print on A4, so many pages wide and as long as it takes, with the sheet's name and the page count."""
    page.set_paper(A4)
    page.fit_to_pages(wide, 0)
    page.set_header("&L&A")
    page.set_footer("&RPage &P of &N")


def _width(column: Column | None) -> int:
    return column.width if column else OWN_WIDTH


def _heading_format(look: Look, column: Column | None) -> Format:
    needed = column is not None and column.required
    colours = {"font_color": "#FFFFFF", "bg_color": BLUE} if needed else {"font_color": INK, "bg_color": GREY}
    edges = {"bottom": 1, "bottom_color": LINE, "right": 1, "right_color": LINE}
    return look.format(bold=True, text_wrap=True, valign="vcenter", **colours, **edges)


def _hint(column: Column) -> dict[str, object]:
    """Put a note beside the cell, and a list. The list helps and never binds: people write "LF, RF"."""
    hint = {
        "input_title": column.heading,
        "input_message": f"{column.hint} A row needs it." if column.required else column.hint,
        "show_error": False,
    }
    if column.choices:
        return {"validate": "list", "source": _fitting(column.choices), **hint}
    return {"validate": "any", **hint}


def _fitting(choices: Sequence[str]) -> list[str]:
    """The first choices that a cell's list can hold; the others can still be typed."""
    length = [*itertools.accumulate(len(choice) + 1 for choice in choices)]
    return [choice for choice, upto in zip(choices, length, strict=True) if upto - 1 <= LONGEST_LIST]


def _keep_as_typed(page: Worksheet, heads: Sequence[Head]) -> None:
    """Spare the owner the green corner that a spreadsheet puts on figures in Text cells."""
    columns = [n for n, (_, column) in enumerate(heads) if number_format(column) == AS_TYPED]
    if columns:
        ranges = (xl_range(1, n, LAST_ROW - 1, n) for n in columns)
        page.ignore_errors({"number_stored_as_text": " ".join(ranges)})


def _print(page: Worksheet, heads: Sequence[Head]) -> None:
    """Print across. A sheet too wide for one page takes more, each with headings and first columns."""
    first = _first_columns(heads)
    total, stay = (sum(_width(column) for _, column in part) for part in (heads, heads[:first]))
    wide = 1 if total <= PAGE_CHARS else math.ceil((total - stay) / (PAGE_CHARS - stay))
    if wide > 1 and first:
        page.repeat_columns(0, first - 1)
    page.freeze_panes(1, first if wide > 1 else 0)
    page.repeat_rows(0)
    page.hide_gridlines(0)  # that is: show them, on paper too
    page.set_landscape()
    page.set_margins(left=0.4, right=0.4)
    print_to_fit(page, wide)


def _first_columns(heads: Sequence[Head]) -> int:
    """Count the columns at the left that say which row this is: the date, the horse, the foot."""
    says_which = (column is not None and column.holds in (DATE, HORSE, FOOT) for _, column in heads[:3])
    return len(list(itertools.takewhile(bool, says_which)))
