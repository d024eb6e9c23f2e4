"""Rules on what was measured: an angle that goes the unwanted way over two trims, left and right that differ."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from tracker.derive.change import PairDifference, change
from tracker.derive.hooves import HoofRecord
from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.limit import UNEVEN_FROM
from tracker.derive.referral.rule import NEXT_VISIT, OPINION, PRACTICE, TRIMMER, Rule
from tracker.derive.trimming.cycles import AFTER, BEFORE, way_of
from tracker.reference.urgent import UNEVEN_PAIR
from tracker.sheets import HOOVES
from tracker.terms import FEET, FOOT_WORDS

STANDS = dt.timedelta(days=90)
"""How long the last measuring still tells of the foot: our own choice."""
UNDERRUN = 5.0  # degrees between toe and heel from which a heel is called underrun
HAIRLINE = 30.0  # degrees: where many expect the hairline, common practice
COMPARED = ("toe_angle", "heel_angle", "hairline_angle", "hoof_width")
_NAMES = {
    "toe_angle": "toe angle",
    "heel_angle": "heel angle",
    "hairline_angle": "hairline angle",
    "hoof_width": "hoof width",
}
_UNITS = {"deg": "°", "mm": " mm"}


def wrong_way(facts: Facts) -> Iterator[Found]:
    """A lower heel angle in an underrun heel, or a steeper hairline above 30°, over two trims."""
    for foot in FEET:
        told: dict[str, tuple[list[HoofRecord], str]] = {}
        for stage in (AFTER, BEFORE):
            records = [
                one
                for one in facts.worked_out.feet
                if one.foot == foot and one.stage == stage and one.date <= facts.on
            ]
            for name in ("heel_angle", "hairline_angle"):
                three = sorted((one for one in records if name in one.measures), key=lambda one: one.date)[
                    -3:
                ]
                if (
                    name not in told
                    and len(three) == 3
                    and _goes_wrong(name, three)
                    and facts.on - three[-1].date <= STANDS
                ):
                    told[name] = three, stage
        if told:
            moved = "; ".join(_moved(name, three, stage) for name, (three, stage) in told.items())
            latest = max(three[-1].date for three, _ in told.values())
            cells = [
                facts.cell(HOOVES.name, name, row)
                for name, (three, _) in told.items()
                for one in three
                for row in one.rows
            ]
            yield Found(
                latest, f"{FOOT_WORDS[foot].capitalize()}: {moved}.", tuple(dict.fromkeys(cells)), foot
            )


def _goes_wrong(name: str, three: Sequence[HoofRecord]) -> bool:
    first, middle, last = (one.measures[name] for one in three)
    if len({way_of(one.measures[name]) for one in three}) > 1:
        return False
    sign = -1 if name == "heel_angle" else 1
    steps = sign * (middle.value - first.value), sign * (last.value - middle.value)
    return (
        min(steps) > 0 and change(three[0].date, first, last).beyond_error and _is_unwanted(name, three[-1])
    )


def _is_unwanted(name: str, record: HoofRecord) -> bool:
    """A heel that is already underrun going lower; a hairline that is already steep going steeper."""
    if name == "hairline_angle":
        return record.measures[name].value > HAIRLINE
    toe = record.measures.get("toe_angle")
    return toe is not None and toe.value - record.measures[name].value >= UNDERRUN


def _moved(name: str, three: Sequence[HoofRecord], stage: str) -> str:
    first, last = three[0], three[-1]
    values = f"from {first.measures[name].value:.1f}° to {last.measures[name].value:.1f}°"
    return f"{_NAMES[name]} {values} between {day(first.date)} and {day(last.date)}, each {stage}"


def left_right(facts: Facts) -> Iterator[Found]:
    """Left and right of a pair differ beyond their error on the last two days of one stage, the same way round."""
    pairs: dict[tuple[str, str], list[PairDifference]] = {}
    for one in facts.worked_out.pairs:
        if one.name in COMPARED and one.date <= facts.on:
            pairs.setdefault((one.pair, one.name), []).append(one)
    for pair in ("front", "hind"):
        told = [found for name in COMPARED if (found := _differs(facts, pairs.get((pair, name), [])))]
        if told:
            first, last = told[0]
            what = "; ".join(_difference(one) for _, one in told)
            feet = {"front": FEET[:2], "hind": FEET[2:]}[pair]
            days = {(one.date, one.stage) for both in told for one in both}
            rows = [
                (name, row)
                for record in facts.worked_out.feet
                if record.foot in feet and (record.date, record.stage) in days
                for name in {one.name for _, one in told}
                for row in record.rows
            ]
            cells = tuple(dict.fromkeys(facts.cell(HOOVES.name, name, row) for name, row in rows))
            because = f"{pair.capitalize()} pair, {day(last.date)} as on {day(first.date)}: {what}."
            yield Found(first.date, because, cells, pair)


def _differs(facts: Facts, own: Sequence[PairDifference]) -> tuple[PairDifference, PairDifference] | None:
    if not own:
        return None
    stage = max(own, key=lambda one: one.date).stage
    last_two = sorted((one for one in own if one.stage == stage), key=lambda one: one.date)[-2:]
    if len(last_two) < 2 or facts.on - last_two[-1].date > STANDS:
        return None
    first, last = last_two
    uneven = _is_uneven(facts, first) and _is_uneven(facts, last)
    return (first, last) if uneven and first.measure.value * last.measure.value > 0 else None


def _is_uneven(facts: Facts, one: PairDifference) -> bool:
    """Beyond the error; and a toe angle by as much as research calls uneven. For the others no least size is published."""
    least = facts.limit(UNEVEN_FROM) if one.name == "toe_angle" else 0.0
    return one.beyond_error and abs(one.measure.value) >= least - 1e-9


def _difference(one: PairDifference) -> str:
    more = "more" if one.measure.value > 0 else "less"
    return f"{_NAMES[one.name]} {abs(one.measure.value):.1f}{_UNITS[one.measure.unit]} {more} on the left"


_WAIT = "Measure again after the next trim, in the same way, and keep the photographs."
RULES = (
    Rule(
        "angle-goes-the-wrong-way", NEXT_VISIT, "hoof shape",
        "Show the trimmer the figures at the next visit.", _WAIT,
        "over two trims, measured at the same stage in the same way, and by more than the measuring error: a heel angle that "
        "falls where the heel is 5° or more below the toe, since such a heel lies further forward; or a hairline angle that "
        "rises above 30°, since the heel then pushes it up",
        "which direction is unwanted is common practice; the 5° by Turner (underrun heel)", PRACTICE,
        wrong_way, TRIMMER,
    ),
    Rule(
        "left-and-right-differ", NEXT_VISIT, "hoof shape",
        "Show the trimmer the figures at the next visit, and ask whether the horse stands or goes unevenly.", _WAIT,
        "toe, heel or hairline angle or hoof width of the left foot against the right, beyond the measuring error, the toe angle "
        "by 1.5° and more, and the same way round on the last two days of one stage",
        f"toe angle: {UNEVEN_PAIR.source}; of the others no least difference is published, so their error alone decides", OPINION,
        left_right, TRIMMER,
        limit=UNEVEN_FROM,
    ),
)  # fmt: skip
