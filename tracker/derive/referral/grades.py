"""A typed grade as a reason to warn: by its worse end, by any scale that it may be on, and even where it cannot be used."""

from __future__ import annotations

import math
from collections.abc import Mapping

from tracker.derive.referral.facts import DayNote
from tracker.derive.referral.standing import Reason
from tracker.terms import DEFAULT_SCALE, SCALES

Limits = Mapping[str, tuple[tuple[float, float], ...]]

# What may be the top grade or more of each scale, and where no scale is known.
_TOP: Limits = {"0-5": ((5, math.inf),), "0-10": ((10, math.inf),), "": ((5, 5.5), (10, math.inf))}
_LAME_AT_WALK: Limits = {"0-5": ((4, 5),), "": ((4, 5),)}
_LAME_OF_TEN: Limits = {"0-10": ((7, 10),), "": ((7, 10),)}


def top_grade(note: DayNote) -> list[Reason]:
    """The top grade of the scale, or what may be it."""
    on_five = note.scale_assumed and note.score <= SCALES[DEFAULT_SCALE] <= note.worst
    top = note.worst >= SCALES.get(note.scale, math.inf) or on_five
    return [(grade_words(note), "score")] if top else _perhaps(note, _TOP)


def lame_at_walk(note: DayNote) -> list[Reason]:
    """Grade 4 of 5, or 7 of 10 and more at walk, below the top grade."""
    at_walk = note.scale == "0-10" and 7 <= note.worst < 10 and note.gait == "walk"
    plain = (note.scale == "0-5" or note.scale_assumed) and 4 <= note.worst < 5
    if plain or at_walk:
        return [(grade_words(note), "score")]
    return _perhaps(note, _LAME_AT_WALK) + (_perhaps(note, _LAME_OF_TEN) if note.gait == "walk" else [])


def lame_by_own(note: DayNote, limits: Mapping[str, float]) -> list[Reason]:
    """A grade from the horse's own limit on, below the top grade; of ten at walk only, as the rule itself."""
    own = {scale: least for scale, least in limits.items() if scale != "0-10" or note.gait == "walk"}
    return at_least(note, own) if own and not top_grade(note) else []


def badly_lame(note: DayNote) -> list[Reason]:
    """Lame at walk, or the top grade."""
    return top_grade(note) or lame_at_walk(note)


def at_least(note: DayNote, limits: Mapping[str, float]) -> list[Reason]:
    """A grade that reaches the limit of its scale, or may do so where the scale is a guess or the score cannot be used."""
    scales = [note.scale, *([DEFAULT_SCALE] if note.scale_assumed else [])]
    if any(note.worst >= limits.get(scale, math.inf) for scale in scales):
        return [(grade_words(note), "score")]
    unused = limits.get(note.left_out_scale, math.inf) if note.left_out_scale else min(limits.values())
    return [("a score that cannot be used as it is typed", "score")] if note.left_out >= unused else []


def grade_words(note: DayNote) -> str:
    """A grade with its scale, such as "grade 5 on the 0-5 scale"."""
    grade = f"grade {note.worst:g} on the {note.scale} scale"
    return f"{grade}, though the scale is only a guess" if note.scale_assumed else grade


def _perhaps(note: DayNote, limits: Limits) -> list[Reason]:
    """A score that cannot be used is left out of everything else, but it may be a red flag.

    `limits` are the grades that are one, from the first up to below the second, on each scale.
    """
    if math.isnan(note.left_out):
        return []
    if not any(least <= note.left_out < below for least, below in limits.get(note.left_out_scale, ())):
        return []
    grade = min(note.left_out, SCALES.get(note.left_out_scale, math.inf))
    return [(f"a score that cannot be used as it is typed, perhaps grade {grade:g}", "score")]
