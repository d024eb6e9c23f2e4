"""Four months of a yard: six horses in one workbook, each in another situation.

Mabel goes well, Otter has an open abscess, Rook is under pain relief and is graded 0-10, Biscuit's trim is
long overdue, Thistle has just been found not bearing weight, and Juniper came last week.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, time

import numpy as np

from sample_workbooks.hand import Hand, Row, days_on, rows

LENGTH = 122  # days
_ROUNDS = (121, 86, 51, 16)  # the trimmer comes every five weeks; the last two times Biscuit was not caught
Ago = Callable[[int], date]

HEADINGS: dict[str, Sequence[str]] = {
    "Soundness": ("Horse", "Date", "Seen by", "Gait", "Ground", "Line", "Limb", "Score", "Scale", "Than last time",
                  "Pulse LF", "Pulse RF", "Warm", "Signs", "Remarks", "Paddock"),
    "Visits": ("Date", "Horse", "Name", "Role", "Purpose", "Feet", "Findings", "Next due"),
    "Hooves": ("Date", "Horse", "Foot", "Stage", "Measured with", "Toe angle", "Heel angle", "Remarks"),
}  # fmt: skip

# How lame at trot on the hard, by days before the last; the limb; the top grade; how often somebody looks.
_COURSES: dict[str, tuple[dict[int, float], str, int, float]] = {
    "Mabel": ({122: 1.2, 80: 0.8, 30: 0.3, 0: 0}, "both fronts", 5, 0.2),
    "Otter": ({122: 1, 60: 0.6, 5: 0.6}, "RF", 5, 0.25),
    "Rook": ({122: 3, 60: 2, 14: 3, 8: 5.6}, "LF", 10, 0.35),
    "Biscuit": ({122: 1, 70: 0.6, 20: 1.2, 0: 2}, "both fronts", 5, 0.2),
    "Thistle": ({122: 1.6, 60: 1, 2: 0.6}, "LF", 5, 0.25),
}
_PADDOCK = {
    "Mabel": "long",
    "Otter": "pen",
    "Rook": "pen",
    "Biscuit": "long",
    "Thistle": "hill",
    "Juniper": "small",
}
_WORDS = ("", "", "", "", "ok", "as before", "nothing to add", "on the way in")
_LAME_WORDS = (*_WORDS, "stiff first ten steps, then easier", "looked twice")


def records(end: date) -> dict[str, list[Row]]:
    """Tell the four months so that the last day is `end`."""

    def ago(days: int) -> date:
        return days_on(end, -days)

    return {
        "Horses": _horses(ago),
        "Soundness": _notes(ago),
        "Visits": _visits(ago),
        "Abscesses": _abscesses(ago),
        "Hooves": _feet(ago),
        "Pain relief": rows(
            "Horse | Product | First given | Given by order of | Remarks",
            ("Rook", "meloxicam", datetime.combine(ago(6), time(19)), "the practice, Tom", "until Tom rings"),
        ),
        "Changes": _changes(ago),
        "Keys and codes": rows(
            "What | Where", ("tack room", "hook behind the feed bin"), ("lorry", "kitchen drawer")
        ),
    }


def _horses(ago: Ago) -> list[Row]:
    known = rows(
        "Horse | Born | Sex | Front shoes off | Hind shoes off | Usual check | Usual scale | Trim every | Remarks",
        ("Mabel", 2009, "mare", ago(420), ago(420), "trot, hard, straight", "0-5", 6, "Sal's"),
        ("Otter", 2015, "gelding", ago(190), None, "trot, hard, straight", "0-5", 5, "Kit's"),
        ("Rook", 2012, "gelding", ago(150), ago(220), "trot, hard, straight", "0-10", 5, "Tom always said out of ten, so we do"),
        ("Biscuit", 2017, "gelding", ago(260), None, "trot, hard, straight", "0-5", 5, "Sal's. Moved in from the other yard"),
        ("Thistle", 2018, "mare", ago(130), None, "trot, hard, straight", "0-5", 5, "Kit's"),
        ("Juniper", 2014, "mare", ago(5), None, None, "0-5", None, "Ann's, new"),
    )  # fmt: skip
    return [
        row | {"Trimmer": "Ivo", "Vet": "the practice, Tom", "Vet phone": "01632 960518"} for row in known
    ]


def _notes(ago: Ago) -> list[Row]:
    hand = Hand(1618)
    written: list[Row] = []
    for days in range(LENGTH, -1, -1):
        for horse, (course, limb, top, share) in _COURSES.items():
            if days >= min(course) and hand.chance(share):
                written.append(_look(hand, horse, limb, top, _level(course, days)) | {"Date": ago(days)})
        written += [row | {"Date": ago(days)} for row in _BY_HAND.get(days, [])]
    return [row | {"Paddock": _PADDOCK[str(row["Horse"])]} for row in written]


def _level(course: dict[int, float], days: int) -> float:
    return float(np.interp(-days, [-day for day in course], list(course.values())))


def _look(hand: Hand, horse: str, limb: str, top: int, level: float) -> Row:
    grade = min(float(top - 1), max(0.0, float(round(hand.about(level, 0.12 * top)))))
    seen: Row = {
        "Horse": horse,
        "Seen by": hand.pick(("Sal", "Kit", "Kit")),
        "Gait": "trot",
        "Ground": "hard",
    }
    seen |= {"Line": "straight", "Score": grade, "Scale": f"0-{top}"}
    if grade:
        seen["Limb"] = hand.limb(limb)
    if remark := hand.pick(_LAME_WORDS if grade else _WORDS):
        seen["Remarks"] = remark
    return seen


_SEEN = "Horse | Seen by | Gait | Ground | Limb | Score | Scale | Than last time | Pulse RF | Warm | Signs | Remarks"
_BY_HAND: dict[int, list[Row]] = {
    16: rows(_SEEN, ("Mabel", "trimmer", "trot", "hard", None, 0, "0-5", "better", None, None, None, "Ivo trotted her up himself")),
    6: rows(_SEEN, ("Rook", "Kit", "walk", "hard", "LF", 6, "0-10", "worse", None, None, None, "before the first of the new packet")),
    5: rows(_SEEN, ("Rook", "Kit", "trot", "hard", "LF", 4, "0-10", "better", None, None, None, None),
            ("Juniper", "Ann", "walk", "hard", "both fronts", 1, "0-5", None, 0, None, None, "first day, shoes off this morning")),
    4: rows(_SEEN, ("Otter", "Kit", "walk", "hard", "RF", 4, "0-5", "worse", 3, "RF", "points a foot", "lame overnight. rang the practice")),
    3: rows(_SEEN, ("Otter", "Kit", "walk", "hard", "RF", 4, "0-5", "same", 3, "RF", None, "Tom was here. poulticed"),
            ("Rook", "Kit", "trot", "hard", "LF", 3, "0-10", "same", None, None, None, None),
            ("Juniper", "Ann", "trot", "hard", "both fronts", 2, "0-5", "worse", 1, None, None, None)),
    2: rows(_SEEN, ("Otter", "Sal", "walk", "soft", "RF", 3.5, "0-5", "better", 2, "RF", None, "a bit better, I think")),
    1: rows(_SEEN, ("Thistle", "Kit", "stand", "soft", "LH", 5, "0-5", "worse", None, None, "won't bear weight, sweating or trembling",
                    "found her like this at seven. Kit with her, Sal ringing the practice"),
            ("Otter", "Kit", "walk", "hard", "RF", 3, "0-5", "better", 2, None, None, None)),
    0: rows(_SEEN, ("Rook", "Sal", "trot", "hard", "LF", 3, "0-10", "same", None, None, None, None)),
}  # fmt: skip


def _visits(ago: Ago) -> list[Row]:
    came: list[tuple[object, ...]] = []
    for days in _ROUNDS:
        trimmed = ["Mabel", "Otter", "Rook", "Thistle"] + (["Biscuit"] if days > 60 else [])
        came += [
            (ago(days), horse, "Ivo", "trimmer", "trim", "all", None, ago(days - 35)) for horse in trimmed
        ]
    came += [
        (ago(8), "Rook", "Tom", "vet", "vet examination", "LF", "Sore, wants to see him again", ago(-3)),
        (ago(5), "Juniper", "Ivo", "trimmer", "trim", "both fronts", "Shoes off, left long", ago(-16)),
        (
            ago(3),
            "Otter",
            "Tom",
            "vet",
            "vet examination",
            "RF",
            "Pus suspected, nothing to open yet",
            ago(0),
        ),
    ]
    return rows("Date | Horse | Name | Role | Purpose | Feet | Findings | Next due", *came)  # fmt: skip


def _abscesses(ago: Ago) -> list[Row]:
    return rows(
        "Horse | Foot | First seen | Where | Opened | Opened at | Comfortable again | Vet seen | Care given",
        ("Thistle", "RF", ago(101), "sole", ago(99), "sole", ago(94), ago(100), "opened by Tom, poultice"),
        ("Otter", "RF", ago(4), "outer quarter", None, None, None, ago(3), "poultice, box"),
    )


def _feet(ago: Ago) -> list[Row]:
    hand = Hand(89)
    measured = []
    for days in _ROUNDS[1:]:
        for horse, toe, heel in (
            ("Mabel", 50, 44.5),
            ("Rook", 48.5 - days / 60, 38.5 - days / 40),
            ("Thistle", 49, 41.5),
        ):
            for foot in ("LF", "RF"):
                angles = (round(hand.about(angle, 0.7) * 2) / 2 for angle in (toe, heel))
                measured.append((ago(days), horse, foot, "after trim", "gauge", *angles))
    return rows("Date | Horse | Foot | Stage | Measured with | Toe angle | Heel angle", *measured)


def _changes(ago: Ago) -> list[Row]:
    return rows(
        "Date | Horse | Kind | What",
        (ago(88), "Biscuit", "herd", "into the long paddock with Mabel"),
        (ago(60), "Rook", "ground", "off the hill, too steep for him"),
        (ago(5), "Juniper", "other", "arrived"),
        (ago(4), "Otter", "turnout", "in the box"),
    )
