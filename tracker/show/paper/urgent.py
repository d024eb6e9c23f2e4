"""What calls for a vet at once, asked of the rules themselves, so that the paper on the door says what they say."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from tracker.check.book import check_workbook
from tracker.derive.referral.recorded import Records
from tracker.derive.referral.rules import NOW, RULES
from tracker.sheets import SOUNDNESS
from tracker.terms import SCALES
from tracker.workbook.raw_workbook import RawSheet, RawWorkbook

Note = Mapping[str, str]

ANY_LAMENESS = "any lameness"
_HEADINGS = ("Date", "Horse", "Limb", "Scale", "Score", "Pulse LF", "Pulse RF", "Signs")
_ANY_HORSE, _A_DAY = "any horse", dt.date(2026, 3, 4)
_LEAST = 0.5
_NOW_RULES = tuple(rule for rule in RULES if rule.urgency == NOW)
_RAISED = {"Pulse LF": "2", "Pulse RF": "2"}
_BOTH_FRONTS = {"Limb": "both fronts", "Scale": "0-5", "Score": "1"}


@dataclass(frozen=True, slots=True)
class Now:
    """Things any of which calls for a vet at once, in words, and what to do meanwhile; signs bear their number."""

    things: tuple[str, ...]
    to_do: str


def numbered(sign: str) -> str:
    """A sign with its number in the list: "wound near a joint (9)"."""
    return f"{sign} ({SOUNDNESS.by_key['signs'].choices.index(sign) + 1})"


@cache
def ring_now() -> tuple[str, tuple[Now, ...]]:
    """What is to be done in any case, and all that one day's note may say for the rules to call a vet at once.

    A sign alone, a grade alone, a sign with a grade, raised pulses in two feet with a sign or both fronts lame.
    """
    asked = [*_signs(), *_grades(), *_signs_with_grades(), *_pulses()]
    answers = _answers([note for _, note in asked])
    found: dict[str, list[str]] = {}
    alone: set[str] = set()
    for (thing, note), words in zip(asked, answers, strict=True):
        key = note.get("Signs") or thing
        if words and key not in alone:
            found.setdefault(words, []).append(thing)
            if not _RAISED.items() <= note.items():
                alone.add(key)
    common = _common([*found])
    return common, tuple(
        Now(_joined(things), words.removeprefix(common).strip()) for words, things in found.items()
    )


def _signs() -> Iterator[tuple[str, Note]]:
    yield from ((numbered(sign), {"Signs": sign}) for sign in SOUNDNESS.by_key["signs"].choices)


def _grades() -> Iterator[tuple[str, Note]]:
    for scale, top in SCALES.items():
        yield from (
            (f"grade {_whole(half)} on {scale}", {"Score": _whole(half), "Scale": scale})
            for half in range(1, 2 * int(top) + 1)
        )


def _signs_with_grades() -> Iterator[tuple[str, Note]]:
    """The lowest grade comes first; the ones above it say no more."""
    for sign in SOUNDNESS.by_key["signs"].choices:
        for half in range(1, 2 * int(SCALES["0-5"])):
            grade = ANY_LAMENESS if half / 2 == _LEAST else f"grade {_whole(half)} of 5 or more"
            note = {"Signs": sign, "Score": _whole(half), "Scale": "0-5"}
            yield f"{numbered(sign)} with {grade}", note


def _pulses() -> Iterator[tuple[str, Note]]:
    for sign in SOUNDNESS.by_key["signs"].choices:
        yield f"{_PULSES}{numbered(sign)}", {**_RAISED, "Signs": sign}
    yield f"{_PULSES}lame in both fronts", {**_RAISED, **_BOTH_FRONTS}


_PULSES = "pulse 2 or 3 in two feet with "


def _joined(things: list[str]) -> tuple[str, ...]:
    """All that goes with raised pulses as one thing."""
    with_pulses = [thing.removeprefix(_PULSES) for thing in things if thing.startswith(_PULSES)]
    others = [thing for thing in things if not thing.startswith(_PULSES)]
    return (*others, *([_PULSES + " or ".join(with_pulses)] if with_pulses else []))


def _answers(notes: list[Note]) -> list[str]:
    """What the most urgent rule says to each note, as if it were all that is known of a horse; "" where no vet is called at once."""
    rows: list[list[object]] = [[*_HEADINGS]]
    for note in notes:
        rows.append([_A_DAY.isoformat(), _ANY_HORSE, *(note.get(heading, "") for heading in _HEADINGS[2:])])
    raw = RawWorkbook(Path(), (RawSheet(SOUNDNESS.name, rows),), date1904=False)
    tables = check_workbook(raw, _A_DAY).tables
    facts = Records(tables, _A_DAY).of(_ANY_HORSE).facts(_A_DAY)
    alone = (replace(facts, notes=(note,)) for note in sorted(facts.notes, key=lambda note: note.row))
    return [
        next((rule.words for rule in _NOW_RULES if any(True for _ in rule.find(own))), "") for own in alone
    ]


def _common(said: list[str]) -> str:
    """The first sentence, where all begin with it."""
    first = {words.partition(".")[0] + "." for words in said}
    return first.pop() if len(first) == 1 else ""


def _whole(half: int) -> str:
    return f"{half / 2:g}"
