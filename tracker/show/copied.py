"""What a copy of a workbook holds, and what it does not, in words."""

from __future__ import annotations

from tracker.workbook.new.copy import Copied

LEFT_BEHIND = (
    "A formula is copied as the value that was saved with it. Not in the copy: charts, pictures, comments, colours, "
    "widths, lists to pick from, macros; a hidden sheet is shown in it."
)


def copied_text(copied: Copied, source: str, new: str) -> str:
    """Say what was copied from `source` to `new`, sheet by sheet, and what could not be."""
    lines = [f"Made {new}, a copy of {source}; every cell was read back and compared."]
    lines += [f"  {name}: {_count(number, 'cell')}" for name, number in copied.cells.items()]
    lines += [f"The sheet {old} is named {name} in it." for old, name in copied.renamed.items()]
    if copied.unsaved:
        lines.append(
            f"{_count(copied.unsaved, 'formula')} had no saved value; the copy has the words instead."
        )
    if copied.unknown_errors:
        lines.append(
            f"{_count(copied.unknown_errors, 'error')} of a kind that .xlsx does not know: #VALUE! in the copy."
        )
    if copied.early_days:
        lines.append(f"{_count(copied.early_days, 'date')} before the calendar of .xlsx: words in the copy.")
    return "\n".join([*lines, LEFT_BEHIND, f"{source} was not changed."])


def _count(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"
