"""A horse's record of any length, invented day by day: everything that a letter can tell, for as long as is wished."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

Row = dict[str, object]

END = dt.date(2026, 6, 30)
LIMBS = ("LF", "RF", "LH", "RH", "both fronts", None)
WAYS = (("trot", "hard"), ("walk", "stony"))
PLACES = ("toe", "inner quarter", "outer heel", "sole")
PRODUCTS = ("phenylbutazone powder", "meloxicam", "willow bark", "flunixin paste")
WORK = ("hand-walk", "ridden walk", "trot", "turnout")


def record(days: int, abscesses: int, every: int = 1) -> dict[str, list[Row]]:
    """The sheets of so many days up to `END`, a note `every` so many days, so many abscesses spread over them."""
    begin = END - dt.timedelta(days=days - 1)
    return {
        "Horses": [
            {
                "Horse": "Bramble", "Born": 2011, "Sex": "gelding", "Front shoes off": begin, "Hind shoes off": begin,
                "Usual check": "trot, hard, straight", "Usual scale": "0-5", "Trim every": "5 weeks",
                "Known conditions": "thin soles, by a vet's radiographs",
            }
        ],
        "Soundness": [_note(begin + dt.timedelta(days=day), day) for day in range(0, days, every)],
        "Abscesses": [*_abscesses(begin, days, abscesses)],
        "Visits": [*_visits(begin, days)],
        "Hooves": [*_hooves(begin, days)],
        "Pain relief": [*_relief(begin, days)],
        "Work": [_work(begin + dt.timedelta(days=day), day) for day in range(0, days, 2)],
        "Plan": _plan(begin, days),
        "Changes": [*_changes(begin, days)],
        "Body": [_body(begin + dt.timedelta(days=day), day) for day in range(0, days, 14)],
    }  # fmt: skip


def _note(day: dt.date, number: int) -> Row:
    gait, ground = WAYS[number % len(WAYS)]
    grade = (2, 1, 2.5, 1.5, 3, 2, 0)[number % 7]
    note: Row = {
        "Date": day, "Seen by": "owner", "Gait": gait, "Ground": ground, "Line": "straight", "Scale": "0-5",
        "Limb": LIMBS[number // 9 % len(LIMBS)] if grade else None, "Score": grade,
    }  # fmt: skip
    if number % 11 == 0:
        note |= {"Signs": "points a foot, lies down more", "Pulse LF": 2, "Warm": "LF"}
    return note


def _abscesses(begin: dt.date, days: int, count: int) -> Iterator[Row]:
    for number in range(count):
        first = begin + dt.timedelta(days=round(number * days / count))
        over = {"Opened": first + dt.timedelta(days=4), "Comfortable again": first + dt.timedelta(days=9)}
        yield {
            "Foot": LIMBS[number % 4], "First seen": first, "Where": PLACES[number % 4],
            **({key: day for key, day in over.items() if day <= END}), "Opened at": "white line",
            "Vet seen": first + dt.timedelta(days=1) if first < END else None,
            "Care given": "poultice until it burst, then salt water and air",
        }  # fmt: skip


def _visits(begin: dt.date, days: int) -> Iterator[Row]:
    for day in range(20, days, 35):
        yield {
            "Date": begin + dt.timedelta(days=day), "Role": "trimmer", "Purpose": "trim", "Feet": "all",
            "Findings": "heels run forward in front, toes taken back from the top",
        }  # fmt: skip
    for day in range(25, days, 120):
        yield {
            "Date": begin + dt.timedelta(days=day), "Role": "vet", "Purpose": "vet examination", "Feet": "LF RF",
            "Findings": "sore to the testers at the inner heel, no track found, pulses up in both fronts",
            "Advice": "poultice, look twice a day at both fronts, ring if it gets worse",
        }  # fmt: skip


def _hooves(begin: dt.date, days: int) -> Iterator[Row]:
    for number, day in enumerate(range(20, days, 35)):
        for foot in LIMBS[:4]:
            yield {
                "Date": begin + dt.timedelta(days=day), "Foot": foot, "Stage": "after trim",
                "Toe angle": 47 + min(number, 5) / 2, "Heel angle": 38 + min(number, 8) / 2,
                "Hairline angle": 24, "Pastern angle": 53, "Toe length": 84, "Heel length": 41,
                "Growth mark": f"mark {number // 6}", "Growth mark below hairline": 8 + 9 * (number % 6),
            }  # fmt: skip


def _relief(begin: dt.date, days: int) -> Iterator[Row]:
    for number, day in enumerate(range(15, days, 61)):
        first = begin + dt.timedelta(days=day)
        yield {
            "Product": PRODUCTS[number % len(PRODUCTS)], "First given": first,
            "Last given": min(first + dt.timedelta(days=4), END), "Given by order of": "the practice",
        }  # fmt: skip


def _work(day: dt.date, number: int) -> Row:
    return {"Date": day, "What": WORK[number // 2 % len(WORK)], "Minutes": 20 + number % 25, "Ground": "soft"}


def _plan(begin: dt.date, days: int) -> list[Row]:
    return [
        {
            "Step": str(step), "From": begin + dt.timedelta(days=step * days // 4), "What": "walk, and trot on soft ground",
            "Minutes a day": 10 * step, "Move on when": "0 for two weeks",
        }
        for step in (1, 2, 3)
    ]  # fmt: skip


def _changes(begin: dt.date, days: int) -> Iterator[Row]:
    for number, day in enumerate(range(10, days, 40)):
        kind, what = (("feed", "hay soaked from now on"), ("ground", "track along the hedge gone hard"))[
            number % 2
        ]
        yield {"Date": begin + dt.timedelta(days=day), "Kind": kind, "What": what}


def _body(day: dt.date, number: int) -> Row:
    return {
        "Date": day, "Temperature": 37.5, "Heart rate": 36, "Breathing rate": 12, "Condition score": 6,
        "Crest score": 2, "Girth": 1780 + number % 3, "Weight": 450 + number % 9,
    }  # fmt: skip
