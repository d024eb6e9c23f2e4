"""The latest vital signs beside what is published for grown horses, and beside the horse's own usual values.

Pain relief lowers fever and heart rate: a reading under it is shown and marked, and is no part of what is usual.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

import numpy as np

from tracker.reference.body import Vital

# Learning a horse's own values is advised from 2 to 3 readings a week over 7 to 10 days (general advice, no study).
LEAST_READINGS = 5
RECENT = timedelta(days=365)  # our own choice
_FAR = 3 * 1.4826  # robust standard deviations, as many times the middle distance from the median
ABOVE, BELOW, WITHIN = "above", "below", "within"


@dataclass(frozen=True, slots=True)
class Sign:
    """One reading of a vital sign; `masked` holds where pain relief may lower it."""

    date: date
    value: float
    masked: bool
    row: int


@dataclass(frozen=True, slots=True)
class Usual:
    """A horse's own usual value: the middle one of earlier readings, the span of the middle half, how many."""

    middle: float
    low: float
    high: float
    far: float
    count: int


@dataclass(frozen=True, slots=True)
class VitalSign:
    """One vital sign: its readings by date, the latest beside the published range and the horse's own values.

    `usual` is from the readings of the year before the latest, outside pain relief; None for fewer than five.
    """

    vital: Vital
    signs: tuple[Sign, ...]
    usual: Usual | None

    @property
    def last(self) -> Sign:
        """The newest reading."""
        return self.signs[-1]

    @property
    def beside_published(self) -> str:
        """Where the latest lies: "above", "below" or "within" the published range."""
        return _beside(self.last.value, self.vital.low.value, self.vital.high.value)

    @property
    def beside_usual(self) -> str:
        """Where it lies beside the horse's own: "" where that is not known."""
        if self.usual is None:
            return ""
        return _beside(
            self.last.value, self.usual.middle - self.usual.far, self.usual.middle + self.usual.far
        )

    @property
    def asks(self) -> bool:
        """Whether it has reached the value from which sources say to ask."""
        return self.last.value >= self.vital.ask_from.value


def vital_sign(vital: Vital, signs: Iterable[Sign]) -> VitalSign | None:
    """The readings of one vital sign; None where there is none."""
    ordered = sorted(signs, key=lambda sign: (sign.date, sign.row))
    if not ordered:
        return None
    return VitalSign(vital, tuple(ordered), _usual(vital, ordered))


def _usual(vital: Vital, ordered: Sequence[Sign]) -> Usual | None:
    last = ordered[-1]
    known = [
        sign.value for sign in ordered[:-1] if not sign.masked and last.date - RECENT <= sign.date < last.date
    ]
    if len(known) < LEAST_READINGS:
        return None
    middle = float(median(known))
    spread = float(median(abs(value - middle) for value in known))
    low, high = (float(end) for end in np.percentile(known, (25, 75)))
    return Usual(middle, low, high, max(vital.least, _FAR * spread), len(known))


def _beside(value: float, low: float, high: float) -> str:
    return ABOVE if value > high + 1e-9 else BELOW if value < low - 1e-9 else WITHIN
