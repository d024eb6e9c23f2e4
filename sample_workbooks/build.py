"""Write the sample workbooks again: `python -m sample_workbooks.build`."""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path

from sample_workbooks import first_week, mistakes, yard, year
from sample_workbooks.hand import days_on
from sample_workbooks.year_photos import add_photographs
from tracker.workbook.new.blank import write_workbook

FOLDER = Path(__file__).parent
END = date(2026, 11, 20)  # the last day of the samples as they are kept here
NAMES = ("a-year-barefoot.xlsx", "a-first-week.xlsx", "a-yard-of-six.xlsx", "thirty-mistakes.xlsx")


def build_year(path: Path, end: date) -> None:
    """Write the year barefoot so that its last day is `end`. Raises FileExistsError as write_workbook does."""
    write_workbook(path, year.records(end), headings=year.HEADINGS, made=_made(end))


def build_demo(path: Path, end: date) -> None:
    """Write the year barefoot as `build_year` does, with its photographs beside it. Raises NotWritten too."""
    build_year(path, end)
    add_photographs(path, days_on(end, -year.LENGTH))


def build_all(folder: Path = FOLDER) -> None:
    """Write all samples into the folder, over the ones that are there."""
    paths = [folder / name for name in NAMES]
    for path in paths:
        path.unlink(missing_ok=True)
    build_year(paths[0], END)
    write_workbook(paths[1], first_week.records(END), made=_made(END))
    write_workbook(paths[2], yard.records(END), headings=yard.HEADINGS, first_sheet=False, made=_made(END))
    write_workbook(
        paths[3], mistakes.records(), headings=mistakes.HEADINGS, first_sheet=False, made=_made(END)
    )


def _made(end: date) -> datetime:
    return datetime.combine(end, time(20))


if __name__ == "__main__":
    build_all()
