"""One table that is given out: its columns as Table Schema has them, and its rows.

Table Schema: datapackage.org, version 2.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from io import StringIO
from typing import Any

from tracker.workbook.exported.layout import ENDING
from tracker.workbook.exported.table_cell import written

TEXT, WHOLE, NUMBER, DAY, MOMENT, TRUTH, LIST = (
    "string",
    "integer",
    "number",
    "date",
    "datetime",
    "boolean",
    "list",
)

PROFILES = "https://datapackage.org/profiles/2.0"
"""Where the standard's own descriptions lie; their addresses are its way to say which version is meant."""

Row = Sequence[object]


@dataclass(frozen=True, slots=True)
class Field:
    """One column: its heading, what it holds (a type of Table Schema), its unit as a UCUM code ("" for none)."""

    name: str
    type: str
    about: str
    unit: str = ""
    required: bool = False
    more: Mapping[str, Any] = field(default_factory=dict)

    def described(self) -> dict[str, Any]:
        """The column as Table Schema has it; `unit` is a property of our own."""
        constraints = {"required": True} if self.required else {}
        extra = dict(self.more)
        constraints |= extra.pop("constraints", {})
        return {
            "name": self.name,
            "type": self.type,
            **({"format": "any"} if self.type == MOMENT else {}),
            **({"itemType": "string", "delimiter": ","} if self.type == LIST else {}),
            "description": self.about,
            **({"unit": self.unit} if self.unit else {}),
            **extra,
            **({"constraints": constraints} if constraints else {}),
        }


@dataclass(frozen=True, slots=True)
class Part:
    """One table.

    `stem` is its file's name without the ending; a key of `links` is a column that holds a key of the table named
    there, in the column named there.
    """

    stem: str
    title: str
    about: str
    fields: tuple[Field, ...]
    rows: Sequence[Row]
    key: tuple[str, ...] = ()
    links: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Its name as Data Package allows one: small letters, points and dashes."""
        return name_of(self.stem)

    def csv(self) -> bytes:
        """The table as a CSV file (RFC 4180), UTF-8 without a mark."""
        text = StringIO(newline="")
        writer = csv.writer(text)
        writer.writerow(one.name for one in self.fields)
        writer.writerows(map(_written, self.rows))
        return text.getvalue().encode("utf-8")

    def schema(self) -> dict[str, Any]:
        """Its Table Schema."""
        links = [
            {"fields": [own], "reference": {"resource": name_of(stem), "fields": [theirs]}}
            for own, (stem, theirs) in self.links.items()
        ]
        return {
            "$schema": f"{PROFILES}/tableschema.json",
            "fields": [one.described() for one in self.fields],
            "missingValues": [""],
            **({"primaryKey": [*self.key]} if self.key else {}),
            **({"foreignKeys": links} if links else {}),
        }

    @property
    def path(self) -> str:
        """Where its CSV file lies in the folder."""
        return f"{self.stem}{ENDING}"


def name_of(stem: str) -> str:
    """A table's name in the description."""
    return stem.lower().replace("/", ".").replace(" ", "-")


def _written(row: Iterable[object]) -> list[str]:
    return [written(value) for value in row]
