"""What is said when everything was given out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

from tracker.sheets import PHOTO_POINTS
from tracker.show import words
from tracker.workbook.exported.layout import CELLS


def exported_text(workbook: str, folder: Path, rows: Mapping[str, int], on: dt.date, form: str) -> str:
    """What was written where, by how many rows each table has; and who should not see it."""
    own = {stem: count for stem, count in rows.items() if "/" not in stem}
    aside = sum(count for stem, count in rows.items() if stem.startswith("set-aside/"))
    made = sum(stem.startswith("worked-out/") for stem in rows)
    lines = [
        f"Written into {folder}, as of {words.day(on)}:",
        f"  {_counted(sum(own.values()), 'record')} of {_counted(len(own), 'sheet')}",
        f"  {_counted(aside, 'row')} set aside, as typed",
        f"  {_counted(rows[CELLS], 'cell')} that the tables show otherwise than typed, or not at all",
        f"  {_counted(made, 'table')} of what was worked out",
        "datapackage.json says what every column holds.",
    ]
    if form == "csv":
        lines.append(f"The folder can be opened like {workbook} itself.")
    if rows.get(PHOTO_POINTS.name):
        lines.append(
            f"The photographs are not in it: copied into a folder “{folder.name} photos” beside it they are found."
        )
    lines.append("It holds all that the workbook holds: names, telephone numbers and remarks too.")
    return "\n".join(lines)


def _counted(count: int, of: str) -> str:
    return f"{count:,} {of}" if count == 1 else f"{count:,} {of}s"
