"""What stands at the head of the paper: the horse, how it is usually looked at, and whom to ring."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from tracker.cells.text import fold
from tracker.sheets import HORSES
from tracker.table import Table
from tracker.terms import UNNAMED

# How many letters there is room for; a wide sign takes two.
NAME_ROOM, CHECK_ROOM, VET_ROOM, PHONE_ROOM = 48, 60, 28, 40

_UNSEEN, _JOINERS = ("Cc", "Cf", "Cs"), "\u200c\u200d"


@dataclass(frozen=True, slots=True)
class Card:
    """A horse as its owner typed it; "" is a line to write on."""

    horse: str = ""
    check: str = ""
    scale: str = ""
    vet: str = ""
    phone: str = ""


def card_of(tables: Mapping[str, Table], horse: str) -> Card:
    """What the Horses sheet says of the horse; but for its name empty where the sheet does not have it."""
    known = tables[HORSES.name].frame
    mine = known[known["horse"].map(fold) == fold(horse)]
    if not len(mine):
        return Card(horse)
    row = mine.iloc[-1]
    return Card(horse, *(str(row[key]) for key in ("usual_check", "usual_scale", "vet", "vet_phone")))


def horses_on_paper(tables: Mapping[str, Table]) -> tuple[str, ...]:
    """The horses that a workbook names, those of the Horses sheet first."""
    found: dict[str, str] = {}
    for table in (tables[HORSES.name], *tables.values()):
        for name in table.frame["horse"].unique():
            if name not in ("", UNNAMED):
                found.setdefault(fold(name), name)
    return tuple(found.values())


def fitting(text: str, room: int) -> str:
    """In one line of that room; what is too long ends in an ellipsis."""
    line = _line(text)
    if width(line) <= room:
        return line
    kept, used = "", 1
    for sign in line:
        used += width(sign)
        if used > room:
            break
        kept += sign
    return f"{kept.rstrip()}…"


def whole_or_none(text: str, room: int) -> str:
    """The line where there is room for all of it, else none: half a telephone number is a wrong one."""
    line = _line(text)
    return line if width(line) <= room else ""


def _line(text: str) -> str:
    """In one line, without the signs that nobody sees: one that turns the reading order round would turn all after it."""
    seen = (
        sign
        for sign in text
        if sign.isspace() or sign in _JOINERS or unicodedata.category(sign) not in _UNSEEN
    )
    return " ".join("".join(seen).split())


def width(text: str) -> int:
    """How much room a text takes, counted in letters."""
    return sum(2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text)
