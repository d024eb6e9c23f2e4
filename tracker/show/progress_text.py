"""A horse's progress in lines for the terminal."""

from __future__ import annotations

import textwrap

from tracker.show.progress import PEOPLE_NOTE, WRITTEN_NOTE, ProgressView


def progress_lines(view: ProgressView, width: int) -> list[str]:
    """What the notes show, way by way; no line where they show nothing. The months are in --json and on the page."""
    if not view:
        return []
    lines = ["", "Progress"]
    for way in view.ways:
        lines.append(f"  {way.looked}")
        lines += [_fill(text, width, "    ") for text in way.told]
    if view.more:
        ways = "way" if view.more == 1 else "ways"
        lines.append(f"  … and {view.more} more {ways} of looking; --json has them all.")
    lines += [_fill(text, width) for text in ([view.note] if view.note else [])]
    lines += [_fill(text, width) for text in (*view.people, *([PEOPLE_NOTE] if view.people else []))]
    if view.written:
        lines += [_fill(f"{view.written} {WRITTEN_NOTE}", width)]
    return lines


def _fill(text: str, width: int, indent: str = "  ") -> str:
    return textwrap.fill(text, width, initial_indent=indent, subsequent_indent=indent)
