"""A horse's work as plain data for JSON. Minutes; grades on their own scale; nothing noted is null."""

from __future__ import annotations

from typing import Any

from tracker.derive.work.horse import Caution, WorkRecord
from tracker.derive.work.plan import Step
from tracker.derive.work.response import Response
from tracker.derive.work.sessions import Week, by_day, total

Data = dict[str, Any]


def work_data(found: WorkRecord) -> Data | None:
    """What is known of a horse's work; None where neither work nor a plan was noted."""
    if not found:
        return None
    worked = by_day(one for one in found.sessions if one.is_work)
    return {
        "days": [
            {
                "date": day.isoformat(),
                "minutes": total(own),
                "sessions": [
                    {"kind": one.kind, "minutes": one.minutes, "ground": one.ground or None} for one in own
                ],
            }
            for day, own in worked.items()
        ],
        "weeks": [_week(week) for week in found.weeks],
        "plan": [_step(step) for step in found.steps],
        "days_after": _response(found.response),
        "cautions": [_caution(one) for one in found.cautions],
    }


def changes_data(found: WorkRecord) -> list[Data]:
    """What changed in the horse's life, by date."""
    return [
        {"date": one.date.isoformat(), "kind": one.kind, "what": one.what, "row": one.row}
        for one in found.changes
    ]


def _week(week: Week) -> Data:
    return {
        "first": week.first.isoformat(),
        "days": week.days,
        "minutes": week.minutes,
        "by_kind": dict(week.kinds),
        "by_ground": {ground or "not given": minutes for ground, minutes in week.grounds.items()},
        "turnout": week.turnout,
        "sessions_without_minutes": week.unsaid,
    }


def _step(step: Step) -> Data:
    return {
        "step": step.name,
        "from": step.first and step.first.isoformat(),
        "until": step.last and step.last.isoformat(),
        "what": step.what,
        "minutes_a_day": step.minutes,
        "set_by": step.set_by or None,
        "days": [
            {
                "date": day.date.isoformat(),
                "minutes": day.minutes,
                "outcome": day.outcome,
                "faster_than_step": list(day.faster),
            }
            for day in step.days
        ],
    }


def _response(found: Response | None) -> Data | None:
    if found is None:
        return None
    series, gap = found.series, found.difference
    return {
        "limb": series.limb,
        "gait": series.gait,
        "ground": series.ground,
        "line": series.line,
        "scale": series.scale,
        "longer_less_shorter": {"value": _round(gap.value), "low": _round(gap.low), "high": _round(gap.high)},
        "noted_days_longer": found.longer,
        "noted_days_shorter": found.shorter,
        "days_of_work": found.sessions,
        "fortnights": found.fortnights,
        "first": found.first.isoformat(),
        "last": found.last.isoformat(),
    }


def _caution(found: Caution) -> Data:
    watch = found.watch
    return {
        "step": found.step.name,
        "signal": watch.signal,
        "since": watch.since.likely.isoformat() if watch.since else None,
        "set_by": found.step.set_by or None,
    }


def _round(value: float) -> float:
    return round(value, 6)
