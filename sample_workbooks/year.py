"""A year after the front shoes came off: the mare Hazel, two abscesses, a set-back on stones, and slow feet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, time

from sample_workbooks.hand import Hand, Row, days_on, rows, words
from sample_workbooks.year_feet import TRIMS, hooves, photo_points
from sample_workbooks.year_notes import MISSED, notes

LENGTH = 364  # days: 52 weeks
On = Callable[[int], date]

HEADINGS: dict[str, Sequence[str]] = {
    "Body": ("Date", "Horse", "Temperature", "Heart rate", "Breathing rate", "Condition score", "Crest score",
             "Girth (cm)", "Body length (cm)", "Weight (kg)", "Remarks"),
    "Hooves": ("Date", "Horse", "Foot", "Stage", "Measured with", "Toe angle", "Heel angle", "Hairline angle",
               "Pastern angle", "Toe length (mm)", "Heel length (mm)", "Heel height (mm)", "Support length (mm)", "Hoof length (mm)",
               "Hoof width (mm)", "Frog length (mm)", "Frog width (mm)", "Heel bulb distance (mm)",
               "Groove depth at frog tip (mm)", "Groove depth at heel (mm)", "Coronet girth (mm)", "Growth mark",
               "Growth mark below hairline (mm)", "Photo", "Checked on the live horse", "Remarks"),
}  # fmt: skip


def records(end: date) -> dict[str, list[Row]]:
    """Tell the whole year so that its last day is `end`."""
    start = days_on(end, -LENGTH)

    def on(day: int) -> date:
        return days_on(start, day)

    return {
        "Horses": _horses(on),
        "Soundness": notes(start),
        "Visits": _visits(on),
        "Abscesses": _abscesses(on),
        "Hooves": hooves(start),
        "Photo points": photo_points(start),
        "Pain relief": _pain_relief(on),
        "Work": _work(on),
        "Plan": _plan(on),
        "Changes": _changes(on),
        "Body": _body(on),
        "Follow-up": _follow_up(on),
        "Hay and bills": _bills(on),
    }


def _horses(on: On) -> list[Row]:
    return rows(
        "Horse | Born | Sex | Front shoes off | Usual check | Usual scale | Trim every | Trimmer | Vet | Vet phone | Remarks",
        ("Hazel", 2013, "mare", on(0), "trot, hard, straight", "0-5", 5, "Ned", "Ruth, at the practice", "01632 960147",
         "Cob cross, 15 hands. Hinds were never shod. Shod in front for six years before."),
    )  # fmt: skip


_TRIM_WORDS = {
    0: (
        "Shoes pulled, old nail holes, soles thin in front",
        "Keep her off the stones, ring if the pulses rise",
    ),
    35: ("Both fronts stretched at the toe", "Same again in five weeks"),
    69: ("Abscess hole RF dry and nearly trimmed away", None),
    105: ("Heels standing up a little, frogs wider", "Walk out on the flat lane"),
    140: (
        "Soles bruised, both fronts, old red in the white line",
        "Boots on anything hard until the next time",
    ),
    175: ("Bruising grown out", None),
    210: ("LF: exit at the hairline, inner heel, clean crack under it", "Watch the crack, leave it open"),
    246: ("Crack going down well", None),
    281: ("Nothing new", "Carry on"),
    316: ("Toes long, quarters chipped", "Five weeks, not six!"),
}


def _visits(on: On) -> list[Row]:
    trims = [(on(day), "Ned", "trimmer", "trim", "all", *_TRIM_WORDS[day], on(day + 35)) for day in TRIMS]
    vet = [
        (on(42), "Ruth", "vet", "vet examination", "RF", "Opened at the white line, toe",
         "Poultice daily, box rest, ring if she gets worse", on(45)),
        (on(45), "Ruth", "vet", "check", "RF", "Draining, less sore", "Dry bandage from the weekend", None),
        (on(189), "Ruth", "vet", "vet examination", "LF", "Sore to the testers at the inner heel, no track found",
         "Poultice, look twice a day at both fronts", on(192)),
        (on(203), "Ruth", "vet", "radiographs", "both fronts", "Pictures kept at the practice, she talked me through them",
         "Plan for coming back into work, see Plan. Ask about bloods at the yearly check", None),
    ]  # fmt: skip
    seen = rows("Date | Name | Role | Purpose | Feet | Findings | Advice | Next due", *trims, *vet)
    return sorted(seen, key=lambda row: str(row["Date"]))


def _abscesses(on: On) -> list[Row]:
    return rows(
        "Horse | Foot | First seen | Where | Opened | Opened at | Comfortable again | Vet seen | Care given | Remarks",
        ("Hazel", "RF", on(41), "toe", on(42), "white line", on(49), on(42), "Poultice four days, then a dry pad", None),
        ("Hazel", "left front", on(187), "inner heel", on(192), "hairline", on(197), on(189),
         "Poultice until it burst, then salt water and air", "Exit marked on the Hooves sheet"),
    )  # fmt: skip


def _pain_relief(on: On) -> list[Row]:
    first, last = datetime.combine(on(42), time(10, 30)), datetime.combine(on(46), time(18))
    return rows(
        "Horse | Product | First given | Last given | Given by order of | Remarks",
        ("Hazel", "phenylbutazone powder", first, last, "Ruth", "as on the label, in the evening feed"),
    )


# From day, until day, what, minutes, ground, share of days.
_WORKED = (
    (14, 40, "hand-walk", 10, "soft", 0.5), (60, 116, "hand-walk", 20, "hard", 0.45),
    (143, 186, "hand-walk", 20, "soft", 0.4), (205, 218, "hand-walk", 15, "soft", 0.7),
    (219, 232, "hand-walk", 25, "hard", 0.6), (233, 257, "ridden walk", 20, "soft", 0.55),
    (273, 295, "ridden walk", 30, "hard", 0.5), (296, 330, "ridden walk", 35, "hard", 0.45),
    (298, 330, "trot", 5, "soft", 0.25), (331, 357, "ridden walk", 40, "hard", 0.45),
    (331, 355, "trot", 10, "soft", 0.3), (358, 364, "hand-walk", 20, "soft", 0.5),
)  # fmt: skip


def _work(on: On) -> list[Row]:
    hand = Hand(577)
    done: list[Row] = []
    for day in range(LENGTH + 1):
        for first, last, what, minutes, ground, share in _WORKED:
            if first <= day <= last and hand.chance(share) and day not in MISSED:
                took = max(5, 5 * round(hand.about(minutes, 4) / 5))
                row: Row = {"Date": hand.day(on(day)), "What": what, "Minutes": took, "Ground": ground}
                done.append(row | ({"Boots": "fronts"} if 126 <= day < 250 and ground == "hard" else {}))
    return done


def _plan(on: On) -> list[Row]:
    steps = (
        ("1", on(205), on(218), "walk in hand", 15, "no worse for a week"),
        ("2", on(219), on(232), "walk in hand, hard ground too", 25, "no worse for a week"),
        ("3", on(233), on(260), "walk, ridden", 20, "no worse the morning after"),
        ("4", on(272), on(295), "walk, ridden", 30, "no worse the morning after"),
        ("5", on(296), on(330), "walk, and trot on soft ground", 40, "no worse for two weeks"),
        ("6", on(331), None, "walk, and trot on soft ground", 50, "speak to Ruth first"),
    )
    planned = rows("Step | From | Until | What | Minutes a day | Move on when", *steps)
    return [{"Horse": "Hazel", **row, "Set by": "Ruth"} for row in planned]


def _changes(on: On) -> list[Row]:
    return rows(
        "Date | Kind | What",
        (on(2), "feed", "hay soaked, no more nuts"),
        (on(36), "weather", "rain all week, field gone to mud"),
        (on(43), "bedding", "deep bed while she is in"),
        (on(50), "turnout", "small paddock, half days"),
        (on(66), "turnout", "top field, all day"),
        (on(74), "feed", "new hay, other farmer"),
        (on(118), "turnout", "bottom field with the others, stony gateway"),
        (on(126), "boots", "boots for the fronts"),
        (on(131), "turnout", "top field again"),
        (on(133), "ground", "bark chips down in the gateway"),
        (words(on(199)), "turnout", "out again after the abscess, half days"),
        (on(262), "herd", "new mare next door, much galloping on the fence"),
        (on(336), "weather", "dry for weeks now"),
        (on(349), "ground", "track along the hedge gone hard"),
    )


def _body(on: On) -> list[Row]:
    hand = Hand(31)
    taken: list[tuple[object, ...]] = []
    for number, day in enumerate(range(0, LENGTH + 1, 28)):
        girth, condition = round(hand.about(186 - number * 0.25, 0.6)), 6.5 if number < 4 else 6
        weight = 5 * round(girth**2 * 160 / 11900 / 5)  # Carroll and Huntington 1988, to the nearest 5 kg
        heart, breathing = round(hand.about(35, 2)), round(hand.about(12, 1.4))
        temperature = round(hand.about(37.6, 0.2), 1)
        taken.append((on(day), temperature, heart, breathing, condition, 2, girth, 160, weight, None))
    taken += [
        (on(41), 38.1, 44, 16, None, None, None, None, None, "evening, foot hot"),
        (on(44), 37.4, 38, 12, None, None, None, None, None, "still on the powder"),
        (on(188), 38.0, 42, 14, None, None, None, None, None, None),
    ]
    return rows(
        "Date | Temperature | Heart rate | Breathing rate | Condition score | Crest score | Girth | Body length | Weight | Remarks",
        *sorted(taken, key=lambda line: str(line[0])),
    )


def _follow_up(on: On) -> list[Row]:
    return rows(
        "Date | Horse | Warning | What was done | By | Outcome",
        (on(41), "Hazel", "lame-at-walk", "Rang Ruth in the evening", "me", "She came in the morning and opened it"),
        (on(188), "Hazel", "lame-at-walk", "Rang Ruth", "me", "She came the next morning"),
        (on(190), "Hazel", "abscess-not-better-48-h", "Rang again: carry on, and ring before dark if no better", "me",
         "Burst by itself two nights later"),
    )  # fmt: skip


def _bills(on: On) -> list[Row]:
    hay = [(on(day), "hay, 20 small bales", 90) for day in range(10, LENGTH, 42)]
    trims = [(on(day), "Ned", 45) for day in TRIMS]
    other = [(on(42), "vet", 168.5), (on(126), "boots", 142), (on(203), "vet, pictures", 310)]
    paid = sorted((*hay, *trims, *other), key=lambda line: str(line[0]))
    return rows("When | For what | Paid", *paid)
