"""The measuring sheet for a trim: four feet, before and after, and drawings of where each measure is taken."""

from __future__ import annotations

from typing import Any

from tracker.sheets import DATE, FOOT, HOOVES, HORSE, Column
from tracker.show import words
from tracker.show.paper import hoof_below, hoof_side
from tracker.show.paper.card import NAME_ROOM, Card, fitting
from tracker.terms import FOOT_WORDS, PAIRS

TITLE = "Measuring sheet for a trim"
WHERE = "Where each measure is taken"
STAGES = tuple(stage for stage in HOOVES.by_key["stage"].choices if stage.endswith(" trim"))
_BY_PLACE = ("stage",)  # where a figure stands on the paper says its foot and stage
_FIRST_MORE = "growth_mark"  # from here on a foot has several, or needs words
_SPARE_ROWS = 3
# mm; what has no number has the rest.
_WIDTHS = {"growth_mark": 30, "growth_mark_below_hairline": 22, "photo": 42, "checked_on_the_live_horse": 25}
_FOOT_WIDTH, _STAGE_WIDTH = 11, 21


def columns() -> tuple[Column, ...]:
    """The columns that are to be filled in: all but those that the place on the paper says."""
    return tuple(
        column
        for column in HOOVES.columns
        if column.holds not in (DATE, HORSE, FOOT) and column.key not in _BY_PLACE
    )


def _parted() -> tuple[tuple[Column, ...], tuple[Column, ...]]:
    """The figures of a foot, and what stands beside the drawings: growth marks, photographs, remarks."""
    own = columns()
    at = next(place for place, column in enumerate(own) if column.key == _FIRST_MORE)
    return own[:at], own[at:]


def measuring_pages(card: Card) -> list[dict[str, Any]]:
    """Two pages, the two sides of one sheet of paper, as data to be set."""
    shared = {"across": False, "horse": fitting(card.horse, NAME_ROOM), "caution": words.CAUTION}
    return [shared | _feet(), shared | _where()]


def _feet() -> dict[str, Any]:
    figures, _ = _parted()
    rows = [column.heading + _unit(column) for column in figures]
    half = (len(rows) + 1) // 2
    return {
        "kind": "feet",
        "title": TITLE,
        "stages": STAGES,
        "pairs": [[f"{foot} {FOOT_WORDS[foot]}" for foot in feet] for feet in PAIRS.values()],
        "halves": [rows[:half], rows[half:] + [""] * (2 * half - len(rows))],
        "how": (
            f"Measured with: {', '.join(HOOVES.by_key['measured_with'].choices)}. {_apart()} "
            "Lengths in mm, or with the unit beside them, such as 3 1/2 in. An empty box is never 0. Who measured, and with "
            "which gauge, goes into Remarks. Where each measure is taken is drawn on the other side."
        ),
    }


def _apart() -> str:
    return (
        "Each foot and stage is a row on the sheet Hooves; a foot measured in two ways, such as angles by gauge and "
        "lengths by ruler, is two."
    )


def _where() -> dict[str, Any]:
    _, more = _parted()
    records = [(foot, stage) for feet in PAIRS.values() for foot in feet for stage in STAGES]
    return {
        "kind": "where",
        "title": WHERE,
        "drawings": drawings(),
        "hints": [{"name": column.heading, "told": _hint(column)} for column in (*_measures(), more[0])],
        "units": "Angles in degrees to the ground. Sole, front and behind show a left foot; a right one is the other way round.",
        "more": "Growth marks, photographs, remarks",
        "again": "A second mark or photograph of a foot has a row of its own.",
        "heads": ["Foot", "Stage", *(column.heading + _unit(column) for column in more)],
        "widths": [_FOOT_WIDTH, _STAGE_WIDTH, *(_WIDTHS.get(column.key, 0) for column in more)],
        "rows": [*records, *[("", "")] * _SPARE_ROWS],
    }


def drawings() -> list[dict[str, str]]:
    """Each drawing with its name and what it shows in words."""
    found = (
        ("side", "From the side", hoof_side.side_drawing(), hoof_side.NAMED),
        ("sole", "The sole", hoof_below.sole_drawing(), hoof_below.NAMED),
        ("front", "From the front", hoof_below.front_drawing(), hoof_below.NAMED_IN_FRONT),
        ("behind", "From behind", hoof_below.behind_drawing(), hoof_below.NAMED_BEHIND),
    )
    return [
        {"view": view, "called": called, "svg": svg, "alt": _alt(called, named)}
        for view, called, svg, named in found
    ]


def _alt(called: str, named: tuple[str, ...]) -> str:
    told = " ".join(f"{column.heading}: {_hint(column)}" for column in _measures() if column.key in named)
    return f"Drawing of a hoof. {called}, with the name of each measure where it is taken. {told}"


def _measures() -> tuple[Column, ...]:
    return tuple(column for column in columns() if column.unit)


def _hint(column: Column) -> str:
    """Where it is taken; how it is written is told once for all."""
    return column.hint.partition(" In ")[0]


def _unit(column: Column) -> str:
    return f" ({column.unit})" if column.unit else ""
