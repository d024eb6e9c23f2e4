"""A book in words for the terminal: the problems of the workbook, and the state of each horse."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping
from itertools import groupby

from tracker.problem import DOUBT, ERROR, Problem
from tracker.show import words
from tracker.show.abscesses_text import abscess_lines
from tracker.show.body_text import body_lines
from tracker.show.growth_text import growth_lines
from tracker.show.progress_text import progress_lines
from tracker.show.shapes import BookView, FootView, HorseView, MeasureView, SeriesView, WarningView, count
from tracker.show.trimming_text import trims_lines
from tracker.show.work_text import work_lines
from tracker.show.worsening_text import worsening_lines

ALSO = "and of the same:"
EACH_KIND = 10  # problems of one kind that are shown before the rest is only counted
WIDTH = 92
SERIES = 8  # ways of looking that are listed, the latest used first


def check_text(
    workbook: str,
    problems: tuple[Problem, ...],
    rows: Mapping[str, tuple[int, int]],
    *,
    show_all: bool = False,
) -> str:
    """The problems of a workbook, each with its place, what is allowed and what to do; then what was read."""
    parts = [problem_text(problem) for problem in _shown(problems, show_all)]
    parts += _cut(problems) if not show_all else []
    read = ", ".join(f"{sheet} {number}" for sheet, (number, _) in rows.items() if number)
    parts.append(f"{workbook}: {_tally(problems)}. Rows read: {read or 'none'}.")
    return "\n\n".join(parts)


def _tally(problems: tuple[Problem, ...]) -> str:
    if not problems:
        return "no problem found in what is typed"
    aside = count(problems, ERROR)
    doubts = count(problems, DOUBT)
    told = []
    if aside:
        told.append(f"{aside} error{'s' if aside > 1 else ''}")
    if doubts:
        told.append(f"{doubts} doubt{'s' if doubts > 1 else ''}")
    return " and ".join(told)


def _shown(problems: Iterable[Problem], show_all: bool) -> list[Problem]:
    seen: dict[str, int] = {}
    shown = []
    for problem in problems:
        seen[problem.kind] = seen.get(problem.kind, 0) + 1
        if show_all or seen[problem.kind] <= EACH_KIND:
            shown.append(problem)
    return shown


def _cut(problems: Iterable[Problem]) -> list[str]:
    kinds = groupby(sorted(problems, key=lambda problem: problem.kind), key=lambda problem: problem.kind)
    more = [(kind, len(list(own)) - EACH_KIND) for kind, own in kinds]
    return [
        f"… and {number} more of the kind {kind}; --all shows them." for kind, number in more if number > 0
    ]


def problem_text(problem: Problem) -> str:
    """One problem in lines that fit the terminal."""
    lines = []
    for line in str(problem).split("\n"):
        indent = " " * 11 if line.startswith(("  found:", "  allowed:")) else "  "
        lines += textwrap.wrap(line, WIDTH, subsequent_indent=indent, drop_whitespace=True) or [line]
    return "\n".join(lines)


def review_text(view: BookView) -> str:
    """The state of every horse of the view, warnings first."""
    parts = [f"{view.workbook}, as of {view.as_of}"]
    if view.problems:
        told = f"Not all that is typed could be used as it is: {_tally(view.problems)}."
        parts.append(f"{told} `soundness check` names the cells.")
    parts += [_horse(horse) for horse in view.horses]
    parts.append(_fill(f"{words.ERROR_NOTE} {words.CAUTION}"))
    return "\n\n".join(parts)


def _fill(text: str, indent: str = "", first: str | None = None) -> str:
    return textwrap.fill(
        text, WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent
    )


def _horse(horse: HorseView) -> str:
    lines = [horse.name, "=" * len(horse.name), *horse.since]
    for first, *others in horse.messages:
        lines += ["", *_warning(first)]
        for other in others:
            lines += [f"    {ALSO}", textwrap.indent("\n".join(_warning(other)), "    ")]
    if horse.quiet_warnings:
        lines += ["", "Answered, and quiet for now"]
    for warning in horse.quiet_warnings:
        lines += ["", *_warning(warning)]
    if not horse.warnings:
        lines += ["", words.NO_WARNING]
    lines += ["", "Soundness notes", *(_series(series) for series in horse.series[:SERIES])]
    if len(horse.series) > SERIES:
        lines.append(f"  … and {len(horse.series) - SERIES} more ways of looking, with older notes")
    if not horse.series:
        lines.append("  None yet. Write the first on the Soundness sheet.")
    lines += worsening_lines(horse.worsening, WIDTH)
    lines += progress_lines(horse.progress, WIDTH)
    for foot in horse.feet:
        lines += ["", *_foot(foot)] if foot.when else []
    lines += growth_lines(horse.growth, WIDTH)
    lines += trims_lines(horse.trims, WIDTH)
    lines += abscess_lines(horse.abscesses, WIDTH)
    lines += body_lines(horse.body, WIDTH)
    lines += work_lines(horse.work, WIDTH)
    lines += _answers(horse)
    if horse.relief:
        lines += ["", "Pain relief", *(f"  {course}" for course in horse.relief)]
    return "\n".join(lines)


def _warning(warning: WarningView) -> list[str]:
    state = f" ({warning.state})" if warning.state else ""
    lines = [
        _fill(
            f"[{warning.urgency}] {warning.headline}: {words.warning_name(warning.rule)}{state}", "    ", ""
        )
    ]
    lines += [_fill(text, "    ") for text in (warning.because, warning.to_do)]
    lines += [_fill(f"until then: {warning.waiting}", "    ")] if warning.waiting else []
    lines += [_fill(f"since {warning.since}; cells {', '.join(warning.cells)}", "    ")]
    lines += [_fill(f"source: {warning.source} ({warning.sure})", "    ")]
    return [*lines, *(_fill(f"answer: {answer.said}", "      ", "    ") for answer in warning.answers)]


def _answers(horse: HorseView) -> list[str]:
    """Every answer, those to warnings that have ended too."""
    if not horse.answers:
        return []
    told = [f"{words.warning_name(answer.rule)}: {answer.said}" for answer in horse.answers]
    return ["", "Answers to warnings", *(_fill(text, "    ", "  ") for text in told)]


def _series(series: SeriesView) -> str:
    scores = f"{series.count} score{'' if series.count == 1 else 's'}"
    masked = f" ({series.masked} under pain relief)" if series.masked else ""
    last = f"last {series.last}, {words.day(series.last_day)}{' (under pain relief)' if series.last_masked else ''}"
    return f"  {series.limb}; {series.looked}: {scores}{masked}, {last}"


def _foot(foot: FootView) -> list[str]:
    lines = [f"{foot.title} ({foot.when})"]
    for measure in foot.measures:
        if measure.main:
            provisional = " (photo, not yet checked on the live foot)" if measure.provisional else ""
            lines.append(
                f"  {measure.name:<16} {measure.value:<16}{provisional} {_changes(measure)}".rstrip()
            )
    compared = foot.differences if foot.foot.startswith("L") else ()  # said once for the pair
    return [*lines, *(_fill(text, "    ", "  ") for text in compared)]


def _changes(measure: MeasureView) -> str:
    """What has changed by at least the measuring error, or that nothing has."""
    moves = [move for move in dict.fromkeys((measure.last, measure.first)) if move]
    beyond = [
        f"{move.moved} since {move.since}, at least the measuring error"
        for move in moves
        if move.beyond_error
    ]
    if beyond or not moves:
        return "; ".join(beyond)
    return f"no change beyond the measuring error since {' or '.join(move.since for move in moves)}"
