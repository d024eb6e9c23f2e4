"""The description beside the tables: a Data Package, with what this program needs to put the workbook together again."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from tracker.show.export.part import PROFILES, Part
from tracker.workbook.exported.layout import OURS, VERSION, SheetPlace
from tracker.workbook.exported.read import sum_of

_ABOUT = (
    "A lame horse's record as of {day}: the sheets of the workbook as they were read, the rows that were set aside "
    "(set-aside), what was typed otherwise than the tables show it (as-typed), and what was worked out of it "
    "(worked-out). It records and warns; it is no examination by a vet. Dates are ISO 8601, units are named in the "
    "headings or as UCUM codes in the property unit.{safe}"
)
_SAFE = (
    " A text that a spreadsheet program would take for a formula (it begins with = + - @, a tab, a line end, or one of "
    "the four signs in full width) has an apostrophe in front, and so has one that begins with apostrophes before such "
    "a sign: take the first apostrophe away where such a sign comes after it, or after more of them."
)


def describe(day: str, parts: Iterable[Part], contents: dict[str, bytes], ending: str) -> dict[str, Any]:
    """The description of these tables, whose files' contents are given by their names."""
    resources = []
    for part in parts:
        content = contents[f"{part.stem}{ending}"]
        resources.append(
            {
                "name": part.name,
                "path": f"{part.stem}{ending}",
                "type": "table",
                "title": part.title,
                "description": part.about,
                "format": ending.removeprefix("."),
                "mediatype": "text/csv" if ending == ".csv" else "application/vnd.apache.parquet",
                **({"encoding": "utf-8"} if ending == ".csv" else {}),
                "bytes": len(content),
                "hash": sum_of(content),
                "schema": part.schema(),
            }
        )
    return {
        "$schema": f"{PROFILES}/datapackage.json",
        "name": "soundness-record",
        "title": "A lame horse's record",
        "description": _ABOUT.format(day=day, safe=_SAFE if ending == ".csv" else ""),
        "resources": resources,
    }


def for_reading_back(places: Iterable[SheetPlace], *, date1904: bool) -> dict[str, Any]:
    """What puts the workbook together again, for the description."""
    return {
        OURS: {
            "version": VERSION,
            "date1904": date1904,
            "sheets": [
                {
                    "name": place.name,
                    "table": place.table,
                    "letters": place.letters,
                    "merged": [[*cells] for cells in place.merged],
                }
                for place in places
            ],
        }
    }


def as_bytes(description: dict[str, Any]) -> bytes:
    """The description as a JSON file. ASCII, so that any sign that a sheet's name has is written."""
    return (json.dumps(description, indent=1, allow_nan=False) + "\n").encode("ascii")
