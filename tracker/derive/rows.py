"""The rows of a checked table, one at a time, and its date cells as plain days; None where one is empty."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pandas as pd

from tracker.table import each

__all__ = ["day_of", "day_until", "each", "moment_of"]


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
