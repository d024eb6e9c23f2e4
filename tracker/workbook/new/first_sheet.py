"""The first sheet of a blank workbook: how to fill it, and what it cannot do."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from tracker.sheets import Sheet
from tracker.workbook.new.lay_out import BLUE, INK, LINE, POINTS, Look, print_to_fit

NAME = "Read me first"
LINES = (
    (
        "Ring the vet now",
        "Day or night, if the horse won't bear weight or won't move, has something stuck in a foot or a "
        "hole in it, or sweats or trembles with pain. Do not fill in anything first, and do not wait "
        "for a program.",
    ),
    (
        "Begin",
        "On the sheet Horses: a row for each horse, with its name and the day its shoes came off.",
    ),
    (
        "Day by day",
        "Write a row on the sheet Soundness whenever you look at the horse. The same gait, ground and "
        "line each time, seen by the same person, makes one day comparable with the next.",
    ),
    (
        "What a row needs",
        "A row needs what stands under a dark blue heading. Every other cell may stay empty. Empty "
        "never counts as zero: a score of 0 says that you looked and saw no lameness.",
    ),
    (
        "Notes and lists",
        "Click on a cell and a note says what belongs there; many cells have a list to pick from. The "
        "list helps and never binds: for several feet write LF, RF.",
    ),
    (
        "Dates, sizes, grades",
        "Dates are safest with the month by name: 4 Mar 2026. Lengths are in millimetres, or with the "
        "unit beside them: 3 1/2 in. Grades are 2, 2.5 or 2/5.",
    ),
    (
        "The other sheets",
        "Trimmer and vet go on Visits, an abscess on Abscesses, what was measured on Hooves. The sheets "
        "with a grey tab are there if you want them; delete those you do not.",
    ),
    (
        "Your own",
        "Columns and sheets of your own are left alone, and the order is yours. Only the names of the "
        "sheets and the headings must stay as they are.",
    ),
    (
        "What it is not",
        "This workbook and the program that reads it keep a record and give warnings. They are no "
        "substitute for a vet's examination, name no illness, set no dose, and never say that a horse "
        "is sound.",
    ),
    (
        "No warning",
        "No warning does not mean that all is well. When in doubt, ring the vet.",
    ),
)
_WIDTHS = (24, 84)
_LETTERS = 102  # that the wider column holds in a line: most letters are narrower than a figure
_RED = "#D55E00"  # vermilion, Okabe and Ito 2008: a bar beside black words, never the words themselves


def lay_out_first(page: Worksheet, look: Look, sheets: Sequence[Sheet]) -> None:
    """Write the ten lines, the urgent one first, and below them what each of the sheets is for."""
    for number, width in enumerate(_WIDTHS):
        page.set_column(number, number, width)
    _title(page, look, 0, NAME, 18)
    for row, (label, line) in enumerate(LINES, 2):
        urgent = row == 2
        left = _label(look, _RED if urgent else LINE, thick=urgent, bold=True)
        _line(page, row, label, left, line, _sentence(look, bold=urgent))
    below = 3 + len(LINES)
    _title(page, look, below, "The sheets", 14)
    for row, sheet in enumerate(sheets, below + 1):
        left = _label(look, BLUE if sheet.everyday else LINE, thick=sheet.everyday, bold=False)
        _line(page, row, sheet.name, left, sheet.about, _sentence(look, bold=False))
    page.hide_gridlines(2)
    print_to_fit(page, 1)


def _title(page: Worksheet, look: Look, row: int, text: str, size: int) -> None:
    page.set_row(row, size * 1.8)
    page.write_string(row, 0, text, look.format(bold=True, font_size=size, font_color=INK))


def _label(look: Look, colour: str, *, thick: bool, bold: bool) -> Format:
    bar = {"left": 5 if thick else 1, "left_color": colour}
    return look.format(bold=bold, font_color=INK, align="left", indent=1, valign="top", **bar)


def _sentence(look: Look, *, bold: bool) -> Format:
    return look.format(bold=bold, font_color=INK, valign="top", text_wrap=True)


def _line(page: Worksheet, row: int, label: str, left: Format, text: str, right: Format) -> None:
    page.set_row(row, 6 + POINTS * len(textwrap.wrap(text, _LETTERS)))
    page.write_string(row, 0, label, left)
    page.write_string(row, 1, text, right)
