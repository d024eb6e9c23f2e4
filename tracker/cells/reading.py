"""What the reading of one typed cell comes to: a value, a note about it, or both."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Reading:
    """`value` is None where nothing is kept; `slug` names the kind of problem, "" where there is none.

    `allowed` and `words` complete the problem's message.
    """

    value: object = None
    slug: str = ""
    allowed: str = ""
    words: dict[str, str] = field(default_factory=dict)


NOTHING = Reading()
