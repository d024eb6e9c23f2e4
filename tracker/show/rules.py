"""The table of the warnings as text and as data, made from their declaration."""

from __future__ import annotations

import textwrap
from typing import Any

from tracker.show import words
from tracker.show.overview import rule_views

WIDTH = 100


def rules_text() -> str:
    """Every rule, the most urgent first."""
    parts = ["\n".join(_lines(view.rule, view.urgency, view.headline, {
        "fires on": view.threshold,
        "to do": view.to_do,
        "until then": view.waiting,
        "for": f"the {view.speaks_to}",
        "source": f"{view.source} ({view.sure})",
        **({"own limit": f"{view.own_limit} (on the sheet Limits)"} if view.own_limit else {}),
    })) for view in rule_views()]  # fmt: skip
    return "\n\n".join([*parts, textwrap.fill(words.CAUTION, WIDTH)])


def _lines(rule: str, urgency: str, headline: str, told: dict[str, str]) -> list[str]:
    named = (
        textwrap.fill(
            f"{name}: {text}",
            WIDTH,
            initial_indent="    ",
            subsequent_indent="      ",
            break_on_hyphens=False,
        )
        for name, text in told.items()
    )
    return [f"[{urgency}] {headline}: {rule}", *named]


def rules_data() -> dict[str, Any]:
    """The same as data for JSON."""
    return {
        "rules": [
            {
                "rule": view.rule,
                "urgency": view.urgency,
                "threshold": view.threshold,
                "to_do": view.to_do,
                "until_then": view.waiting,
                "speaks_to": view.speaks_to,
                "source": view.source,
                "sure": view.sure,
                "own_limit": view.own_limit or None,
            }
            for view in rule_views()
        ]
    }
