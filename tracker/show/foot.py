"""The feet of a horse drawn from their measures: which two records are laid over each other, and in what words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from tracker.book import HorseRecord
from tracker.derive.change import counts
from tracker.derive.hooves import STAGES, HoofRecord
from tracker.derive.shoes import pair_of
from tracker.derive.uncertainty import Measure
from tracker.show import words
from tracker.show.charts.feet_chart import provisional
from tracker.show.foot_growth import LinesOf, no_lines
from tracker.show.foot_shape import CHECKS, DRAWN, Profile, mark_key, shape_of
from tracker.show.foot_svg import foot_svg, foot_words, frame_of
from tracker.terms import FEET, FOOT_WORDS

HOW_DRAWN = (
    "To scale, seen from the outside. Thick: the latest; thin: the first since the shoes came off, at the same stage of trimming. Both stand "
    "on one ground, with the hairline at the toe above itself. The straight lines are as measured, and the shade along a wall "
    "is its angle's error; a growth line is drawn where it was marked on a photo of that day, with its number from the toe; the bow of the hairline, the rounded corners, the hair, and the pale pastern and heel bulb are only drawn."
)
_LEFT_FEET = ("LF", "LH")
_DERIVED = "from "


@dataclass(frozen=True, slots=True)
class FootPicture:
    """One foot drawn: its SVG, what it shows in words, and the sentences that belong below it for everybody."""

    foot: str
    svg: str
    alt: str
    notes: tuple[str, ...]


def foot_pictures(horse: HorseRecord, lines: LinesOf = no_lines) -> dict[str, FootPicture]:
    """A picture of each foot that has a wall to draw, all at one scale, left feet with the toe to the left.

    `lines` gives the growth lines that belong to a record.
    """
    chosen = {foot: pair for foot in FEET if (pair := chosen_profiles(foot, horse, lines))}
    frame = frame_of(chosen.values())
    return {
        foot: FootPicture(
            foot,
            foot_svg(_title(foot), now, first, frame=frame, toe_left=foot in _LEFT_FEET),
            f"{_title(foot)}, drawn from the side, to scale. {' '.join(foot_words(now, first))}",
            shape_of(now).notes,
        )
        for foot, (now, first) in chosen.items()
    }


def chosen_profiles(
    foot: str, horse: HorseRecord, lines: LinesOf = no_lines
) -> tuple[Profile, Profile | None] | None:
    """The latest profile of a foot, and the first at the same stage since the shoes came off; None where nothing can be drawn.

    The latest is the newest whose outline closes, so that a single angle that was measured since does not
    take the picture away; where none closes, the newest with a wall. Its first is the earliest of the same
    stage that shows as much. Growth marks are taken from all rows of the day, since no trim moves them.
    """
    own = [record for record, _ in horse.feet if record.foot == foot]
    profiles = [(record, profile_of(record, own)) for record in sorted(own, key=_when)]
    drawable = [pair for pair in profiles if pair[1].drawable]
    closed = [pair for pair in drawable if shape_of(pair[1]).closed]
    found = closed or drawable
    if not found:
        return None
    latest, now = found[-1]
    off = horse.shoes_off[pair_of(foot)]
    earlier = (
        replace(profile, lines=lines(record))
        for record, profile in found
        if record.stage == latest.stage and record.date < latest.date and counts(record, latest, off)
    )
    return replace(now, lines=lines(latest)), next(earlier, None)


def profile_of(record: HoofRecord, same_foot: Sequence[HoofRecord] = ()) -> Profile:
    """The measures of a record that a picture from the side needs, with the day's growth marks."""
    held: dict[str, Any] = {
        key: measure
        for key in DRAWN
        if (measure := record.measures.get(key)) and not _by_itself(key, measure)
    }
    marks: dict[str, Measure] = {}
    unchecked = {key for key, measure in held.items() if provisional(record, measure)}
    for other in (record, *(past for past in same_foot if past.date == record.date)):
        new = {name: mark for name, mark in other.marks.items() if name not in marks}
        unchecked |= {mark_key(name) for name, mark in new.items() if provisional(other, mark)}
        marks |= new
    when = ", ".join(part for part in (words.day(record.date), record.stage) if part)
    return Profile(when, **held, marks=marks, unchecked=frozenset(unchecked))


def _by_itself(key: str, measure: Measure) -> bool:
    """Whether it was worked out from what it would be compared with."""
    return key in CHECKS and measure.how.startswith(_DERIVED)


def _when(record: HoofRecord) -> tuple[object, int]:
    return record.date, STAGES.index(record.stage)


def _title(foot: str) -> str:
    return FOOT_WORDS[foot].capitalize()
