"""What a marked copy of a workbook shows, in words."""

from __future__ import annotations

from tracker.workbook.mark.plan import Marked


def marked_text(made: Marked, workbook: str, copy: str) -> str:
    """Say how many cells of the copy are marked, how, what it could not show, and which file to go on with."""
    if not made.cells:
        return f"Nothing to mark on the sheets of {workbook}, so no copy was made.{_placeless(made)}"
    lines = [
        f"Made {copy}: {_count(made.cells, 'cell')} marked. {workbook} was not changed.",
        "An error is orange in a thick frame, a doubt yellow in a dashed one; the note on the cell says what to do.",
    ]
    if made.bare:
        cells = ", ".join(f"{sheet}!{ref}" for sheet, ref in made.bare)
        lines.append(
            f"Coloured without a note, since a conversation or a full note is there already: {cells}."
        )
    if made.placeless:
        lines.append(_placeless(made).strip())
    lines.append(
        f"Mend the cells in {workbook} and go on with it; the copy is only to look at, and its marks stay when a cell is mended."
    )
    return "\n".join(lines)


def _placeless(made: Marked) -> str:
    if not made.placeless:
        return ""
    messages = " ".join(problem.message for problem in made.placeless)
    return f" {_count(len(made.placeless), 'problem')} without a sheet to be marked on: {messages}"


def _count(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"
