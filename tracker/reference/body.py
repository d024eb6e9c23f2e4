"""Weight from a tape, how well a body is read by its owner, and the vital signs of grown horses at rest."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.reference.figure import PROVISIONAL, PUBLISHED, Figure


@dataclass(frozen=True, slots=True)
class Formula:
    """A horse's weight from girth and length: girth² × length / `divisor`, in cm and kg; for which horses."""

    name: str
    divisor: float
    horses: str
    source: str


ANY, ICELANDIC = "any", "Icelandic"
FORMULAS = {
    ANY: Formula(
        ANY, 11900.0, "grown horses of any breed",
        "Carroll and Huntington 1988, Equine Vet J 20:41 (281 horses; the divisor as in its abstract)",
    ),
    ICELANDIC: Formula(
        ICELANDIC, 11400.0, "Icelandic horses",
        "Hoffmann et al. 2013 (the authors' names from memory)",
    ),
}  # fmt: skip

FORMULA_ERROR = Figure(
    "weight by girth and length against a scale, in grown horses", 4.5, "%", PUBLISHED,
    "a study of 159 Hucul horses: mean error 4.5 %, 7 kg too low on average",
)  # fmt: skip

_TAPE = "the horse's breath and coat, and where the tape lies; a careful guess"
GIRTH_SD = Figure("girth by tape, one reading: standard deviation", 10.0, "mm", PROVISIONAL, _TAPE)
LENGTH_SD = Figure("body length by tape, one reading: standard deviation", 20.0, "mm", PROVISIONAL, _TAPE)
WEIGHT_SD = Figure(
    "a weight that was typed, one reading: standard deviation", 2.0, "%", PROVISIONAL,
    "it may be from a scale or from a tape; taken as a tape's",
)  # fmt: skip
CONDITION_SD = Figure(
    "condition score 1 to 9, one reading: standard deviation", 0.5, "1", PROVISIONAL,
    "scored by eye and hand to a half at best; a careful guess",
)  # fmt: skip
CREST_SD = Figure(
    "crest score 0 to 5, one reading: standard deviation", 0.5, "1", PROVISIONAL, CONDITION_SD.source
)

CONDITION_SOURCE = "Henneke et al. 1983, Equine Vet J 15:371 (1 to 9)"
CREST_SOURCE = "Carter et al. 2009, Vet J 179:204 (0 to 5)"

_TEMPERATURE = "Virginia Tech clinician in US Eventing 2021; Purdue Veterinary Hospital"
_HEART = "The Horse, August 2019"
_BREATHING = "sources disagree: 8 to 16, 12 to 20, 10 to 24"


@dataclass(frozen=True, slots=True)
class Vital:
    """One vital sign of a grown horse at rest: its published range, and from where sources say whom to ask.

    `least` is the smallest distance from its usual value that is called unlike the horse: our own choice.
    """

    key: str
    name: str
    unit: str
    low: Figure
    high: Figure
    ask_from: Figure
    ask: str
    least: float


def _figure(name: str, value: float, unit: str, source: str) -> Figure:
    return Figure(name, value, unit, PUBLISHED, source)


TEMPERATURE = Vital(
    "temperature", "Temperature", "°C",
    _figure("temperature at rest, lowest", 37.2, "Cel", _TEMPERATURE),
    _figure("temperature at rest, highest", 38.6, "Cel", _TEMPERATURE),
    _figure("temperature from which a vet is to be rung", 38.9, "Cel", _TEMPERATURE),
    "is where a vet is to be rung", 0.5,
)  # fmt: skip
HEART = Vital(
    "heart_rate", "Heart rate", "a minute",
    _figure("heart rate at rest, lowest", 28.0, "/min", _HEART),
    _figure("heart rate at rest, highest", 44.0, "/min", _HEART),
    Figure("heart rate at true rest that is urgent", 60.0, "/min", PROVISIONAL, "widely taught; from memory"),
    "at true rest is taught to be urgent", 6.0,
)  # fmt: skip
BREATHING = Vital(
    "breathing_rate", "Breathing rate", "a minute",
    _figure("breathing rate at rest, lowest of the sources", 8.0, "/min", _BREATHING),
    _figure("breathing rate at rest, highest of the sources", 24.0, "/min", _BREATHING),
    _figure("breathing rate above which to count again and ask", 24.5, "/min", _BREATHING),
    "in a cool, calm horse is to be counted again, and asked about with any other sign", 6.0,
)  # fmt: skip
VITALS = (TEMPERATURE, HEART, BREATHING)
