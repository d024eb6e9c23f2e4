"""A horse's weight from girth and body length, with the error that the tape gives it."""

from __future__ import annotations

import math

from tracker.derive.uncertainty import Measure
from tracker.reference.body import ANY, FORMULAS, GIRTH_SD, LENGTH_SD


def weight_of(girth: float, length: float, formula: str = ANY) -> float:
    """The weight in kg of a girth and a body length in mm, by the formula of that name in `FORMULAS`.

    References: Carroll and Huntington 1988, Equine Vet J 20:41; others as in `tracker.reference.body`.
    """
    return (girth / 10) ** 2 * (length / 10) / FORMULAS[formula].divisor


def weight_by_tape(girth: float, length: float, formula: str = ANY) -> Measure:
    """The weight with its error by the tape alone: the formula's own error is the same for one horse each time."""
    value = weight_of(girth, length, formula)
    part = math.hypot(2 * GIRTH_SD.value / girth, LENGTH_SD.value / length)
    return Measure(value, value * part, "kg", "from girth and body length")
