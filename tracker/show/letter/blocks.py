"""What a letter is made of: parts with a title, each of facts, sentences, tables and pictures."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Facts:
    """Short facts, each with its name: "Born", "2013 (13 years)"."""

    facts: tuple[tuple[str, str], ...]
    kind: str = "facts"


@dataclass(frozen=True, slots=True)
class Lines:
    """Sentences, one below the other."""

    lines: tuple[str, ...]
    kind: str = "lines"


@dataclass(frozen=True, slots=True)
class Points:
    """Points that are told in two steps: what stands out, then why. `urgency` is "" where nothing is urgent."""

    points: tuple[tuple[str, str, str], ...]
    kind: str = "points"


@dataclass(frozen=True, slots=True)
class Rows:
    """A table; the first cell of each row names it. `name` says what it shows to those who cannot see it."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    kind: str = "rows"


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as SVG, with what it shows in words and the key to its marks."""

    svg: str
    told: str
    note: str = ""
    kind: str = "picture"


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph as JPEG, without anything but its picture."""

    jpeg: bytes
    told: str
    kind: str = "photo"


Block = Facts | Lines | Points | Rows | Picture | Photo


def first_of(lines: Sequence[str], most: int, what: str, *, of: int | None = None) -> tuple[str, ...]:
    """The first of the lines, then how many more there are, all told `of`: "Abscesses not told here: 2."."""
    more = (len(lines) if of is None else of) - most
    return (*lines[:most], *([f"{what} not told here: {more}."] if more > 0 else []))


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a letter; `brief` is what a message tells of it, sentence by sentence."""

    key: str
    title: str
    blocks: tuple[Block, ...]
    brief: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter, ready to be set. `day` is the last day of the record in it; `left_out` says what is not in it."""

    horse: str
    title: str
    dated: str
    day: dt.date
    paper: str
    parts: tuple[Part, ...]
    left_out: str
    caution: str
