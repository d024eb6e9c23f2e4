"""For each rule the smallest table that fires it, and a nearest one that does not: the boundary values exactly.

Thresholds as in the source that the rule itself names; what is our own choice is said there.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from firings import daily, notes, rules, warnings

from tracker.derive.referral.rule import AUDIENCES, SURENESS
from tracker.derive.referral.rules import RULES, URGENCIES

Sheets = dict[str, str]


def sheet(headings: str, *lines: str) -> str:
    return "\n".join([headings, *lines])


def seen(*lines: str) -> Sheets:
    return {"Soundness": notes(*lines)}


def of_ten(*grades: float) -> list[str]:
    return [line.replace("0-5", "0-10") for line in daily(*grades)]


def sign(words: str, day: str = "2026-06-09", limb: str = "LF", score: str = "") -> str:
    return f"@{day} | | {limb} | 0-5 | {score} | | | | {words}"


def body(*lines: str) -> Sheets:
    return {
        "Body": sheet("Date | Temperature | Heart rate | Breathing rate | Condition score | Weight", *lines)
    }


def abscess(*lines: str) -> Sheets:
    return {
        "Abscesses": sheet(
            "Foot | First seen | Where | Opened | Opened at | Comfortable again | Vet seen", *lines
        )
    }


def relief(*lines: str) -> Sheets:
    return {"Pain_relief": sheet("Product | First given | Last given | Given by order of", *lines)}


def visits(*lines: str) -> Sheets:
    return {"Visits": sheet("Date | Role | Purpose", *lines)}


def hooves(*lines: str) -> Sheets:
    return {
        "Hooves": sheet(
            "Date | Foot | Stage | Measured with | Toe angle | Heel angle | Hairline angle", *lines
        )
    }


OPEN = "LF | @2026-06-07 | | | | | @2026-06-07"
OPENED = "LF | @2026-06-01 | | @2026-06-08 | sole | | @2026-06-01"
LAMINITIS = {"Horses": "Horse | Usual scale | Known conditions\nBramble | 0-5 | laminitis in 2019"}
BAD = [sign("", f"2026-06-0{day}", score="4") for day in (7, 8)]
WARM = ["@2026-06-08 | | | | | | | | | both fronts", "@2026-06-09 | | | | | same | | | | both fronts"]
WARM = [f"@2026-06-0{day} | | | | | same | | | | both fronts" for day in (8, 9)]

# rule, what fires it, the nearest that does not; where the day is another than 10 June 2026, it comes first.
CASES: list[tuple[str, Sheets, Sheets]] = [
    ("not-bearing-weight", seen(sign("", score="5")), seen(sign("", score="4.5"))),
    ("object-or-hole-in-foot", seen(sign("object or hole in foot")), seen(sign("points a foot"))),
    ("wound-near-a-joint", seen(sign("wound near a joint")), seen(sign("no wound near a joint"))),
    ("wound-near-a-joint", seen(sign("joint fluid leaking")), seen(sign("joint swollen"))),
    ("joint-swollen-and-lame", seen(sign("joint swollen", score="0.5")), seen(sign("joint swollen", score="0"))),
    ("joint-swollen-and-lame", seen(sign("joint swollen"), sign("", score="1")), seen(sign("joint swollen"), sign("", "2026-06-08", score="1"))),
    ("tendon-or-badly-swollen-leg", seen(sign("swollen tendon")), seen(sign("swelling up the leg", score="2.5"))),
    ("tendon-or-badly-swollen-leg", seen(sign("swelling up the leg", score="3")), seen(sign("", score="3"))),
    ("leg-or-joint-swollen", seen(sign("swelling up the leg")), seen(sign("off feed"))),
    ("lame-at-walk", seen(sign("", score="4")), seen(sign("", score="3.5"))),
    ("not-bearing-weight", seen("@2026-06-09 | trot | LF | 0-10 | 10 of 10, really"), seen("@2026-06-09 | trot | LF | 0-10 | 9.5 of 10, really")),
    ("tendon-or-badly-swollen-leg", seen("@2026-06-09 | trot | LF | 0-10 | 6 | | | | swelling up the leg"), seen("@2026-06-09 | trot | LF | 0-10 | 5.5 | | | | swelling up the leg")),
    (
        "wound-and-tetanus-not-known", seen(sign("nail in foot")),
        seen(sign("nail in foot")) | {"Horses": "Horse | Known conditions\nBramble | Tetanus vaccination May 2026"},
    ),
    ("wound-to-look-at-again", seen(sign("wound near a joint", "2026-06-03")), seen(sign("wound near a joint", "2026-06-04"))),
    ("wound-to-look-at-again", seen(sign("wound near a joint", "2026-05-27")), seen(sign("wound near a joint", "2026-05-26"))),
    ("other-warning-sign", seen(sign("lies down more")), seen(sign("", score="1"))),
    ("raised-pulses-and-stiff", seen("@2026-06-09 | | | | | | 2 | 2 | hard to turn"), seen("@2026-06-09 | | | | | | 2 | 1 | hard to turn")),
    ("raised-pulses-or-stiff", seen("@2026-06-09 | | | | | | 2 | 2"), seen("@2026-06-09 | | | | | | 3 | 1")),
    ("raised-pulses-or-stiff", seen(sign("shifts weight")), seen(sign("points a foot"))),
    ("both-fronts-warm", LAMINITIS | seen(*WARM), seen(*WARM)),
    ("both-fronts-warm", LAMINITIS | seen(*WARM), LAMINITIS | seen(WARM[0])),
    ("both-fronts-warm", LAMINITIS | seen(*WARM), LAMINITIS | seen(WARM[0].replace("both fronts", "all"), WARM[1])),
    ("both-fronts-warm", body("@2026-06-01 | | | | 7") | seen(*WARM), body("@2026-06-01 | | | | 6.5") | seen(*WARM)),
    ("opposite-foot-changed", seen(*BAD, "@2026-06-09 | | | | | | | 2"), seen(*BAD, "@2026-06-08 | | | | | | | 2")),
    ("opposite-foot-changed", seen(*BAD, "@2026-06-09 | | | | | | | 2"), seen(*BAD, "@2026-06-09 | | | | | | 2 |")),
    ("opposite-foot-changed", seen(*BAD, "@2026-06-09 | | | | | same | | | | RF"), seen(*BAD, "@2026-06-09 | | | | | same | | | | both fronts")),
    ("opposite-foot-changed", seen(*BAD, sign("shifts weight", limb="RF")), seen(*BAD, sign("shifts weight"))),
    ("opposite-foot-to-feel", seen(sign("won't bear weight", "2026-06-08")), seen(sign("won't bear weight", "2026-06-09"))),
    ("opposite-foot-to-feel", seen(sign("", "2026-06-08", score="4")), seen(sign("", "2026-06-09", score="4"))),
    ("opposite-foot-to-feel", seen(sign("", "2026-06-03", score="4")), seen(sign("", "2026-06-02", score="4"))),
    ("temperature-above-40-6", body("@2026-06-09 | 40.7"), body("@2026-06-09 | 40.6")),
    ("temperature-above-38-9", body("@2026-06-09 | 39.0"), body("@2026-06-09 | 38.9")),
    ("temperature-above-38-9", body("@2026-06-09 | 102.1 F"), body("@2026-06-09 | 102 F")),
    ("temperature-above-38-6-twice", body("@2026-06-08 | 38.7", "@2026-06-09 | 38.7") | seen(*daily(1)), body("@2026-06-08 | 38.6", "@2026-06-09 | 38.7") | seen(*daily(1))),
    ("temperature-above-38-6-twice", body("@2026-06-08 | 38.7", "@2026-06-09 | 38.7") | seen(*daily(1)), body("@2026-06-07 | 38.7", "@2026-06-09 | 38.7") | seen(*daily(1))),
    ("temperature-above-38-6-twice", body("@2026-06-08 | 38.7", "@2026-06-09 | 38.7") | seen(*daily(1)), body("@2026-06-08 | 38.7", "@2026-06-09 | 38.7") | seen(*daily(0))),
    ("temperature-above-38-6-twice", body("@2026-06-08 | 38.7", "@2026-06-09 | 38.7") | seen(sign("", "2026-06-05", score="1")), body("@2026-06-08 | 38.7", "@2026-06-09 | 38.7") | seen(sign("", "2026-06-04", score="1"))),
    ("heart-rate-60-twice", body("@2026-06-09 | | 60", "@2026-06-09 | | 60"), body("@2026-06-09 | | 60", "@2026-06-09 | | 59")),
    ("heart-rate-60-once", body("@2026-06-09 | | 60"), body("@2026-06-09 | | 59")),
    ("heart-rate-above-44-twice", body("@2026-06-08 | | 45", "@2026-06-09 | | 45"), body("@2026-06-08 | | 44", "@2026-06-09 | | 45")),
    ("breathing-above-24-twice", body("@2026-06-08 | | | 25", "@2026-06-09 | | | 25"), body("@2026-06-08 | | | 24", "@2026-06-09 | | | 25")),
    ("vital-sign-to-take-again", body("@2026-06-09 | 38.7"), body("@2026-06-09 | 38.6")),
    ("vital-sign-to-take-again", body("@2026-06-09 | | 45"), body("@2026-06-09 | | 44")),
    ("vital-sign-to-take-again", body("@2026-06-09 | | | 25"), body("@2026-06-09 | | | 24")),
    ("vital-sign-to-take-again", body("@2026-06-08 | 38.7"), body("@2026-06-08 | 38.7", "@2026-06-09 | 37.8")),
    ("abscess-and-fever-or-off-feed", abscess(OPEN) | seen(sign("off feed")), seen(sign("off feed"))),
    ("abscess-and-fever-or-off-feed", abscess(OPEN) | body("@2026-06-09 | 38.7"), abscess(OPEN) | body("@2026-06-09 | 38.6")),
    ("abscess-and-fever-or-off-feed", abscess(OPEN) | seen(sign("off feed", "2026-06-08")), abscess(OPEN) | seen(sign("off feed", "2026-06-05"))),
    ("abscess-worse", abscess(OPEN) | seen("@2026-06-09 | trot | LF | | 2 | worse"), abscess(OPEN) | seen("@2026-06-09 | trot | RH | | 2 | worse")),
    ("abscess-opened-not-better-24-h", abscess(OPENED), abscess(OPENED.replace("06-08", "06-10"))),
    ("abscess-opened-not-better-24-h", abscess(OPENED), abscess(OPENED) | seen("@2026-06-09 | walk | LF | | 2 | better")),
    ("abscess-opened-not-better-24-h", abscess(OPENED) | seen("@2026-06-08 | walk | LF | | 3", "@2026-06-09 | walk | LF | | 2.5"), abscess(OPENED) | seen("@2026-06-08 | walk | LF | | 3", "@2026-06-09 | walk | LF | | 2")),
    (
        "abscess-back", abscess("LF | @2026-05-20 | | | | @2026-06-01") | seen(sign("pus or discharge")),
        abscess("LF | @2026-05-20 | | | | @2026-05-25") | seen(sign("pus or discharge")),
    ),
    (
        "abscess-back", abscess("LF | @2026-05-20 | | | | @2026-05-26") | seen(sign("pus or discharge")),
        abscess("LF | @2026-05-20 | | | | @2026-05-25") | seen(sign("pus or discharge")),
    ),
    (
        "abscess-back", abscess("LF | @2026-05-20 | | | | @2026-06-01") | seen(sign("", "2026-06-01", score="1"), sign("", score="2")),
        abscess("LF | @2026-05-20 | | | | @2026-06-01") | seen(sign("", "2026-06-01", score="1"), sign("", score="1.5")),
    ),
    ("abscess-suspected", abscess("LF | @2026-06-10"), abscess("LF | @2026-06-10 | | | | | @2026-06-10")),
    ("abscess-not-better-48-h", abscess(OPEN.replace("06-07", "06-08")), abscess(OPEN.replace("06-07", "06-09"))),
    ("abscess-look-again-24-h", abscess(OPEN.replace("06-07", "06-09")), abscess(OPEN.replace("06-07", "06-10"))),
    ("abscess-open-14-days", abscess(OPEN.replace("06-07", "05-26")), abscess(OPEN.replace("06-07", "05-27"))),
    ("abscess-opened-high", abscess("LF | @2026-06-01 | | @2026-06-05 | hairline | @2026-06-08"), abscess("LF | @2026-06-01 | | @2026-06-05 | sole | @2026-06-08")),
    ("abscess-opened-high", abscess("LF | @2026-05-20 | | @2026-05-27 | hairline | @2026-06-08"), abscess("LF | @2026-05-20 | | @2026-05-26 | hairline | @2026-06-08")),
    (
        "abscess-again-same-foot", abscess("LF | @2025-06-01 | | | | @2025-06-09", "LF | @2026-06-01 | | | | @2026-06-04"),
        abscess("LF | @2025-05-31 | | | | @2025-06-09", "LF | @2026-06-01 | | | | @2026-06-04"),
    ),
    (
        "abscess-again-other-foot", abscess("LF | @2025-06-01 | | | | @2025-06-09", "RH | @2026-06-01 | | | | @2026-06-04"),
        abscess("LF | @2025-05-31 | | | | @2025-06-09", "RH | @2026-06-01 | | | | @2026-06-04"),
    ),
    (
        "abscess-again-older-horse",
        {"Horses": "Horse | Born\nBramble | 2011"} | abscess("LF | @2025-06-01 | | | | @2025-06-09", "RH | @2026-06-01 | | | | @2026-06-04"),
        {"Horses": "Horse | Born\nBramble | 2012"} | abscess("LF | @2025-06-01 | | | | @2025-06-09", "RH | @2026-06-01 | | | | @2026-06-04"),
    ),
    ("new-lameness-not-better", seen(*daily(*[0] * 10, 2, 2, 2)), seen(*daily(*[0] * 10, 2, 2))),
    ("new-lameness-not-better", seen(*daily(*[0] * 10, 2, 2, 2)), seen(*daily(*[0] * 10, 1.5, 1.5, 1.5))),
    ("new-lameness-not-better", seen(*daily(2, 2, 2)), seen(*daily(3, 3, 2))),
    ("new-lameness-worse", seen(*daily(*[0] * 10, 2, 3)), seen(*daily(*[0] * 10, 2, 2.5))),
    ("new-lameness-worse", seen(*daily(*[0] * 10, 2, 3)), seen(*daily(2, 3))),
    ("lame-for-weeks", seen(*daily(1, *[1] * 13, 1, last="2026-06-10")), seen(*daily(1, *[1] * 12, 1, last="2026-06-10"))),
    ("lame-for-weeks", seen(*daily(*[1] * 20)), seen(*daily(*[1, 1, 0.5, 1, 0] * 4))),
    ("lame-for-weeks", seen(*daily(*[1] * 20)), seen(*daily(*[1] * 20)) | visits("@2026-05-01 | vet | ")),
    ("lame-leg-changes", seen(*daily(1, last="2026-06-01"), *daily(1, limb="RF", last="2026-06-05"), *daily(1)), seen(*daily(1, last="2026-06-01"), *daily(1, limb="RF", last="2026-06-05"))),
    ("no-progress-60-days", seen(*daily(*[2, 2.5, 1.5] * 27)), seen(*daily(*[2, 2.5, 1.5] * 20))),
    ("pain-relief-overlaps", relief("flunixin | @2026-06-05 | @2026-06-09 | a vet", "meloxicam | @2026-06-09 | | a vet"), relief("flunixin | @2026-06-05 | @2026-06-08 | a vet", "meloxicam | @2026-06-09 | | a vet")),
    ("pain-relief-overlaps", relief("flunixin | @2026-06-05 | | a vet", "meloxicam | @2026-06-09 | | a vet"), relief("flunixin | @2026-06-05 | | a vet", "Flunixin paste | @2026-06-09 | | a vet")),
    ("pain-relief-without-vet", relief("flunixin | @2026-06-08"), relief("flunixin | @2026-06-09")),
    ("pain-relief-without-vet", relief("flunixin | soon"), relief("flunixin | soon | @2026-06-08")),
    ("pain-relief-overlaps", relief("flunixin | soon", "meloxicam | @2026-06-09"), relief("flunixin | soon", "flunixin | @2026-06-09")),
    ("pain-relief-without-vet", relief("flunixin | @2026-06-08"), relief("flunixin | @2026-06-08 | | a vet")),
    ("pain-relief-without-vet", relief("flunixin | @2026-06-08"), relief("flunixin | @2026-06-08") | visits("@2026-05-25 | vet | ")),
    ("pain-relief-without-vet", relief("flunixin | @2026-06-09T08:00 | @2026-06-10T08:01"), relief("flunixin | @2026-06-09T08:00 | @2026-06-10T08:00")),
    ("worked-while-lame", seen(*daily(3)) | {"Work": "Date | What\n@2026-06-09 | trot"}, seen(*daily(2.5)) | {"Work": "Date | What\n@2026-06-09 | trot"}),
    ("worked-while-lame", seen(*daily(3)) | {"Work": "Date | What\n@2026-06-09 | trot"}, seen(*daily(3)) | {"Work": "Date | What\n@2026-06-09 | turnout"}),
    ("worked-while-lame", seen(*daily(4)) | {"Work": "Date | What\n@2026-06-10 | hand-walk"}, seen(*daily(3.5)) | {"Work": "Date | What\n@2026-06-10 | hand-walk"}),
    ("condition-or-weight-lost", body("@2026-04-01 | | | | 6", "@2026-06-01 | | | | 5"), body("@2026-04-01 | | | | 6", "@2026-06-01 | | | | 5.5")),
    ("condition-or-weight-lost", body("@2026-04-01 | | | | | 500", "@2026-06-01 | | | | | 475"), body("@2026-04-01 | | | | | 500", "@2026-06-01 | | | | | 476")),
    ("sore-after-trim", visits("@2026-06-01 | trimmer | trim") | seen(*daily(0, 0, 0, last="2026-05-31"), *daily(1, 1, last="2026-06-05")), visits("@2026-06-01 | trimmer | trim") | seen(*daily(0, 0, 0, last="2026-05-31"), *daily(1, 1, last="2026-06-04"))),
    ("sore-after-trim", visits("@2026-06-01 | trimmer | trim") | seen(*daily(0, 0, 0, last="2026-05-31"), *daily(1, 1, last="2026-06-05")), visits("@2026-06-01 | trimmer | trim") | seen(*daily(0, 0, 0, last="2026-05-31"), *daily(0.5, 1, last="2026-06-05"))),
    ("trim-past-8-weeks", visits("@2026-04-14 | trimmer | trim"), visits("@2026-04-15 | trimmer | trim")),
    ("trim-overdue", visits("@2026-05-01 | trimmer | trim") | {"Horses": "Horse | Trim every\nBramble | 5"}, visits("@2026-05-06 | trimmer | trim") | {"Horses": "Horse | Trim every\nBramble | 5"}),
    (
        "angle-goes-the-wrong-way",
        hooves("@2026-03-01 | LF | after trim | gauge | 50 | 44", "@2026-04-10 | LF | after trim | gauge | 50 | 43", "@2026-05-20 | LF | after trim | gauge | 50 | 42"),
        hooves("@2026-03-01 | LF | after trim | gauge | 50 | 44", "@2026-04-10 | LF | after trim | gauge | 50 | 43", "@2026-05-20 | LF | after trim | gauge | 50 | 42.5"),
    ),
    (
        "angle-goes-the-wrong-way",
        hooves("@2026-03-01 | LF | after trim | gauge | 47 | 44", "@2026-04-10 | LF | after trim | gauge | 47 | 43", "@2026-05-20 | LF | after trim | gauge | 47 | 42"),
        hooves("@2026-03-01 | LF | after trim | gauge | 47 | 44", "@2026-04-10 | LF | after trim | gauge | 47 | 43", "@2026-05-20 | LF | after trim | gauge | 46.5 | 42"),
    ),
    (
        "angle-goes-the-wrong-way",
        hooves("@2026-03-01 | LF | after trim | gauge | | | 31", "@2026-04-10 | LF | after trim | gauge | | | 32", "@2026-05-20 | LF | after trim | gauge | | | 35"),
        hooves("@2026-03-01 | LF | after trim | gauge | | | 26", "@2026-04-10 | LF | after trim | gauge | | | 28", "@2026-05-20 | LF | after trim | gauge | | | 30"),
    ),
    (
        "left-and-right-differ",
        hooves(*(f"@2026-{day} | {foot} | after trim | gauge | {angle}" for day in ("02-01", "03-12") for foot, angle in (("LF", 52), ("RF", 50)))),
        hooves(*(f"@2026-{day} | {foot} | after trim | gauge | {angle}" for day in ("02-01", "03-11") for foot, angle in (("LF", 52), ("RF", 50)))),
    ),
    ("condition-or-weight-lost", body("@2025-12-08 | | | | 6", "@2026-06-09 | | | | 5"), body("@2025-12-07 | | | | 6", "@2026-06-09 | | | | 5")),
    ("condition-or-weight-lost", body("@2026-03-01 | | | | 6", "@2026-04-11 | | | | 5"), body("@2026-03-01 | | | | 6", "@2026-04-10 | | | | 5")),
    (
        "sore-after-trim",
        visits("@2026-05-27 | trimmer | trim") | seen(*daily(0, 0, 0, last="2026-05-26"), *daily(1, 1, last="2026-06-01")),
        visits("@2026-05-26 | trimmer | trim") | seen(*daily(0, 0, 0, last="2026-05-25"), *daily(1, 1, last="2026-06-01")),
    ),
    ("new-lameness-not-better", seen(*of_ten(*[0] * 10, 4, 4, 4)), seen(*of_ten(*[0] * 10, 3.5, 3.5, 3.5))),
    ("new-lameness-not-better", seen(*of_ten(*[2] * 10, 4, 4, 4)), seen(*of_ten(*[2.5] * 10, 4, 4, 4))),
    (
        "left-and-right-differ",
        hooves(*(f"@2026-{day} | {foot} | after trim | gauge | {angle}" for day in ("04-10", "05-20") for foot, angle in (("LF", 52), ("RF", 50)))),
        hooves(*(f"@2026-{day} | {foot} | after trim | gauge | {angle}" for day in ("04-10", "05-20") for foot, angle in (("LF", 50.5), ("RF", 50)))),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "fires", "does_not"), CASES)
def test_a_rule_fires_at_its_boundary_and_not_just_below_it(
    rule: str, fires: Sheets, does_not: Sheets
) -> None:
    assert rule in rules(**fires)
    assert rule not in rules(**does_not)


def test_every_rule_is_held_to_its_boundary() -> None:
    by_the_filter = {"grades-likely-worse", "grades-perhaps-worse"}  # held to theirs beside the filter
    assert {rule for rule, _, _ in CASES} | by_the_filter == {rule.slug for rule in RULES}


@pytest.mark.parametrize(("rule", "fires", "_"), CASES)
def test_a_warnings_cells_emptied_end_it(rule: str, fires: Sheets, _: Sheets) -> None:
    found = [one for one in warnings(**fires) if one.rule == rule]
    assert found
    for firing in found:
        assert firing.cells
        left = warnings(**_emptied(fires, firing.cells))
        assert (rule, firing.cause) not in [(one.rule, one.cause) for one in left]


def _emptied(sheets: Sheets, cells: tuple[str, ...]) -> Sheets:
    """The same tables without what stands in those cells."""
    left = {name: [line.split("|") for line in text.splitlines()] for name, text in sheets.items()}
    for cell in cells:
        name, _, ref = cell.rpartition("!")
        row, at = int(ref[1:]) - 1, ord(ref[0]) - ord("A")
        lines = left[name.replace(" ", "_")]
        if at < len(lines[row]):
            lines[row][at] = " "
    return {name: "\n".join("|".join(parts) for parts in lines) for name, lines in left.items()}


def test_the_table_is_complete_and_the_most_urgent_first() -> None:
    assert len({rule.slug for rule in RULES}) == len(RULES)
    assert all(
        URGENCIES.index(one.urgency) <= URGENCIES.index(other.urgency) for one, other in pairwise(RULES)
    )
    for rule in RULES:
        assert rule.urgency in URGENCIES
        assert rule.sure in SURENESS
        assert rule.speaks_to in AUDIENCES
        for text in (rule.words, rule.waiting):
            assert text.endswith("."), rule.slug
        assert rule.threshold
        assert rule.source
        assert {other.slug for other in RULES if other.about == rule.about} >= {*rule.within}
