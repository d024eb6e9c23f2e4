"""The shape of a number that we did not measure ourselves."""

from __future__ import annotations

from dataclasses import dataclass

# How sure a number is: what a reader may make of it.
PUBLISHED = "published"
DERIVED = "derived"
PROVISIONAL = "provisional, not published"
PRACTICE = "common practice, no published source"
CAUTION = "our own caution, drawn from published work"


@dataclass(frozen=True, slots=True)
class Figure:
    """One number with its unit, where it comes from, and how sure it is."""

    name: str
    value: float
    unit: str
    standing: str
    source: str
