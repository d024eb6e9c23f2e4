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
# A denial is plain only right before its word: "no heat but raised" and "no doubt raised" may mean raised.
_DENIAL = r"\b(?:no longer|not|no|never|without|\w+n't) "
_SOFTENED = r"(?:(?:very|really|so|as|that|particularly) )*"
_OVER = r"(?P<over>(?:(?!(?:sure|certain|if|but)\b)\w+ ){0,2}?)"
_MORE = (
    r"(?:>=?|≥|\b(?:no|not) (?:less|lower|weaker) than\b"
    r"|\b(?:more|greater|higher|stronger|worse) than\b|\b(?:over|above|at least|minimum)\b) ?"
)
_OR_MORE = r" (?:(?:or|and) (?:more|over|above|higher|stronger|greater|worse|up|upwards)|at least|minimum)\b"
_FIGURE = re.compile(
    rf"(?P<denied>{_DENIAL}{_SOFTENED})?(?P<more>{_MORE})?"
    rf"(?<![\d.,])(?P<step>\d)(?:[.,](?P<part>\d+))?(?P<plus>\+| plus\b)?(?!\d|[.,]\d)(?P<up>{_OR_MORE})?"
)
_WORDS = "|".join(sorted(map(re.escape, PULSE_WORDS), key=len, reverse=True))
_WORD = re.compile(
    rf"(?P<denied>{_DENIAL}{_SOFTENED}{_OVER})?(?P<more>{_MORE})?\b(?P<word>{_WORDS})\b(?P<up>{_OR_MORE})?"
)
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
        low = int(found["step"])
        if low not in _ALL:
            return "?"
        if found["more"] or found["up"]:
            affirmed.append(_open_ended(frozenset({low}), not_more=bool(found["denied"])))
            return "?"
        if found["denied"] and not found["denied"].startswith("no "):  # "no. 2" and "no 2" name a number
            (denied if low == max(_ALL) else affirmed).append(_ALL - {low})
            return " "
        between = bool(found["plus"]) or int(found["part"] or "0")
        meant = {low, low + 1} if between else {low}
        figures.update(meant & _ALL)
        return " " if meant <= _ALL and not found["denied"] else "?"

    def word(found: re.Match[str]) -> str:
        steps = frozenset(PULSE_WORDS[found["word"]])
        if found["more"] or found["up"]:
            affirmed.append(_open_ended(steps, not_more=bool(found["denied"])))
        elif not found["denied"]:
            affirmed.append(steps)
            return " "
        elif found["over"]:
            affirmed.append(steps | _other_than(steps))
        else:
            denied.append(_other_than(steps))
            return " "
        return "?"

    line = _OTHER_SCALE.sub("?", _OF_THREE.sub(lambda found: found[1] or found[2], line))
    rest = _SILENT.sub("", _WORD.sub(word, _FIGURE.sub(figure, line)))
    return ([frozenset(figures)] if figures else []) + affirmed, denied, rest


def _open_ended(steps: Steps, *, not_more: bool) -> Steps:
    """What "or more" and "more than" leave open above a step, and "not more than" below it."""
    if not_more:
        return frozenset(step for step in _ALL if step <= max(steps))
    return frozenset(step for step in _ALL if step >= min(steps))


def _other_than(steps: Steps) -> Steps:
    """What a denial leaves: "not raised" is less than raised, "not normal" is more than normal."""
    if min(steps) >= PULSE_RAISED:
        return frozenset(step for step in _ALL if step < min(steps))
    return frozenset(step for step in _ALL if step > max(steps))
