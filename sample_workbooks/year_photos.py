"""The photographs that lie beside the year barefoot, and how they come to lie beside a copy of it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from sample_workbooks.foot_days import Shot
from sample_workbooks.foot_jpeg import dated
from sample_workbooks.hand import days_on
from sample_workbooks.year_feet import shots
from tracker.photos.folder import folder_of
from tracker.photos.keep import keep_photo

_BESIDE = folder_of(Path(__file__).parent / "a-year-barefoot.xlsx")


def kept_at(shot: Shot) -> Path:
    """Where the drawn photograph is kept."""
    return _BESIDE / shot.name


def add_photographs(workbook: Path, start: date) -> None:
    """Keep all of them beside this workbook, as if taken in a story that began on `start`. Raises NotWritten."""
    for shot in shots():
        day = days_on(start, shot.day)
        keep_photo(workbook, dated(kept_at(shot).read_bytes(), day), shot.name, today=day)
