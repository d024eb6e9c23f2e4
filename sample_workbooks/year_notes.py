"""The daily notes of the year: how lame, on which foot, on which days, and what was said about it.

Days are counted from the day the front shoes came off. Nothing here names a month or a season, so the year
can end on any day.
"""

from __future__ import annotations

from datetime import date, datetime, time

import numpy as np

from sample_workbooks.hand import Hand, Row, days_on, rows
from sample_workbooks.year_feet import TRIMS

# How lame she is at trot on the hard, straight on (0-5), on the days between which it drifts.
_LEVEL = {
    0: 2, 3: 3, 10: 2.5, 20: 2, 34: 1.5, 37: 2, 40: 1.5, 50: 2, 60: 1.5, 68: 1, 72: 1.5, 90: 1, 117: 0.8,
    121: 2.2, 128: 3, 134: 2.5, 141: 2, 155: 1.5, 175: 1, 186: 0.6, 198: 1.5, 210: 1, 230: 0.6, 250: 0.4,
    283: 0.2, 290: 0.6, 300: 0.3, 330: 0.1, 345: 0.4, 352: 1, 358: 1.6, 364: 2,
}  # fmt: skip
_LIMB = {0: "both fronts", 50: "RF", 118: "both fronts", 176: "LF", 270: "RF", 340: "LF"}
_SHARE = {0: 0.9, 30: 0.65, 118: 0.75, 150: 0.5, 198: 0.6, 259: 0, 272: 0.45, 330: 0.55, 350: 0.8}
MISSED = (*range(78, 84), *range(161, 166), *range(303, 309))  # flu, a week's course, a broken telephone
_CAUGHT_UP = range(328, 334)  # six days written down in one evening, the last
_SURE = {123: 3, 131: 2.5, 283: 0, 290: 1, 296: 0, 325: 0, 356: 2, 359: 2}  # what the remark of the day says
_WEATHER = ("dry", "dry", "wet", "drizzle", "windy", "showers", "grey, dry", "wet, clearing")

_REMARKS = {
    0: "Shoes off at ten. Fine on the grass, careful on the yard.",
    1: "Short on the concrete, goes straight for the soft edge.",
    3: "picks her way over the stones like a cat",
    5: "better on the grass than I feared",
    8: "trotted up to the gate by herself, first time",
    11: "pulses hardly there, feet cool morning and evening",
    14: "two weeks. Still looks for the soft bits.",
    19: "down the lane on the verge, happy",
    24: "bit footy, we had been on the hard track for ten minutes",
    29: "level on grass as far as I can see, not on hard",
    37: "careful after the trim, as Ned said she might be",
    57: "hole is dry, plug of cotton wool and tape",
    62: "first walk down the lane since",
    77: "I am going down with flu, Kath feeds",
    84: "back on my feet. Looks about the same to me.",
    96: "she rolled and got up and bucked. no idea what to write",
    118: "into the bottom field with the others, galloped the whole length of it",
    121: "tender this evening. The gateway is all stones.",
    123: "worse, short in front on both",
    124: "rang Ned. Bring her off the stones, he says",
    126: "boots came. They fit, after some swearing",
    128: "with boots another horse, without them she hobbles",
    131: "back in the top field",
    137: "coming right slowly",
    150: "the stones are forgotten, nearly",
    168: "neighbour says she moves well. I still see it on the turn",
    186: "thought she was a bit quiet",
    204: "pads off",
    225: "first time I sat on her. ten minutes, walk, grinned all day",
    240: "trotted out on the lane without being asked",
    258: "off to my sister's until the week after next, Kath looks in",
    272: "Kath wrote nothing down but says she was fine",
    283: "cannot see it at all today",
    290: "trod on something in the lane, hopped, walked on",
    296: "gone again",
    325: "best week so far",
    346: "feet are getting long",
    351: "Ned has put his back out. No new date yet",
    356: "shorter on the LF again, nothing to see on the foot",
    359: "same. picked the foot out twice, cool, no stone",
    362: "not right on the hard. on grass I would not see it",
}

_ABSCESS = "Gait | Ground | Limb | Score | Than last time | Pulse LF | Pulse RF | Warm | Signs | Remarks"
_BY_HAND: dict[int, list[Row]] = {
    41: rows(_ABSCESS,
             ("walk", "hard", "RF", "4", "worse", 1, 3, "RF", "points a foot",
              "came in hardly touching down the right front. Rang Ruth: first thing tomorrow, and ring at night if "
              "she gets worse")),
    42: rows(_ABSCESS,
             ("walk", "hard", "RF", "4", "same", 1, 3, "RF", "points a foot, lies down more", "before the vet came"),
             ("walk", "soft", "right front", "3", "better", None, 2, None, None,
              "evening. Ruth opened it at the white line, black stuff ran out")),
    43: rows(_ABSCESS, ("walk", "soft", "RF", "2.5", "better", 0, 2, "RF", None, "puts the heel down already")),
    44: rows(_ABSCESS, ("walk", "hard", "RF", "2", "better", 0, 1, None, None, None)),
    45: rows(_ABSCESS, ("walk", "hard", "RF", "2", "same", 0, 1, None, None, "poultice changed, less each time")),
    47: rows(_ABSCESS, ("walk", "hard", "RF", "2", "same", 0, 1, None, None, "last of the powder was yesterday")),
    49: rows(_ABSCESS, ("walk", "hard", "RF", "1", "better", 0, 0, None, None, "walks out, dry pad on")),
    187: rows(_ABSCESS,
              ("trot", "hard", "LF", "3", "worse", 2, 0, "LF", None,
               "the other one this time. warm, and a pulse on the inside")),
    188: rows(_ABSCESS,
              ("walk", "hard", "LF", "4", "worse", 3, 1, "LF", "points a foot",
               "does not want to walk to the trough. Ruth comes tomorrow morning")),
    189: rows(_ABSCESS,
              ("walk", "hard", "LF", "4", "same", 3, 1, "LF", None, "Ruth found no hole. Poultice, and ring if worse")),
    190: rows(_ABSCESS,
              ("walk", "hard", "LF", "4", "same", 3, 1, "LF", "lies down more", "no better. rang again")),
    191: rows(_ABSCESS, ("walk", "soft", "LF", "3.5", "same", 2, 1, "LF", None, None)),
    192: rows(_ABSCESS,
              ("walk", "soft", "left front", "2", "better", 1, 0, None, None,
               "burst at the hairline in the night, above the inner heel. Another horse!")),
    193: rows(_ABSCESS, ("walk", "hard", "LF", "1.5", "better", 1, 0, None, None, None)),
    195: rows(_ABSCESS, ("walk", "hard", "LF", "1", "better", 0, 0, None, None, "still weeping a little")),
    197: rows(_ABSCESS, ("walk", "hard", None, "0", "better", 0, 0, None, None, "walks as if nothing had been")),
}  # fmt: skip


