"""A horse's work in lines for the terminal."""

from __future__ import annotations

import textwrap

from tracker.show.work import PLAN_NOTE, RESPONSE_NOTE, StepView, WeekView, WorkView

WEEKS, CHANGES = 4, 8  # the latest that are listed


def work_lines(view: WorkView, width: int) -> list[str]:
    """The caution first, then plan, weeks and the days after; no line where none was noted."""
    lines = ["", "Work", *(_fill(one, width) for one in view.cautions)] if view else []
    lines += [_fill(_step(one), width) for one in view.steps]
    lines += [_fill(PLAN_NOTE, width)] if view.steps else []
    lines += [_fill(_week(one), width) for one in view.weeks[:WEEKS]]
    if len(view.weeks) > WEEKS:
        lines.append(f"  … and {len(view.weeks) - WEEKS} earlier weeks; --json has them all.")
    lines += [_fill(f"{view.response} {RESPONSE_NOTE}", width)] if view.response else []
    return [*lines, *_changes(view, width)]


def _step(step: StepView) -> str:
    set_ = f", {step.was_set}" if step.was_set else ""
    then = f" Move on when: {step.move_on}." if step.move_on else ""
    return f"{step.name}, {step.when}{set_}. {step.told}{then}"


def _week(week: WeekView) -> str:
    told = [f"{week.minutes} on {week.days}", *(f"({part})" for part in (week.kinds, week.grounds) if part)]
    work = " ".join(told) if week.minutes else "no work noted"
    return f"Week {week.week}: {work}{f'; turnout {week.turnout}' if week.turnout else ''}"


def _changes(view: WorkView, width: int) -> list[str]:
    if not view.changes:
        return []
    lines = ["", "Changes"]
    lines += [_fill(one.said, width) for one in view.changes[:CHANGES]]
    if len(view.changes) > CHANGES:
        lines.append(f"  … and {len(view.changes) - CHANGES} earlier ones; --json has them all.")
    return lines


def _fill(text: str, width: int) -> str:
    return textwrap.fill(text, width, initial_indent="  ", subsequent_indent="    ")
