"""A horse's body in lines for the terminal."""

from __future__ import annotations

import textwrap

from tracker.show.body import VITALS_NOTE, BodyView


def body_lines(view: BodyView, width: int) -> list[str]:
    """Weight, condition, crest and vital signs; no line where none was noted."""
    if not view:
        return []
    lines = ["", "Body"]
    lines += [_fill(f"{one.name}: {one.value} on {one.when}. {one.told}", width) for one in view.trends]
    lines += [_fill(view.note, width)] if view.note else []
    for sign in view.vitals:
        told = f" {sign.told}" if sign.told else ""
        lines.append(
            _fill(
                f"{sign.name}: {sign.value} on {sign.when}; published {sign.published}; usual for this horse: {sign.usual}.{told}",
                width,
            )
        )
    return [*lines, *([_fill(VITALS_NOTE, width)] if view.vitals else [])]


def _fill(text: str, width: int) -> str:
    return textwrap.fill(text, width, initial_indent="  ", subsequent_indent="    ")
