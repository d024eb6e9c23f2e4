"""A horse's trims as plain data for JSON. Changes between trims are in the measure's unit for each week."""

from __future__ import annotations

from typing import Any

from tracker.derive.trimming.at_trim import AtTrim
from tracker.derive.trimming.between import Weekly
from tracker.derive.trimming.cycles import Cycle
from tracker.derive.trimming.due import Due
from tracker.derive.trimming.horse import Trimming

Data = dict[str, Any]


def trims_data(found: Trimming) -> Data:
    """Every trim, each foot's cycles, what each trim changed, what changes between them, what is due."""
    return {
        "done": [{"date": trim.date.isoformat(), "feet": list(trim.feet)} for trim in found.trims],
        "due": found.due and _due(found.due),
        "intervals": [_cycle(cycle) for cycle in found.cycles],
        "before_after": [_at_trim(one) for one in found.at_trims],
        "per_week": [_weekly(one) for one in found.between],
    }


def _due(due: Due) -> Data:
    return {
        "date": due.day.isoformat(),
        "why": due.why,
        "counted_from": due.counted_from.isoformat(),
        "from_shoes_off": due.from_shoes,
        "days": {why: day.isoformat() for why, day in due.days.items()},
        "overdue_days": due.overdue,
    }


def _cycle(cycle: Cycle) -> Data:
    return {
        "foot": cycle.foot,
        "first": cycle.first.isoformat(),
        "last": cycle.last and cycle.last.isoformat(),
        "days": cycle.days,
    }


def _at_trim(one: AtTrim) -> Data:
    return {
        "foot": one.foot,
        "date": one.date.isoformat(),
        "measures": {
            name: {
                "before": _round(one.before[name].value),
                "after": _round(one.after[name].value),
                "change": _round(change.value),
                "sd": _round(change.sd),
                "unit": change.unit,
                "beyond_error": change.beyond_error,
            }
            for name, change in one.changes.items()
        },
    }


def _weekly(one: Weekly) -> Data:
    return {
        "foot": one.foot,
        "measure": one.name,
        "value": _round(one.value),
        "sd": _round(one.sd),
        "unit": one.unit,
        "intervals": one.cycles,
        "readings": one.readings,
        "since": one.first.isoformat(),
        "beyond_error": one.beyond_error,
    }


def _round(value: float) -> float:
    return round(value, 6)
