"""What became of an entry, in words for the terminal: warnings first, then doubts, then the cells."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping

from tracker.derive.referral.firing import Firing
from tracker.entry.pending import IN, KEPT, Entered, Pending
from tracker.entry.undo import TakenBack
from tracker.show.text import problem_text
from tracker.show.words import CAUTION, URGENCY_WORDS

WIDTH = 92


def entered_text(workbook: str, entered: Entered) -> str:
    """Everything that is to be told of one entry."""
    parts = [*map(_warning, entered.warnings)]
    if entered.warnings:
        parts.append(_fill(CAUTION))
    parts += [*map(problem_text, entered.problems)]
    if entered.state == IN:
        parts.append("\n".join([f"Written into {workbook}:", *_cells(entered.cells, entered.shown)]))
    elif entered.state == KEPT:
        parts.append("\n".join([_kept(workbook, entered.reason), *_values(entered.shown)]))
    else:
        parts.append(f"Nothing was written into {workbook}.")
    return "\n\n".join(parts)


def _warning(warning: Firing) -> str:
    lines = [f"[{warning.urgency}] {URGENCY_WORDS[warning.urgency]}: {warning.rule.replace('-', ' ')}"]
    lines += [_fill(text, "    ") for text in (warning.because, warning.words)]
    return "\n".join(lines)


def _cells(cells: Mapping[str, str], values: Mapping[str, str]) -> list[str]:
    widest = max(map(len, cells.values()), default=0)
    return [
        f"  {cell:<{widest}}  {heading}: {values.get(heading, '') or 'emptied'}"
        for heading, cell in cells.items()
    ]


def _values(values: Mapping[str, str]) -> list[str]:
    return [f"  {heading}: {text}" for heading, text in values.items()]


def _kept(workbook: str, reason: str) -> str:
    because = f" {reason}" if reason else ""
    return _fill(
        f"Not in {workbook} yet.{because} Until then the entry is kept in {workbook}.pending.jsonl beside it, "
        "and every soundness note and soundness open tries again."
    )


def written_text(workbook: str, done: Iterable[Entered]) -> str:
    """What came of the entries that were waiting; "" where none was."""
    done = list(done)
    lines = [
        f"An entry that was waiting is now in {workbook}: {', '.join(each.cells.values())}."
        for each in done
        if each.state == IN
    ]
    waiting = [each for each in done if each.state == KEPT]
    if waiting:
        lines.append(_fill(f"{_still(len(waiting))} {waiting[0].reason}".strip()))
    return "\n".join(lines)


def waiting_text(workbook: str, pending: Pending) -> str:
    """What waits to be written, and what is the matter with the journal; "" where nothing is."""
    lines = []
    if pending.entries:
        last = next((entry.reason for entry in reversed(pending.entries) if entry.reason), "")
        kept = f"Kept in {pending.journal.name}; soundness note {workbook} or soundness open {workbook} tries again."
        lines.append(_fill(" ".join(part for part in (_still(len(pending.entries)), last, kept) if part)))
    return "\n".join([*lines, *map(_fill, pending.notes)])


def _still(count: int) -> str:
    return (
        "1 entry still waits to be written." if count == 1 else f"{count} entries still wait to be written."
    )


def taken_back_text(workbook: str, result: TakenBack) -> str:
    """What came of taking the last entry back; with what had been entered, so that it can be entered again."""
    if result.reason:
        return _fill(result.reason)
    if not result.cells:
        return "\n".join([f"Taken back before it was written into {workbook}:", *_values(result.shown)])
    return "\n".join([f"Taken back from {workbook}:", *_cells(result.cells, result.shown)])


def _fill(text: str, indent: str = "") -> str:
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
