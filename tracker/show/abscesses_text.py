"""A horse's abscesses in lines for the terminal."""

from __future__ import annotations

import textwrap

from tracker.show.abscesses import NOTE, OFTEN_NOTE, AbscessesView


def abscess_lines(view: AbscessesView, width: int) -> list[str]:
    """Each episode with what stands around it, then how often they came; no line where there was none."""
    if not view:
        return []
    lines = ["", "Abscesses"]
    for story in view.stories:
        lines.append(
            f"  {story.foot}: first seen {story.first_seen}, opened {story.opened}, "
            f"comfortable again {story.comfortable}; {story.lasted}"
        )
        lines += [_fill(text, width, "    ") for text in story.told]
    lines += [_fill(text, width) for text in view.often]
    if view.compared:
        days = "one day" if len(view.compared) == 1 else f"{len(view.compared)} days"
        lines.append(
            _fill(f"Before and after {days} with a change: on the horse's page, and in --json.", width)
        )
    notes = (NOTE, OFTEN_NOTE if view.often else "")
    return [*lines, _fill(" ".join(filter(None, notes)), width)]


def _fill(text: str, width: int, indent: str = "  ") -> str:
    return textwrap.fill(text, width, initial_indent=indent, subsequent_indent=indent)
