"""A horse's body as plain data for JSON. Weights in kg, slopes for each 30 days; nothing noted is null."""

from __future__ import annotations

from typing import Any

from tracker.derive.body.horse import BodyRecord
from tracker.derive.body.trend import Moved, Trend
from tracker.derive.body.vitals import Usual, VitalSign

Data = dict[str, Any]
_UCUM = {"kg": "kg", "1": "1"}


def body_data(found: BodyRecord) -> Data | None:
    """What is known of a horse's body; None where nothing was noted."""
    if not found:
        return None
    return {
        "weight_formula": {
            "name": found.formula.name,
            "divisor": found.formula.divisor,
            "source": found.formula.source,
        },
        "weight_by_tape": _trend(found.taped),
        "weight_as_written": _trend(found.typed),
        "condition": _trend(found.condition),
        "crest": _trend(found.crest),
        "vitals": [_vital(one) for one in found.vitals],
    }


def _trend(trend: Trend | None) -> Data | None:
    if trend is None:
        return None
    slope = trend.slope
    return {
        "unit": _UCUM[trend.unit],
        "readings": [
            {"date": one.date.isoformat(), "value": _round(one.value), "sd": _round(one.sd)}
            for one in trend.readings
        ],
        "since_last": _moved(trend.since_last),
        "since_first": _moved(trend.since_first),
        "per_month": slope
        and {
            "value": _round(slope.value),
            "low": _round(slope.low),
            "high": _round(slope.high),
            "count": slope.count,
        },
    }


def _moved(move: Moved | None) -> Data | None:
    if move is None:
        return None
    return {
        "since": move.since.isoformat(),
        "value": _round(move.value),
        "detectable": _round(move.detectable),
        "beyond_error": move.beyond_error,
    }


def _vital(found: VitalSign) -> Data:
    return {
        "name": found.vital.key,
        "unit": found.vital.low.unit,
        "date": found.last.date.isoformat(),
        "value": _round(found.last.value),
        "masked": found.last.masked,
        "readings": len(found.signs),
        "published": {
            "low": found.vital.low.value,
            "high": found.vital.high.value,
            "source": found.vital.low.source,
        },
        "beside_published": found.beside_published,
        "usual": _usual(found.usual),
        "beside_usual": found.beside_usual or None,
    }


def _usual(usual: Usual | None) -> Data | None:
    if usual is None:
        return None
    return {
        "middle": _round(usual.middle),
        "low": _round(usual.low),
        "high": _round(usual.high),
        "readings": usual.count,
    }


def _round(value: float) -> float:
    return round(value, 6)
