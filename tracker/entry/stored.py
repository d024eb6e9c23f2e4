"""The values of cells as JSON can hold them: a date says that it is one, all else is as it was."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from typing import Any

from tracker.entry.look import Entry

Stored = Entry | float
"""What is or was in a cell."""


def stored(values: Mapping[str, Stored]) -> dict[str, object]:
    """Values as JSON can hold them."""
    return {heading: _as_json(value) for heading, value in values.items()}


def _as_json(value: Stored) -> object:
    if isinstance(value, dt.datetime):
        return {"moment": value.isoformat()}
    if isinstance(value, dt.date):
        return {"day": value.isoformat()}
    return value


def restored(values: Mapping[str, Any]) -> dict[str, Any]:
    """Values as they were before they were stored as JSON."""
    return {str(heading): _from_json(value) for heading, value in values.items()}


def _from_json(value: object) -> Stored:
    if isinstance(value, dict):
        if "moment" in value:
            return dt.datetime.fromisoformat(value["moment"])
        return dt.date.fromisoformat(value["day"])
    if value is None or isinstance(value, str | int) or (isinstance(value, float) and math.isfinite(value)):
        return value
    raise ValueError(f"not a cell's value: {value}")
