"""The Work section of a horse's page, and the ticks that choose which changes are marked."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from test_dashboards_pages import kinds, text, workbook

from dashboards.pages.horse import layout
from dashboards.typed import Typed
from tracker import open_book

DAY = dt.date(2026, 5, 4)
HORSES = [{"Horse": "Bramble"}]
PLAN = [
    {"Step": "1", "From": DAY, "Until": DAY, "What": "walk in hand", "Minutes a day": 15, "Set by": "Ruth"}
]
WORK = [{"Date": DAY, "What": "hand-walk", "Minutes": 20, "Ground": "soft"}]
CHANGES = [
    {"Date": DAY, "Kind": "weather", "What": "rain"},
    {"Date": DAY + dt.timedelta(days=1), "Kind": "feed", "What": "less hay"},
]


def page(tmp_path: Path, part: str = "", **sheets: Any) -> Any:
    file = workbook(tmp_path, Horses=HORSES, **sheets)
    return layout(open_book(file, on=dt.date(2026, 6, 30)), "Bramble", False, part=part).body


def test_the_plan_and_the_weeks_stand_in_their_section(tmp_path: Path) -> None:
    body = page(tmp_path, "work", Plan=PLAN, Work=WORK)
    said = text(body)
    assert "Work" in [text(heading) for heading in kinds(body, "H2")]
    assert "Of 1 day: more than set 1. At most 5 minutes more than set." in said
    assert "4 May 2026 to 10 May 2026" in said
    assert "The days after work" not in said


def test_each_kind_of_change_has_a_ticked_box_above_the_charts(tmp_path: Path) -> None:
    body = page(tmp_path, Changes=CHANGES)
    boxes = [part.attributes for part in kinds(body, "Typed")]
    assert [box["value"] for box in boxes] == ["feed", "weather"]
    assert all(box["type"] == "checkbox" and box["defaultChecked"] for box in boxes)
    assert "5 May 2026, feed: less hay" in text(body)


def test_without_changes_or_work_nothing_is_shown(tmp_path: Path) -> None:
    body = page(tmp_path, "work", Soundness=[{"Date": DAY, "Scale": "0-5", "Score": 1}])
    assert not [part for part in kinds(body, "Typed") if isinstance(part, Typed)]
    assert "Work" not in [text(heading) for heading in kinds(body, "H2")]
