"""The grade that a score which cannot be read may have been: a warning must not be lost to its wording."""

from __future__ import annotations

import datetime as dt
import re

from tracker.cells.dates import read_date
from tracker.cells.figures import in_figures
from tracker.cells.scores import fold_grade
from tracker.terms import SCALES

_TOPS = {f"{top:g}": scale for scale, top in SCALES.items()}
_DAY = re.compile(r"\b\d{1,4}([-/.])\d{1,2}\1\d{1,4}\b")
_NAMED_SCALE = re.compile(r"\b0 ?(?:-|–|to) ?(5|10)\b")
# What is counted in these is no grade: 10 min, 5 days, all 4 feet, 5 May.
_COUNTED = (
    r" ?(?:(?:st|nd|rd|th|mm|cm|m|km|kg|lbs?|h|hrs?|hours?|am|pm|mins?|minutes?|d|days?|wks?|weeks?|months?|yrs?|years?"
    r"|steps?|strides?|times|bpm|legs?|feet|foot|limbs?|fronts?|hinds?|hooves"
    r"|jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec|january|february|march|april|august|september|october"
    r"|november|december)\b|°|%)"
)
_FIGURE = re.compile(
    rf"(?<![\d.,])(\d{{1,2}}(?:[.,]\d+)?)(?!\d|[.,]\d|{_COUNTED})(?: ?(?:/|(?:out )?of) ?(5|10)(?!\d))?"
)
_BEFORE = 2  # signs that may stand before a grade that begins its cell
NOTHING = (float("nan"), "")


def perhaps(value: object) -> tuple[float, str]:
    """The worst grade that an unreadable score may have been, and its scale as far as the cell names it.

    NaN where nothing shows a grade. A spreadsheet turns 5/5 into 5 May; people write "5 (three-legged)" and
    "RF 5/5, LF 2/5". Of 3/4, which may be 3 to 4, the worse counts.
    """
    moment = read_date(value) if not isinstance(value, str) else None
    if isinstance(moment, dt.datetime):
        return _turned_into(moment)
    line = _DAY.sub(" ", in_figures(fold_grade(str(value))))
    tops = set(_NAMED_SCALE.findall(line)) | ({"5"} if "aaep" in line else set())
    found = list(_FIGURE.finditer(_NAMED_SCALE.sub(" ", line)))
    tops |= {each[2] for each in found if each[2]}
    scale = _TOPS[min(tops)] if len(tops) == 1 else ""
    highest = max(SCALES.values())
    grades = [
        (grade, _TOPS.get(each[2], scale))
        for each in found
        if (grade := float(each[1].replace(",", "."))) <= highest or each[2] or each.start() <= _BEFORE
    ]
    return max(grades, key=_severity, default=NOTHING)


def _turned_into(day: dt.datetime) -> tuple[float, str]:
    """The grade that a spreadsheet may have turned into this day: 5/5 is 5 May, 4/5 is 4 May or 5 April."""
    figures = {day.day, day.month}
    if figures <= {4, 5}:
        return float(min(figures)), "0-5"
    return (10.0, "0-10") if figures == {10} else NOTHING


def _severity(graded: tuple[float, str]) -> float:
    """How far up its scale a grade stands; one without a scale is taken on the smallest that it fits."""
    grade, scale = graded
    fitting = [top for top in SCALES.values() if grade <= top]
    return grade / SCALES.get(scale, min(fitting, default=max(SCALES.values())))
