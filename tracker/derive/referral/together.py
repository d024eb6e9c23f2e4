"""Warnings of one cause become one message: the most urgent leads, and none of the others is dropped."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

Warned = TypeVar("Warned")


def by_cause(warnings: Iterable[Warned], cause: Callable[[Warned], str]) -> list[tuple[Warned, ...]]:
    """One group for each cause of one horse's warnings; groups and their members keep the order of urgency."""
    causes: dict[str, list[Warned]] = {}
    for warning in warnings:
        causes.setdefault(cause(warning), []).append(warning)
    return [tuple(own) for own in causes.values()]
