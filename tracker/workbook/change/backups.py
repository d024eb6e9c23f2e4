"""Copies of the workbook as it was before each change, in a folder beside it, fewer the older they are.

All of today's stay; of the last month the last of each day; of the time before that the last of each month.
"""

from __future__ import annotations

import datetime as dt
import os
import re
from collections.abc import Iterable
from pathlib import Path

from tracker.workbook.change.disk import push_folder, same_rights, write_through

MONTH = dt.timedelta(days=31)
_MOMENT = "%Y-%m-%d %H.%M.%S.%f"
_NAMED = re.compile(r" (\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d\.\d{6})$")


def folder_of(real: Path) -> Path:
    """The folder beside the workbook. Two workbooks whose names differ in their endings have one each."""
    return real.with_name(f"{real.name} backups")


def made_folder(real: Path) -> Path:
    """The folder, made where it is missing, with the rights that the workbook's own folder has. Raises OSError."""
    folder = folder_of(real)
    if not folder.is_dir():
        folder.mkdir()
        same_rights(real.parent, folder)
    return folder


def keep(real: Path, content: bytes, now: dt.datetime | None = None) -> Path:
    """Keep a copy of the workbook's bytes, and thin out the older ones. Raises OSError."""
    now = now or dt.datetime.now()
    folder = made_folder(real)
    copy = folder / f"{real.stem} {now.strftime(_MOMENT)}{real.suffix}"
    for left in _copies(folder, real, ".part"):  # a writer was stopped in the middle
        left.unlink(missing_ok=True)
    part = copy.with_suffix(".part")
    write_through(part, content)
    same_rights(real, part)
    os.replace(part, copy)
    push_folder(folder)
    for old in superfluous(_copies(folder, real, real.suffix), now.date()):
        old.unlink(missing_ok=True)
    return copy


def _copies(folder: Path, real: Path, ending: str) -> dict[Path, dt.datetime]:
    """The copies of this workbook and the moment of each; anything else in the folder is the owner's."""
    copies = {}
    for path in folder.iterdir():
        found = _NAMED.search(path.stem)
        if found and path.suffix == ending and path.stem[: found.start()] == real.stem:
            copies[path] = dt.datetime.strptime(found[1], _MOMENT)
    return copies


def superfluous(copies: dict[Path, dt.datetime], today: dt.date) -> Iterable[Path]:
    """The copies that need not stay."""
    last: dict[object, Path] = {}
    for path, moment in sorted(copies.items(), key=lambda item: item[1]):
        day = moment.date()
        if day >= today:
            last[path] = path
        elif day > today - MONTH:
            last[day] = path
        else:
            last[day.year, day.month] = path
    return [path for path in copies if path not in set(last.values())]
