"""What the program watches: every rule of the warnings, with its threshold and its source."""

from __future__ import annotations

from dash import html

from dashboards.parts import Page, lead, rule_name, table, urgency
from tracker.show.overview import rule_views

PATH = "/warnings"
TITLE = "What the program watches"
NAV = "What is watched"


def layout() -> Page:
    """The rules as a table, the most urgent first."""
    rows = [
        (
            rule_name(view.rule),
            urgency(view.urgency, view.headline),
            f"{view.threshold}. A horse's own limit: {view.own_limit}." if view.own_limit else view.threshold,
            f"{view.to_do} Until then: {view.waiting}",
            view.speaks_to,
            f"{view.source} ({view.sure})",
        )
        for view in rule_views()
    ]
    return Page(
        TITLE,
        [
            lead("A rule fires on what is written in the workbook, and on nothing else."),
            html.P(
                "A horse's own limit stands on the sheet Limits; it can only be more careful than the rule's."
            ),
            table(
                ("Rule", "How urgent", "Fires on", "What it says to do", "For whom", "Source, and how sure"),
                rows,
                TITLE,
                "rules",
            ),
        ],
    )
