"""The form for the barn door: a row a day, in the order of the Soundness sheet, its key on the same page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from math import ceil
from typing import Any

from tracker.cells.choices import match
from tracker.reference.grades import GRADES
from tracker.sheets import CHOICE, HORSE, SOUNDNESS, TEXT, Column
from tracker.show import words
from tracker.show.paper.card import CHECK_ROOM, NAME_ROOM, PHONE_ROOM, VET_ROOM, Card, fitting, whole_or_none
from tracker.show.paper.urgent import numbered, ring_now
from tracker.terms import FEET, FOOT_WORDS, PULSES, SCALES

TITLE = "Soundness, day by day"
LONGEST = 366
ROWS = 31  # that one page holds, upright
ACROSS = 14  # up to so many lie across, with more room for remarks

# How wide a box is, mm: its heading's longest word, and what a pencil writes short in it. The last box has the rest,
# at least 30 mm upright.
_WIDTHS = {
    "date": 16.3, "seen_by": 9, "gait": 8, "ground": 10.8, "line": 12, "limb": 12, "scale": 8.5, "score": 8.5,
    "than_last_time": 8, "warm": 10, "signs": 11, "boots": 9, "written": 11,
    **{f"pulse_{foot.lower()}": 7.8 for foot in FEET},
}  # fmt: skip
_USUAL_WIDTH = 12.0
_EVERY = 5
_BOTH = "both "
_REST = 0.0
_WIDER = 1.35  # lying across


def columns() -> tuple[Column, ...]:
    """The columns of the form: all of the sheet's but the horse's, which stands at the head."""
    return tuple(column for column in SOUNDNESS.columns if column.holds != HORSE)


def daily_pages(card: Card, days: int, start: dt.date | None) -> list[dict[str, Any]]:
    """One page for each sheet of paper, as data to be set."""
    sheets = ceil(days / ROWS)
    shared = {
        "kind": "daily",
        "title": TITLE,
        "across": days <= ACROSS,
        "horse": fitting(card.horse, NAME_ROOM),
        "heads": [column.heading for column in columns()],
        "widths": [_width(column) * (_WIDER if days <= ACROSS else 1) for column in columns()],
        "now": _now(card),
        "usual": _usual(card),
        "key": [
            {"name": name, "told": told.split("*")}  # every second part stands out
            for name, told in (*_key(), ("Short forms", _may_be_short()))
        ],
        "caution": words.CAUTION,
    }
    pages, done = [], 0
    for sheet in range(sheets):
        rows = ceil((days - done) / (sheets - sheet))
        first = start + dt.timedelta(days=done) if start else None
        pages.append(
            shared
            | {"when": _when(first, rows), "dates": _dates(first, rows), "strong": _strong(first, rows)}
        )
        done += rows
    return pages


def _width(column: Column) -> float:
    if column is columns()[-1]:
        return _REST
    return _WIDTHS.get(column.key, _USUAL_WIDTH)


def _dates(first: dt.date | None, rows: int) -> list[str]:
    if first is None:
        return [""] * rows
    days = (first + dt.timedelta(days=number) for number in range(rows))
    return [f"{day:%a} {day.day} {day:%b}" for day in days]


def _strong(first: dt.date | None, rows: int) -> list[int]:
    """The rows below which a stronger line leads the eye: each Sunday, or each fifth day where no date is printed."""
    if first is None:
        return list(range(_EVERY, rows, _EVERY))
    return [row for row in range(1, rows) if (first + dt.timedelta(days=row)).weekday() == 0]


def _when(first: dt.date | None, rows: int) -> str:
    if first is None:
        return ""
    last = first + dt.timedelta(days=rows - 1)
    return words.day(first) if rows == 1 else f"{words.day(first)} to {words.day(last)}"


def _now(card: Card) -> dict[str, Any]:
    common, all_now = ring_now()
    return {
        "do": common,
        "vet": fitting(card.vet, VET_ROOM),
        "phone": whole_or_none(card.phone, PHONE_ROOM),
        "lines": [{"things": "; ".join(now.things), "to_do": now.to_do} for now in all_now],
    }


def _usual(card: Card) -> dict[str, Any]:
    return {
        "check": fitting(card.check, CHECK_ROOM),
        "scale": card.scale if card.scale in SCALES else "",
        "scales": [*SCALES],
    }


def _key() -> Iterator[tuple[str, str]]:
    """What each column takes, in the order of the columns; the four pulses as one."""
    for column in columns():
        if told := _TOLD.get(column.key, _choices)(column):
            yield column.heading, told
        elif column.key == f"pulse_{FEET[0].lower()}":
            steps = ", ".join(f"{step} {word}" for step, word in enumerate(PULSES))
            yield "Pulse", f"at the fetlock: {steps}."


def _choices(column: Column) -> str:
    return f"{', '.join(column.choices)}." if column.choices and column.holds in (TEXT, CHOICE) else ""


def _limbs(column: Column) -> str:
    feet = ", ".join(f"{foot} {FOOT_WORDS[foot]}" for foot in FEET)
    return f"{feet}; {', '.join(choice for choice in column.choices if choice not in FEET)}."


def _grades(column: Column) -> str:
    meant = (
        f"On {scale}{_NAMED.get(scale, '')}: "
        + "; ".join(f"*{grade}* {told}" for grade, told in grades.items())
        for scale, grades in GRADES.items()
    )
    return f"{column.hint} {'. '.join(meant)}."


def _signs(column: Column) -> str:
    """The signs that do not stand in the box above by themselves."""
    above = {thing for now in ring_now()[1] for thing in now.things}
    others = ", ".join(sign for sign in map(numbered, column.choices) if sign not in above)
    return f"by number: those of the box above; {others}. Typed in, as words."


def _nothing(_: Column) -> str:
    """The scale is chosen at the head, and told with its grades."""
    return ""


def _hint(column: Column) -> str:
    return column.hint


def _written(_: Column) -> str:
    return (
        "only where you fill the row in on a later day: that day. Typed in, Written is the pencil's day (the row's own, or "
        "the later one), never the day of typing, which the page Write puts there."
    )


def _remarks(_: Column) -> str:
    return "what is longer goes on the back, with its day."


_TOLD = {
    "limb": _limbs, "scale": _nothing, "score": _grades, "warm": _hint, "signs": _signs, "boots": _hint,
    "written": _written, "remarks": _remarks,
}  # fmt: skip
_NAMED = {"0-5": " (AAEP)"}


def shortened() -> dict[str, tuple[str, ...]]:
    """The words of a short list as they may be written in a narrow box, by heading: the reader takes them so."""
    return {
        column.heading: tuple(_short(choice, column.choices) for choice in column.choices)
        for column in columns()
        if column.holds == CHOICE and column.key != "scale"
    }


def _short(choice: str, choices: tuple[str, ...]) -> str:
    return next(
        choice[:length]
        for length in range(1, len(choice) + 1)
        if match(choice[:length], choices) == choice and not choice[:length].endswith(" ")
    )


def short_pairs() -> tuple[str, ...]:
    """Two feet at once, as they may be written under Limb."""
    both = (choice for choice in SOUNDNESS.by_key["limb"].choices if choice.startswith(_BOTH))
    return tuple(choice.removeprefix(_BOTH) for choice in both)


def _may_be_short() -> str:
    lists = [*shortened().values(), short_pairs()]
    return f"{'; '.join(', '.join(short) for short in lists)}."
