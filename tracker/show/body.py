"""A horse's body in the barn's words: weight, condition, crest with their error, vital signs beside the usual."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.derive.body.horse import CONDITION, CREST, TAPED, TYPED, BodyRecord
from tracker.derive.body.trend import Moved, Trend
from tracker.derive.body.vitals import ABOVE, BELOW, VitalSign
from tracker.reference import body as reference
from tracker.reference.measuring import COVERAGE
from tracker.show import words

VITALS_NOTE = (
    f"Published ranges are for grown horses at rest (temperature: {reference.TEMPERATURE.low.source}; heart: "
    f"{reference.HEART.low.source}; breathing: {reference.BREATHING.low.source}). Horses differ: what counts most is "
    "the horse's own. Half of the "
    "earlier readings lie in the range in brackets. Pain relief lowers fever and heart rate, so readings under it may "
    "look better than the horse is, and are left out of what is usual. A reading within a range does not mean that "
    "nothing is wrong."
)
_UNITS = {"kg": " kg", "1": ""}
_DECIMALS = {"kg": 0, "1": 1}


TREND_NAMES = {
    TAPED: "Weight by tape",
    TYPED: "Weight as written",
    CONDITION: "Condition (1 to 9)",
    CREST: "Crest (0 to 5)",
}


@dataclass(frozen=True, slots=True)
class TrendView:
    """One of weight, condition and crest: the newest value with its error, and how it went."""

    name: str
    value: str
    when: str
    told: str


@dataclass(frozen=True, slots=True)
class VitalView:
    """One vital sign: the newest reading, the published range, the horse's own, and what to notice."""

    name: str
    value: str
    when: str
    published: str
    usual: str
    told: str


@dataclass(frozen=True, slots=True)
class BodyView:
    """A horse's body, ready to be shown; `note` says how its weight was worked out and how well it is known."""

    trends: tuple[TrendView, ...]
    vitals: tuple[VitalView, ...]
    note: str

    def __bool__(self) -> bool:
        """Whether anything was noted."""
        return bool(self.trends or self.vitals)


def body_view(found: BodyRecord) -> BodyView:
    """A horse's body as a shape to show."""
    return BodyView(
        trends=tuple(_trend(one) for one in found.trends),
        vitals=tuple(_vital(one) for one in found.vitals),
        note=" ".join(filter(None, (_by_tape(found), _scores(found), _careful(found)))),
    )


def _trend(trend: Trend) -> TrendView:
    last = trend.last
    told = (_moves(trend), _slope(trend))
    return TrendView(
        name=TREND_NAMES[trend.name],
        value=f"{_number(trend, last.value)} ± {_number(trend, COVERAGE * last.sd)}",
        when=words.day(last.date),
        told=" ".join(filter(None, told)),
    )


def _moves(trend: Trend) -> str:
    """The changes beyond the measuring error, or that there is none."""
    moves = list(dict.fromkeys(move for move in (trend.since_last, trend.since_first) if move))
    if not moves:
        return "The first reading."
    beyond = [move for move in moves if move.beyond_error]
    if not beyond:
        since = " or ".join(words.day(move.since) for move in moves)
        return f"No change beyond the measuring error since {since}."
    return " ".join(_move(trend, move) for move in beyond)


def _move(trend: Trend, move: Moved) -> str:
    way = "less" if move.value < 0 else "more"
    return f"{_number(trend, abs(move.value))} {way} than on {words.day(move.since)}, at least the measuring error."


def _slope(trend: Trend) -> str:
    slope = trend.slope
    if slope is None:
        return ""
    limits = f"({words.limits(slope, lambda end: _step(trend, end))} a month)"
    over = f"Since {words.day(trend.readings[-slope.count].date)} ({slope.count} days noted) it"
    if slope.low <= 0 <= slope.high or _step(trend, slope.value) == _step(trend, 0):
        return f"{over} neither rose nor fell by more than chance {limits}."
    return f"{over} {'fell' if slope.value < 0 else 'rose'} by {_size(trend, slope.value)} a month {limits}."


def _number(trend: Trend, value: float) -> str:
    return f"{value:.{_DECIMALS[trend.unit]}f}{_UNITS[trend.unit]}"


def _size(trend: Trend, value: float) -> str:
    return f"{abs(value):.{_DECIMALS[trend.unit] + 1}f}{_UNITS[trend.unit]}"


def _step(trend: Trend, value: float) -> str:
    return words.step(value, _size(trend, value), "less", "more")


def _by_tape(found: BodyRecord) -> str:
    if found.taped is None:
        return ""
    formula = found.formula
    return (
        f"Weight by tape is girth × girth × body length ÷ {formula.divisor:,.0f} in cm and kg, for {formula.horses} "
        f"(by {_short(formula.source)}). ± is the tape's error alone, which decides about a change; against a scale such a formula "
        f"was {reference.FORMULA_ERROR.value:g} % off on average ({_short(reference.FORMULA_ERROR.source)})."
    )


def _short(source: str) -> str:
    """A source without what stands in its own brackets, or behind a colon."""
    return source.split(" (")[0].split(": ")[0]


def _scores(found: BodyRecord) -> str:
    told = [
        f"{name} by {source}"
        for name, trend, source in (
            ("Condition", found.condition, reference.CONDITION_SOURCE),
            ("crest", found.crest, reference.CREST_SOURCE),
        )
        if trend
    ]
    return f"{' and '.join(told)}." if told else ""


def _careful(found: BodyRecord) -> str:
    return (
        "No error of an owner's tape or score is published: those used here are careful guesses."
        if found.trends
        else ""
    )


def _vital(found: VitalSign) -> VitalView:
    vital, last = found.vital, found.last
    masked = " (under pain relief)" if last.masked else ""
    return VitalView(
        name=vital.name,
        value=f"{reading_words(found, last.value)} {vital.unit}{masked}",
        when=words.day(last.date),
        published=f"{vital.low.value:g} to {vital.high.value:g}",
        usual=_usual(found),
        told=_notice(found),
    )


def reading_words(found: VitalSign, value: float) -> str:
    """A value of a vital sign with as many decimals as it is read with."""
    return f"{value:.1f}" if found.vital is reference.TEMPERATURE else f"{value:.0f}"


def _usual(found: VitalSign) -> str:
    if found.usual is None:
        return "too few readings outside pain relief"
    middle, low, high = (
        reading_words(found, value) for value in (found.usual.middle, found.usual.low, found.usual.high)
    )
    return f"{middle} ({low} to {high}; {found.usual.count} readings)"


def _notice(found: VitalSign) -> str:
    """What is unlike published or usual; nothing where neither is, which is no reassurance."""
    told = []
    if found.beside_published in (ABOVE, BELOW):
        told.append(f"{found.beside_published.capitalize()} the published range.")
    if found.beside_usual in (ABOVE, BELOW):
        told.append(f"{found.beside_usual.capitalize()} what is usual for this horse.")
    if found.asks:
        limit = found.vital.ask_from
        told.append(f"{_limit(found)} {found.vital.ask} ({limit.source}).")
    return " ".join(told)


def _limit(found: VitalSign) -> str:
    if found.vital is reference.BREATHING:
        return f"More than {found.vital.high.value:g}"
    return f"{found.vital.ask_from.value:g} and more"