def notes(start: date) -> list[Row]:
    """Write the year's Soundness rows, the trimmer's among them, in the order they were seen."""
    hand = Hand(2718)
    written: list[Row] = []
    last: float | None = None
    for day in range(365):
        on = days_on(start, day)
        todays = [{"Seen by": "owner", **row} for row in _BY_HAND.get(day, [])]
        if todays:
            last = None
        elif _looked(hand, day):
            grade = _grade(hand, day)
            todays = _round(hand, day, grade, last)
            last = grade
        if day in TRIMS:
            todays.append(_trimmer(hand, day))
        sky = hand.pick(_WEATHER)
        written += [
            {"Date": hand.day(on), "Horse": "Hazel", "Line": "straight", "Weather": sky} | row
            for row in todays
        ]
        _stamp(written, len(todays), on, day)
    return written


def _looked(hand: Hand, day: int) -> bool:
    looked = hand.chance(_at(_SHARE, day))
    if 41 <= day < 50 or 187 <= day < 198 or day in MISSED:
        return False
    return looked or day in _REMARKS


def _at(steps: dict[int, float], day: int) -> float:
    return steps[max(first for first in steps if first <= day)]


def _grade(hand: Hand, day: int) -> float:
    """Grade what she sees: somewhere about the level, in whole steps and now and then a half."""
    level = float(np.interp(day, list(_LEVEL), list(_LEVEL.values())))
    seen = max(0.0, hand.about(level, 0.55))
    graded = round(seen * 2) / 2 if hand.chance(0.3) else float(round(seen))
    return _SURE.get(day, graded)


def _round(hand: Hand, day: int, grade: float, last: float | None) -> list[Row]:
    """Look once at trot on the hard; on some days also on grass, and in bad times at walk over stones."""
    limb = _LIMB[max(first for first in _LIMB if first <= day)]
    usual: Row = {"Seen by": "owner", "Gait": "trot", "Ground": "hard"} | _how_lame(hand, limb, grade)
    if last is not None and hand.chance(0.55):
        usual["Than last time"] = "worse" if grade > last else "better" if grade < last else "same"
    if day < 14 and hand.chance(0.7):
        usual |= {"Pulse LF": hand.pick((0, 1, 1)), "Pulse RF": hand.pick((0, 1, 1))}
    if 126 <= day < 200 and hand.chance(0.3):
        usual["Boots"] = hand.pick(("no", "fronts"))
    if day in _REMARKS:
        usual["Remarks"] = _REMARKS[day]
    todays = [usual]
    if hand.chance(0.35):
        softer = max(0.0, grade - hand.pick((0.5, 1, 1)))
        todays.append({"Seen by": "owner", "Gait": "trot", "Ground": "soft"} | _how_lame(hand, limb, softer))
    if grade >= 2 and hand.chance(0.3):
        stony: Row = {"Seen by": "owner", "Gait": "walk", "Ground": "stony"}
        todays.append(stony | _how_lame(hand, limb, grade - 1))
    return todays


def _how_lame(hand: Hand, limb: str, grade: float) -> Row:
    typed: Row = {"Score": hand.grade(grade)}
    return {"Limb": hand.limb(limb)} | typed if grade else typed


def _trimmer(hand: Hand, day: int) -> Row:
    grade = max(0.0, _grade(hand, day) - hand.pick((0, 0.5, 1)))
    seen: Row = {
        "Seen by": "trimmer",
        "Gait": "trot",
        "Ground": "hard",
        "Scale": "0-5",
        "Score": f"{grade:g}",
    }
    return seen | ({"Limb": _LIMB[max(first for first in _LIMB if first <= day)]} if grade else {})


def _stamp(written: list[Row], count: int, on: date, day: int) -> None:
    """From the middle of the year she often writes with the program, which adds when it was."""
    late = day in _CAUGHT_UP
    if day < 150 or (day % 3 == 0 and not late):
        return
    evening = time(21, 5 + day - _CAUGHT_UP.start) if late else time(18 + day % 3, day * 7 % 60)
    when = datetime.combine(days_on(on, _CAUGHT_UP.stop - 1 - day) if late else on, evening)
    for row in written[len(written) - count :]:
        if row["Seen by"] == "owner":
            row["Written"] = when
