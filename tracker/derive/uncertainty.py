"""A measured quantity with its error, and how the error travels into what is computed from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

# The derivatives are taken over this part of each input's own sd: near enough to be straight,
# far enough not to drown in rounding.
_STEP = 0.01


class Measure(NamedTuple):
    """A value and its standard deviation, in one unit (UCUM code: "mm", "deg", "1", "%").

    `how` says in words where it comes from, such as "gauge" or "from toe angle and heel angle (photo)".
    Where many feet were measured at once, value and sd are arrays, NaN where one foot has none.
    """

    value: float
    sd: float
    unit: str
    how: str


def propagate(
    function: Callable[..., Any],
    inputs: Sequence[Measure],
    unit: str,
    how: str,
    *,
    arrays: bool = False,
    correlation: ArrayLike | None = None,
) -> Measure:
    """Compute `function` of the inputs, with the standard deviation that their errors give it.

    First order, the inputs taken as independent unless their `correlation` (n × n, ones on its diagonal) is
    given, the partial derivatives numeric: right where the function is nearly straight across each input's
    error. At the very edge of the function's range the sd is NaN.
    `function` takes one float for each input; with `arrays` it takes numpy arrays and is called only once.

    References: JCGM 100:2008 (GUM), 5.1.2, equation (10); with a correlation 5.2.2, equation (16).
    """
    values = np.array([measure.value for measure in inputs], dtype=float)
    steps = np.diag([_STEP * measure.sd for measure in inputs])
    points = np.vstack([values, values + steps, values - steps])
    results = function(*points.T) if arrays else [function(*point) for point in points.tolist()]
    value, above, below = np.split(np.asarray(results, dtype=float), [1, 1 + len(inputs)])
    parts = (above - below) / (2 * _STEP)
    shared = np.eye(len(inputs)) if correlation is None else np.asarray(correlation, dtype=float)
    sd = np.sqrt(parts @ shared @ parts)
    return Measure(float(value[0]), float(sd), unit, how)


Numbers = NDArray[np.float64]


def moved_each(feet: Sequence[Mapping[str, Measure]]) -> dict[str, Numbers]:
    """`propagate` for many feet with the same measures, the first half: each measure as an array, a column a foot.

    The first row holds the values as they are; in the next ones each measure in turn is moved up by a part of its sd, and
    in as many more moved down. What is worked out of such arrays is one again, and `spread_each` reads its sds from it.
    """
    names = [*feet[0]]
    found = {}
    for at, name in enumerate(names, 1):
        values = np.array([foot[name].value for foot in feet], dtype=float)
        rows = np.tile(values, (1 + 2 * len(names), 1))
        step = _STEP * np.array([foot[name].sd for foot in feet])
        rows[at] += step
        rows[at + len(names)] -= step
        found[name] = rows
    return found


def spread_each(worked_out: Numbers, inputs: Sequence[int]) -> tuple[list[float], list[float]]:
    """The second half: the feet's values and sds of what was worked out of measures that stand at those places."""
    up = np.array(inputs) + 1
    parts = (worked_out[up] - worked_out[up + len(worked_out) // 2]).T / (2 * _STEP)
    rows = np.ascontiguousarray(parts)
    variances = np.matmul(rows[:, None, :], rows[:, :, None])[:, 0, 0]
    return worked_out[0].tolist(), np.sqrt(variances).tolist()
