"""Getting worse, in lines for the terminal and as plain data for JSON."""

from __future__ import annotations

import textwrap
from typing import Any

from tracker.book import HorseRecord
from tracker.derive.worsening.record import Watch
from tracker.show.worsening import NOTE, WorseningView


def worsening_lines(view: WorseningView, width: int) -> list[str]:
    """What is said of each limb; no line where nothing is."""
    if not view:
        return []
    lines = ["", "Is it getting worse?"]
    for watch in view.watches:
        lines.append(f"  {watch.looked}")
        lines += [_fill(text, width, "    ") for text in watch.told]
    lines += [_fill(text, width, "  ") for text in ((view.changing,) if view.changing else ())]
    return [*lines, _fill(NOTE, width, "  ")] if view.watches else lines


def worsening_data(horse: HorseRecord) -> dict[str, Any]:
    """Every series that is watched, as of the last day, and a leg that changes."""
    changing = horse.alternating
    return {
        "watched": [_watch(watch) for watch in horse.watches],
        "changing_leg": changing and {"since": changing.since.isoformat(), "days": dict(changing.days)},
    }


def _watch(watch: Watch) -> dict[str, Any]:
    series, now, since = watch.series, watch.days[-1], watch.since
    return {
        **{key: getattr(series, key) for key in ("scale", "gait", "ground", "line", "limb")},
        "signal": watch.signal,
        "p_worse": round(watch.p_worse, 4),
        "p_any": round(watch.p_any, 4),
        "evidence": round(now.evidence, 4),
        "severity": {"value": round(now.severity, 3), "low": round(now.low, 3), "high": round(now.high, 3)},
        "since": since and {key: getattr(since, key).isoformat() for key in ("likely", "earliest", "latest")},
        "asks_for_notes": watch.asks,
        "rows": list(watch.rows),
    }


def _fill(text: str, width: int, indent: str) -> str:
    return textwrap.fill(text, width, initial_indent=indent, subsequent_indent=indent)
