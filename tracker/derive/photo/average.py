"""Several photos of one foot and day, and how well points are placed when they are marked again."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from tracker.derive.uncertainty import Measure


def average(measures: Sequence[Measure]) -> Measure:
    """The mean of one measure from several photos, each weighed by 1/sd²; the unit stays.

    The photos' errors are taken as independent: each must be taken anew and marked anew. Where they scatter
    by more than their errors explain, the sd grows to what the scatter says. An sd of 0 cannot be weighed: then
    the plain mean is taken. A photo that gives none of the measure (NaN) does not count; NaN for none at all.

    References: R. T. Birge, Phys. Rev. 40 (1932) 207 (the scatter).
    """
    units = sorted({measure.unit for measure in measures})
    if len(units) > 1:
        raise ValueError(f"one measure cannot be in {' and '.join(reversed(units))}")
    measures = [one for one in measures if math.isfinite(one.value) and math.isfinite(one.sd)]
    if not measures:
        return Measure(np.nan, np.nan, units[0] if units else "1", "photo")
    values = np.array([measure.value for measure in measures], dtype=float)
    sds = np.array([measure.sd for measure in measures], dtype=float)
    weights = np.ones_like(sds) if (sds == 0).any() else sds**-2
    weights = weights / weights.sum()
    mean = float(weights @ values)
    own = float(np.sqrt((weights**2) @ (sds**2)))
    scatter = 0.0
    if len(measures) > 1:
        scatter = float(np.sqrt(weights @ (values - mean) ** 2 / (len(measures) - 1)))
    ways = sorted({measure.how for measure in measures})
    how = " and ".join(ways) if len(measures) == 1 else f"mean of {len(measures)} ({', '.join(ways)})"
    return Measure(mean, max(own, scatter), measures[0].unit, how)


def learned_point_sd(markings: Sequence[Mapping[str, Any]]) -> float:
    """Error of a marked point in x and in y, px, from one photo that was marked several times.

    Each marking maps names to (x, y). Pooled over all points that were marked more than once; NaN where
    none was. It holds what changes from marking to marking, not where one always marks wrong.

    References: Bland and Altman 1996, BMJ 313:744 (the within-subject standard deviation).
    """
    names = {name for marking in markings for name in marking}
    groups = []
    for name in names:
        places = [_place(marking[name]) for marking in markings if name in marking]
        groups += [*zip(*(place for place in places if place), strict=True)]
    return repeat_sd(groups)


def _place(place: Any) -> tuple[float, float] | None:
    """X and y, None where that is no place in a picture."""
    try:
        x, y = map(float, place)
    except (TypeError, ValueError, OverflowError):
        return None
    return (x, y) if np.isfinite([x, y]).all() else None


def repeat_sd(groups: Iterable[Any]) -> float:
    """Standard deviation of one reading, in the readings' unit, from things that were read several times.

    Each group is one thing, such as one foot's toe angle by gauge on one day; it stands in for the default
    of that way of measuring. Pooled; NaN where nothing was read twice.

    References: Bland and Altman 1996, BMJ 313:744.
    """
    squares = freedom = 0.0
    for group in groups:
        values = np.asarray(group, dtype=float)
        values = values[np.isfinite(values)]
        if values.size > 1:
            squares += float(((values - values.mean()) ** 2).sum())
            freedom += values.size - 1
    return float(np.sqrt(squares / freedom)) if freedom else float("nan")
