"""What stands in each part of a horse's record, in one line: for a list that leads to the parts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tracker.book import HorseRecord
from tracker.show import words
from tracker.show.shapes import HorseView, limb_words


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a horse's record: its name for addresses, its title, and the line of one horse."""

    slug: str
    title: str
    said: Callable[[HorseRecord, HorseView], str]


def _soundness(horse: HorseRecord, view: HorseView) -> str:
    if not view.series:
        return "No grade yet."
    newest = view.series[0]
    relief = ", under pain relief" if newest.last_masked else ""
    looked = f"{limb_words(newest.limb)}, {newest.looked}"
    return f"Last grade {newest.last} ({looked}{relief}), {words.day(newest.last_day)}."


def _feet(horse: HorseRecord, view: HorseView) -> str:
    if not horse.feet:
        return "Nothing measured yet."
    last = max(record.date for record, _ in horse.feet)
    return f"Last measured {words.day(last)}."


def _trims(horse: HorseRecord, view: HorseView) -> str:
    due = horse.trimming.due
    if due is None:
        return "No trim yet."
    late = f", {words.span(due.overdue)} ago" if due.overdue else ""
    return f"Next due {words.day(due.day)}{late}."


def _growth(horse: HorseRecord, view: HorseView) -> str:
    if not view.growth.parts:
        return "The day the shoes came off, or a mark on the wall, starts it."
    first = view.growth.parts[0]
    return f"{first.foot}, {first.part.lower()}: {first.share} new, as reckoned."


def _abscesses(horse: HorseRecord, view: HorseView) -> str:
    number = len(horse.episodes)
    if not number:
        return "None written down."
    going_on = sum(episode.is_open for episode in horse.episodes)
    last = f"the last first seen {view.episodes[0].first_seen}"
    open_now = f", {going_on} not over" if going_on else ""
    return f"{number} written down{open_now}; {last}."


def _work(horse: HorseRecord, view: HorseView) -> str:
    if view.work.weeks:
        newest = view.work.weeks[0]
        return f"{newest.week}: {newest.minutes}."
    return f"A plan of {words.counted(len(view.work.steps), 'step')}." if view.work.steps else "Nothing yet."


def _body(horse: HorseRecord, view: HorseView) -> str:
    if not view.body:
        return "Nothing yet."
    trends = [f"{one.name} {one.value}, {one.when}" for one in view.body.trends]
    vitals = [f"{one.name} {one.value}, {one.when}" for one in view.body.vitals]
    return f"{[*trends, *vitals][0]}."


def _answers(horse: HorseRecord, view: HorseView) -> str:
    return f"{words.counted(len(view.answers), 'answer')} to warnings." if view.answers else "None yet."


PARTS = (
    Part("soundness", "Soundness", _soundness),
    Part("feet", "Feet", _feet),
    Part("trims", "Trims", _trims),
    Part("growth", "Growth", _growth),
    Part("abscesses", "Abscesses", _abscesses),
    Part("work", "Work", _work),
    Part("body", "Body", _body),
    Part("answers", "Answers", _answers),
)
"""The parts of a horse's record, in the order in which they are listed."""

PART_OF_SHEET = {
    "Soundness": "soundness",
    "Pain relief": "soundness",
    "Hooves": "feet",
    "Visits": "trims",
    "Abscesses": "abscesses",
    "Work": "work",
    "Plan": "work",
    "Body": "body",
}
"""Where the cells of a sheet are told of."""
