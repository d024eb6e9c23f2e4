"""The rows of a checked table, one at a time or by horse, and its date cells as plain days; None where one is empty."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any, Protocol, TypeVar

import pandas as pd

from tracker.table import each

__all__ = ["by_horse", "day_of", "day_until", "each", "moment_of"]


def moment_of(value: Any) -> datetime | None:
    """Turn a datetime64 cell into a datetime."""
    if value is None or type(value) is datetime:
        return value
    return None if pd.isna(value) else pd.Timestamp(value).to_pydatetime()


def day_of(value: Any) -> date | None:
    """Turn a datetime64 cell into a day."""
    moment = moment_of(value)
    return moment.date() if moment else None


def day_until(value: Any, on: date) -> date | None:
    """Turn a datetime64 cell into a day; None too while, on the day `on`, it is still to come."""
    day = day_of(value)
    return day if day and day <= on else None


class _OfHorse(Protocol):
    @property
    def horse(self) -> str: ...


_Found = TypeVar("_Found", bound=_OfHorse)


def by_horse(found: Iterable[_Found]) -> dict[str, tuple[_Found, ...]]:
    """What was found, by the horse it is of, in the order given."""
    own: dict[str, list[_Found]] = {}
    for one in found:
        own.setdefault(one.horse, []).append(one)
    return {horse: tuple(each) for horse, each in own.items()}
