"""A horse's abscesses as plain data for JSON: days, mm, and rates with their limits of 95 %; an open limit is null."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

from tracker.derive.abscesses.crack import Crack, MarkFit
from tracker.derive.abscesses.horse import AbscessRecord
from tracker.derive.abscesses.often import Compared, Often
from tracker.derive.abscesses.story import Again, Story
from tracker.derive.statistics.interval import Estimate

Data = dict[str, Any]


def abscesses_data(found: AbscessRecord) -> list[Data]:
    """Each episode, by its first day."""
    return [_story(story) for story in found.stories]


def abscess_rate_data(found: AbscessRecord) -> Data | None:
    """How often episodes began since the shoes came off; None where that day is not known."""
    return _often(found.often) if found.often else None


def _story(story: Story) -> Data:
    episode = story.episode
    after = story.opened_after
    return {
        "foot": episode.foot,
        "first_seen": _iso(episode.first_seen),
        "opened": _iso(episode.opened),
        "comfortable": _iso(episode.comfortable),
        "days": episode.days,
        "where": episode.where,
        "opened_at": episode.opened_at,
        "vet_seen": _iso(episode.vet_seen),
        "is_open": episode.is_open,
        "noted_before": _iso(story.noted_before),
        "days_to_open": {"least": after[0], "most": after[1]} if after else None,
        "days_opened_to_comfortable": story.eased_after,
        "again": _again(story.again) if story.again else None,
        "beside": [
            {"date": _iso(one.date), "kind": one.kind, "what": one.what, "days_before": one.days_before}
            for one in story.beside
        ],
        "crack": _crack(story.crack) if story.crack else None,
    }


def _again(again: Again) -> Data:
    return {
        "number": again.number,
        "before": _iso(again.before.first_seen),
        "free_days": again.free_days,
        "same_place": again.same_place,
    }


def _crack(crack: Crack) -> Data:
    return {
        "exit": _iso(crack.exit),
        "growth_mm_a_month": {
            "low": _round(crack.pace.low),
            "high": _round(crack.pace.high),
            "source": crack.pace.source,
        },
        "below_hairline_mm": {"low": _round(crack.low), "high": _round(crack.high)},
        "wall_mm": {"low": _round(crack.wall[0]), "high": _round(crack.wall[1])} if crack.wall else None,
        "at_ground": {"first": _iso(crack.ground[0]), "last": _iso(crack.ground[1])},
        "should_be_at_ground": crack.is_at_ground,
        "published_months": crack.months and {"shortest": crack.months[0], "longest": crack.months[1]},
        "mark": _mark(crack.mark) if crack.mark else None,
    }


def _mark(mark: MarkFit) -> Data:
    return {
        "name": mark.name,
        "date": _iso(mark.date),
        "below_hairline_mm": _round(mark.found),
        "expected_mm": {"low": _round(mark.low), "high": _round(mark.high)},
        "fits": mark.fits,
    }


def _often(often: Often) -> Data:
    return {
        "since": _iso(often.since),
        "days": often.days,
        "episodes": often.episodes,
        "not_counted": often.earlier,
        "per_100_days": _estimate(often.per_100_days),
        "per_year": _estimate(often.per_year),
        "before_and_after": [_compared(one) for one in often.compared],
    }


def _compared(one: Compared) -> Data:
    return {
        "what": one.what,
        "change": one.change.what if one.change else None,
        "from": _iso(one.split),
        "before": {"episodes": one.before, "days": one.days_before},
        "after": {"episodes": one.after, "days": one.days_after},
        "rate_ratio": _estimate(one.ratio) if one.ratio else None,
    }


def _estimate(found: Estimate) -> Data:
    return {
        "value": _round(found.value),
        "low": _round(found.low),
        "high": _round(found.high),
        "count": found.count,
    }


def _iso(day: dt.date | None) -> str | None:
    return day.isoformat() if day else None


def _round(value: float) -> float | None:
    return round(value, 6) if math.isfinite(value) else None
