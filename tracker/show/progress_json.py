"""A horse's progress as plain data for JSON. Slopes are in grades for each 30 days; an open end is null."""

from __future__ import annotations

import math
from typing import Any

from tracker.derive.progress.around_trims import AroundTrim
from tracker.derive.progress.horse import Progress, Way
from tracker.derive.progress.levels import Level
from tracker.derive.progress.trend import Slope
from tracker.derive.raters import Agreement
from tracker.derive.soundness import Series
from tracker.derive.statistics.interval import Estimate

Data = dict[str, Any]


def progress_data(found: Progress) -> Data:
    """All ways of looking that have enough notes, whoever agrees, and how the record was written."""
    written = found.written
    return {
        "ways": [_way(way) for way in found.ways],
        "agreement": [_agreement(one) for one in found.agreements],
        "written": written
        and {"on_its_day": written.on_its_day, "late": written.late, "not_known": written.not_known},
    }


def _way(way: Way) -> Data:
    return {
        **_looked(way.series),
        "months_since": way.since and way.since.isoformat(),
        "months": [_month(level) for level in way.levels],
        "first_month_without_pain_relief": way.clear and way.clear.number,
        "slope": way.trend and _slope(way.trend),
        "no_progress": way.standstill and _slope(way.standstill),
        "trims": [_trim(one) for one in way.trims],
        "trims_together": way.trims_together and _estimate(way.trims_together),
    }


def _looked(series: Series) -> Data:
    return {key: getattr(series, key) for key in ("scale", "gait", "ground", "line", "limb")}


def _month(level: Level) -> Data:
    return {
        "month": level.number,
        "first": level.first.isoformat(),
        "last": level.last.isoformat(),
        "middle": level.middle,
        "low": level.low,
        "high": level.high,
        "days": level.days,
        "notes": level.notes,
        "masked": level.masked,
    }


def _slope(found: Slope) -> Data:
    return {
        "first": found.first.isoformat(),
        "last": found.last.isoformat(),
        "days": found.days,
        "per_month": _estimate(found.rate),
        "chance": _round(found.chance),
        "beyond_chance": found.beyond_chance,
    }


def _trim(one: AroundTrim) -> Data:
    return {
        "date": one.date.isoformat(),
        "before": _round(one.before),
        "days_before": one.days_before,
        "after": _round(one.after),
        "days_after": one.days_after,
        "difference": _estimate(one.difference),
    }


def _agreement(one: Agreement) -> Data:
    return {
        **_looked(one.series),
        "first": one.first,
        "second": one.second,
        "days": one.days,
        "difference": _estimate(one.difference),
        "weighted_kappa": one.kappa and _estimate(one.kappa),
    }


def _estimate(found: Estimate) -> Data:
    return {
        "value": _round(found.value),
        "low": _round(found.low),
        "high": _round(found.high),
        "count": found.count,
    }


def _round(value: float) -> float | None:
    return round(value, 6) if math.isfinite(value) else None
