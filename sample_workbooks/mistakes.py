"""A small workbook with exactly thirty mistakes in it, each of another kind, and the list of where they are."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sample_workbooks.hand import Row, rows

# (kind of mistake, its cell), sheet by sheet
PLANTED: tuple[tuple[str, str], ...] = (
    ("date-unreadable", "Soundness!A3"),
    ("date-no-such-day", "Soundness!A4"),
    ("date-out-of-range", "Soundness!A5"),
    ("which-horse", "Soundness!B6"),
    ("horse-not-listed", "Soundness!B7"),
    ("choice-unknown", "Soundness!D8"),
    ("limb-unknown", "Soundness!G9"),
    ("score-unreadable", "Soundness!I10"),
    ("score-beyond-scale", "Soundness!I11"),
    ("score-range", "Soundness!I12"),
    ("score-plus", "Soundness!I13"),
    ("score-between", "Soundness!I14"),
    ("number-became-date", "Soundness!I15"),
    ("sign-unknown", "Soundness!P16"),
    ("nothing-observed", "Soundness!I17"),
    ("heading-twice", "Visits!K1"),
    ("required-empty", "Visits!A3"),
    ("date-order-unclear", "Visits!I4"),
    ("foot-not-one", "Abscesses!B3"),
    ("dates-out-of-order", "Abscesses!E4"),
    ("unit-unknown", "Hooves!F3"),
    ("out-of-range", "Hooves!G4"),
    ("unit-unclear", "Hooves!H5"),
    ("heading-near", "Work!E1"),
    ("number-unreadable", "Work!D3"),
    ("same-row-twice", "Changes!A4"),
    ("formula-unsaved", "Body!E3"),
    ("unit-by-size", "Body!I2"),
    ("cell-error", "Body!K4"),
    ("sheet-near", "Pain releif!A1"),
)

HEADINGS: dict[str, Sequence[str]] = {
    "Visits": (
        "Date",
        "Horse",
        "Name",
        "Role",
        "Purpose",
        "Feet",
        "Findings",
        "Advice",
        "Next due",
        "Remarks",
        "remarks",
    ),
    "Hooves": ("Date", "Horse", "Foot", "Stage", "Measured with", "Toe angle", "Heel angle", "Toe length"),
    "Work": ("Date", "Horse", "What", "Minutes", "Grond", "Boots", "Remarks"),
}


def _day(month: int, day: int) -> date:
    return date(2026, month, day)


def records() -> dict[str, list[Row]]:
    """Keep a record for two horses; every row that is not meant to be wrong is right."""
    return {
        "Horses": rows(
            "Horse | Born | Sex | Front shoes off | Usual check | Usual scale | Trim every",
            ("Nutmeg", 2011, "mare", _day(1, 12), "trot, hard, straight", "0-5", 5),
            ("Plum", 2016, "mare", _day(2, 9), "trot, hard, straight", "0-5", 5),
        ),
        "Soundness": _notes(),
        "Visits": rows(
            "Date | Horse | Name | Role | Purpose | Feet | Next due | Remarks | remarks",
            (_day(1, 12), "Nutmeg", "Joss", "trimmer", "trim", "all", None, "shoes off", None),
            (None, "Plum", "Joss", "trimmer", "trim", "all", None, "shoes off", "I forget which day"),
            (_day(2, 16), "Nutmeg", "Joss", "trimmer", "trim", "all", "4/3/2026", None, None),
            (_day(2, 17), "Plum", "Joss", "trimmer", "check", "both fronts", "5/3/2026", None, None),
        ),
        "Abscesses": rows(
            "Horse | Foot | First seen | Where | Opened | Comfortable again | Vet seen",
            ("Nutmeg", "LF", _day(4, 7), "toe", _day(4, 9), _day(4, 14), _day(4, 8)),
            ("Nutmeg", "both fronts", _day(6, 2), "sole", None, _day(6, 8), _day(6, 3)),
            ("Plum", "RF", _day(7, 14), "toe", _day(7, 4), _day(7, 22), _day(7, 15)),
        ),
        "Hooves": rows(
            "Date | Horse | Foot | Stage | Measured with | Toe angle | Heel angle | Toe length",
            (_day(2, 16), "Nutmeg", "LF", "after trim", "gauge", 48, 39, 84),
            (_day(2, 16), "Nutmeg", "RF", "after trim", "gauge", "48 mm", 38.5, 85),
            (_day(3, 23), "Nutmeg", "LF", "after trim", "gauge", 48.5, 395, 83),
            (_day(3, 23), "Nutmeg", "RF", "after trim", "gauge", 47.5, 39, 5.1),
            (_day(4, 27), "Nutmeg", "LF", "after trim", "gauge", 49, 40, 82),
        ),
        "Work": rows(
            "Date | Horse | What | Minutes | Grond",
            (_day(5, 4), "Nutmeg", "hand-walk", 20, "hard"),
            (_day(5, 5), "Nutmeg", "hand-walk", "a while", "hard"),
            (_day(5, 6), "Plum", "hand-walk", 15, "soft"),
        ),
        "Changes": rows(
            "Date | Horse | Kind | What",
            (_day(3, 2), "Plum", "turnout", "top field"),
            (_day(3, 9), "Nutmeg", "feed", "hay soaked"),
            (_day(3, 9), "Nutmeg", "feed", "hay soaked"),
        ),
        "Body": rows(
            "Date | Horse | Temperature | Heart rate | Condition score | Girth | Weight",
            (_day(2, 2), "Nutmeg", 37.6, 36, 6, 182, 440),
            (_day(3, 2), "Nutmeg", 37.5, "=30+4", 6, 181, 435),
            (_day(4, 6), "Nutmeg", 37.7, 34, 6, 181, "#VALUE!"),
        ),
        "Pain releif": rows(
            "Horse | Product | First given | Last given | Given by order of",
            ("Nutmeg", "phenylbutazone powder", _day(4, 8), _day(4, 11), "the vet"),
        ),
    }  # fmt: skip


def _notes() -> list[Row]:
    usual = {"Seen by": "owner", "Gait": "trot", "Ground": "hard", "Line": "straight", "Scale": "0-5"}
    seen = rows(
        "Date | Horse | Gait | Limb | Score | Than last time | Signs | Remarks",
        (_day(2, 10), "Nutmeg", "trot", "both fronts", 2, None, None, "as it should be"),
        ("last Tuesday", "Nutmeg", "trot", "both fronts", 2, "same", None, None),
        ("31 Jun 2026", "Nutmeg", "trot", "both fronts", 1.5, "better", None, None),
        ("4 Mar 1906", "Nutmeg", "trot", "both fronts", 1, None, None, None),
        (_day(3, 6), None, "trot", "both fronts", 1, "same", None, None),
        (_day(3, 8), "Nutmig", "trot", "both fronts", 1, None, None, None),
        (_day(3, 10), "Nutmeg", "galloping", None, 0, "better", None, None),
        (_day(3, 12), "Nutmeg", "trot", "the sore one", 1, "worse", None, None),
        (_day(3, 14), "Plum", "trot", "LF", "so-so", "same", None, None),
        (_day(3, 16), "Plum", "trot", "LF", 7, "worse", None, None),
        (_day(3, 18), "Plum", "trot", "LF", "1-2", None, None, None),
        (_day(3, 20), "Plum", "trot", "LF", "2+", None, None, None),
        (_day(3, 22), "Plum", "trot", "LF", 1.7, None, None, None),
        (_day(3, 24), "Plum", "trot", "LF", _day(5, 2), "better", None, None),
        (_day(3, 26), "Plum", "walk", "LF", 1, None, "grumpy", None),
        (_day(3, 28), "Plum", "trot", None, None, None, None, "did not look properly, raining"),
        (_day(3, 30), "Plum", "trot", "LF", 0.5, "better", "points a foot", None),
    )
    return [usual | row for row in seen]
