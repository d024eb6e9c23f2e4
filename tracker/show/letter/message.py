"""The letter as a message: plain text, short enough to be sent from a telephone."""

from __future__ import annotations

from tracker.show.letter.blocks import Letter
from tracker.show.letter.isolate import isolated

MOST = 300  # signs of one sentence; what is longer is cut with a mark that says so
_WHOLE = ("question", "warnings")  # never cut: what is asked, and what is urgent


def message(letter: Letter) -> str:
    """The letter in plain text: each part in one paragraph of its shortest sentences."""
    told = [f"{letter.title}\n{letter.dated}"]
    told += [
        f"{part.title.upper()}\n"
        + "\n".join(line if part.key in _WHOLE else _cut(line) for line in part.brief)
        for part in letter.parts
        if part.brief
    ]
    silent = ", ".join(part.title.lower() for part in letter.parts if not part.brief)
    told.append(f"Not in this message, only in the whole letter: {silent}." if silent else "")
    return "\n\n".join(isolated(part) for part in (*told, letter.left_out, letter.caution) if part) + "\n"


def _cut(line: str) -> str:
    """The sentence, ended where an earlier one ends, else between two words."""
    if len(line) <= MOST:
        return line
    head = line[: MOST - 2]
    ends = (place for place in (head.rfind(". ") + 1, head.rfind(" ")) if place > MOST // 2)
    return f"{head[: next(ends, None)].rstrip()} …"
