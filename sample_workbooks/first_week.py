"""The first seven days: the gelding Barley, a handful of rows, and only the sheets that are wanted yet."""

from __future__ import annotations

from datetime import date

from sample_workbooks.hand import Row, days_on, rows


def records(end: date) -> dict[str, list[Row]]:
    """Tell the week so that its last day is `end`."""
    off = days_on(end, -7)
    return {
        "Horses": rows(
            "Horse | Born | Sex | Front shoes off | Hind shoes off | Usual check | Usual scale | Trim every | Trimmer | Vet | Vet phone",
            ("Barley", 2010, "gelding", off, off, "trot, hard, straight", "0-5", 4, "Marek", "Inge", "01632 960382"),
        ),
        "Soundness": _notes(off),
        "Visits": rows(
            "Date | Name | Role | Purpose | Feet | Findings | Advice | Next due",
            (off, "Marek", "trimmer", "trim", "all", "Shod ten years. Heels low in front, walls good, soles flat.",
             "Two weeks on the soft, look every day, ring me before you worry", days_on(off, 28)),
        ),
        "Hooves": _feet(off),
    }  # fmt: skip


def _notes(off: date) -> list[Row]:
    seen = rows(
        "Day | Seen by | Gait | Ground | Line | Limb | Score | Than last time | Pulse LF | Pulse RF | Signs | Remarks",
        (0, "trimmer", "trot", "hard", "straight", "both fronts", "2", None, 0, 0, None, "just out of the shoes"),
        (0, "Pim", "walk", "stony", "straight", "both fronts", "2", None, None, None, None, "led him home the long way round"),
        (1, "Pim", "trot", "hard", "straight", "both fronts", "2", "same", 0, 1, None, None),
        (1, "Pim", "trot", "soft", "straight", "both fronts", "1", None, None, None, None, "much happier"),
        (2, "Pim", "trot", "hard", "straight", "both fronts", "3", "worse", 1, 1, "hard to turn",
         "rang Marek, he says keep him in the soft pen and look again tonight"),
        (2, "Pim", "trot", "hard", "straight", "both fronts", "2.5", "better", 1, 1, None, "evening"),
        (3, "Pim", "trot", "hard", "straight", "both fronts", "2.5", "same", 1, 0, None, None),
        (5, "Pim", "trot", "hard", "straight", "both fronts", "2", "better", 0, 0, None, "missed yesterday"),
        (6, "Pim", "trot", "hard", "straight", "LF", "2", "same", 0, 0, None, "only the left now, I think"),
        (7, "Pim", "trot", "hard", "straight", "LF", "1.5", "better", 0, 0, None, "a week!"),
    )  # fmt: skip
    return [_dated(row, off) for row in seen]


def _dated(row: Row, off: date) -> Row:
    day = row.pop("Day")
    assert isinstance(day, int)
    return {"Date": days_on(off, day), "Horse": "Barley"} | row


def _feet(off: date) -> list[Row]:
    angles = rows(
        "Foot | Toe angle | Heel angle",
        ("LF", 46, 35.5),
        ("RF", 47, 37),
        ("LH", 51, 46),
        ("RH", 51.5, 46),
    )
    lengths = rows(
        "Foot | Toe length | Heel length",
        ("LF", "88 mm", "38 mm"),
        ("RF", "87 mm", "39 mm"),
    )
    same = {"Date": off, "Horse": "Barley", "Stage": "after trim"}
    by_gauge = [same | {"Measured with": "gauge"} | row for row in angles]
    return by_gauge + [same | {"Measured with": "ruler"} | row for row in lengths]
