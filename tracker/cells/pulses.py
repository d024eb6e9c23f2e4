"""The pulse as typed: a step in figures or words; what is not plain counts as the strongest that it can mean."""

from __future__ import annotations

import datetime as dt
import re

from tracker.cells.figures import in_figures
from tracker.cells.reading import NOTHING, Reading
from tracker.cells.text import fold, listed, says_nothing, typed
from tracker.terms import PULSE_RAISED, PULSE_WORDS, PULSES

Steps = frozenset[int]

ALLOWED = listed(f"{number} {word}" for number, word in enumerate(PULSES))
_ALL = frozenset(range(len(PULSES)))
_NEGATIVE = re.compile(r"^[-−–]\d")
_OF_THREE = re.compile(r"\b(\d) (?:out )?of 3$|\b([013]) ?/ ?3$")  # 2/3 may as well be 2 to 3
_OTHER_SCALE = re.compile(r"(?<!\d)\d+ ?(?:/|(?:out )?of) ?(?:[4-9]|\d{2,})\b")
_FIGURE = re.compile(r"(?<![\d.,])(\d)(?:[.,](\d+))?(\+?)(?!\d|[.,]\d)")
_DENIAL = r"\b(?:not|no|never|without|\w+n't) (?:(?!sure\b|certain\b|if\b)\w+ ){0,2}?"
_WORDS = "|".join(sorted(map(re.escape, PULSE_WORDS), key=len, reverse=True))
_WORD = re.compile(rf"({_DENIAL})?\b({_WORDS})\b")
_SILENT = re.compile(r"\b(?:pulses?|to|or|and)\b|[\s,;:.!()/–—]|-(?!$)")


def read_pulse(value: object) -> Reading:
    """0 none, 1 just felt, 2 raised, 3 bounding (common practice, no published scale).

    A figure, and words that fit it, are plain. A range, a question or a contradiction bears a doubt and counts as
    the strongest step that it can mean: a raised pulse must not be lost to its wording.
    """
    if says_nothing(value) and fold(typed(value)) not in PULSES:
        return NOTHING
    affirmed, denied, rest = _taken_apart(_line(value))
    claims = affirmed + denied
    agreed = _ALL.intersection(*claims)
    steps = agreed or frozenset[int]().union(*claims)
    hint_only = not affirmed and min(steps) < PULSE_RAISED <= max(steps)  # "not bounding" raises no pulse
    if not claims or hint_only:
        return Reading(None, "pulse-unknown", ALLOWED)
    step = max(steps)
    if agreed == {step} and not rest:
        return Reading(float(step))
    return Reading(float(step), "pulse-unsure", ALLOWED, {"read": f"{step} {PULSES[step]}"})


def _line(value: object) -> str:
    """The text in figures. A spreadsheet turns 2-3 into a day of the year, so such a day is a range again."""
    if isinstance(value, dt.date):
        return f"{value.day}-{value.month}" if {value.day, value.month} <= _ALL else ""
    return in_figures(fold(typed(value)))


def _taken_apart(line: str) -> tuple[list[Steps], list[Steps], str]:
    """What the figures and words say, what the denials leave over, and the rest that was not understood."""
    if _NEGATIVE.match(line):
        return [], [], line
    figures: set[int] = set()
    affirmed: list[Steps] = []
    denied: list[Steps] = []

    def figure(found: re.Match[str]) -> str:
        low = int(found[1])
        between = found[3] or int(found[2] or "0")
        meant = {low, low + 1} if between else {low}
        figures.update(meant & _ALL if low in _ALL else ())
        return " " if meant <= _ALL else "?"

    def word(found: re.Match[str]) -> str:
        steps = frozenset(PULSE_WORDS[found[2]])
        if found[1]:
            denied.append(_other_than(steps))
        else:
            affirmed.append(steps)
        return " "

    line = _OTHER_SCALE.sub("?", _OF_THREE.sub(lambda found: found[1] or found[2], line))
    rest = _SILENT.sub("", _WORD.sub(word, _FIGURE.sub(figure, line)))
    return ([frozenset(figures)] if figures else []) + affirmed, denied, rest


def _other_than(steps: Steps) -> Steps:
    """What a denial leaves: "not raised" is less than raised, "not normal" is more than normal."""
    if min(steps) >= PULSE_RAISED:
        return frozenset(step for step in _ALL if step < min(steps))
    return frozenset(step for step in _ALL if step > max(steps))
