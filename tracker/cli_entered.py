"""What became of an entry, in words for the terminal: warnings first, then doubts, then the cells."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from tracker.derive.referral.firing import Firing
from tracker.entry.journal import Waiting
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
        lines = [f"Written into {workbook}:", *_cells(entered.cells, entered.shown)]
        if entered.added:
            lines += [
                "Headings added for it:",
                *(f"  {cell}  {name}" for name, cell in entered.added.items()),
            ]
        parts.append("\n".join(lines))
    elif entered.state == KEPT:
        parts.append("\n".join([_kept(workbook, entered.reason), *_values(entered.shown)]))
    else:
        parts.append(f"Nothing was written into {workbook}. {entered.reason}".strip())
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
        reasons = dict.fromkeys(each.reason for each in waiting)
        lines.append(_fill(" ".join([_still(len(waiting)), *reasons]).strip()))
    return "\n".join(lines)


def waiting_text(workbook: str, pending: Pending, warnings: Sequence[Sequence[Firing]]) -> str:
    """What waits to be written, with what it warns of, and what is the matter with the journal; or ""."""
    lines = []
    if pending.entries:
        reasons = dict.fromkeys(entry.reason for entry in pending.entries if entry.reason)
        kept = f"Kept in {pending.journal.name}; soundness note {workbook} or soundness open {workbook} tries again."
        lines.append(_fill(" ".join([_still(len(pending.entries)), *reasons, kept])))
    for entry, called_for in zip(pending.entries, warnings, strict=True):
        lines += [_waiting(entry), *map(_warning, called_for)]
    if any(warnings):
        lines.append(_fill(CAUTION))
    return "\n".join([*lines, *map(_fill, pending.notes)])


def _waiting(entry: Waiting) -> str:
    where = entry.sheet if entry.row is None else f"{entry.sheet}, row {entry.row}"
    values = "; ".join(f"{heading}: {text or 'emptied'}" for heading, text in entry.shown.items())
    return _fill(f"{where}: {values}", "  ")


def waiting_data(pending: Pending, warnings: Sequence[Sequence[Firing]]) -> list[dict[str, Any]]:
    """What waits to be written, for JSON."""
    return [
        {
            "sheet": entry.sheet,
            "row": entry.row,
            "values": entry.shown,
            "reason": entry.reason,
            "warnings": [
                {"rule": each.rule, "urgency": each.urgency, "because": each.because, "words": each.words}
                for each in called_for
            ],
        }
        for entry, called_for in zip(pending.entries, warnings, strict=True)
    ]


def _still(count: int) -> str:
    return (
        "1 entry still waits to be written." if count == 1 else f"{count} entries still wait to be written."
    )


def fate_text(workbook: str, state: str) -> str:
    """What has become of an entry that was broken off in the middle."""
    if state == IN:
        return f"The entry is in {workbook}."
    if state == KEPT:
        return _fill(
            f"The entry is kept in {workbook}.pending.jsonl beside the workbook; soundness note {workbook} or "
            f"soundness open {workbook} writes it."
        )
    return f"Nothing was written into {workbook}, and nothing is kept."


def taken_back_text(workbook: str, result: TakenBack) -> str:
    """What came of taking the last entry back; with what had been entered, so that it can be entered again."""
    if result.reason:
        return _fill(result.reason)
    if result.cells:
        lines = [f"Taken back from {workbook}:", *_cells(result.cells, result.shown)]
    else:
        dropped = "No longer waits for" if result.note else "Taken back before it was written into"
        lines = [f"{dropped} {workbook}:", *_values(result.shown)]
    return "\n".join([*lines, *([_fill(result.note)] if result.note else [])])


def _fill(text: str, indent: str = "") -> str:
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
