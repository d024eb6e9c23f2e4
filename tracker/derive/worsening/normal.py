"""The normal distribution, without scipy, which takes over a second to import."""

from __future__ import annotations

from math import erfc, sqrt

import numpy as np
import numpy.typing as npt

_ERFC = np.frompyfunc(erfc, 1, 1)


def below(z: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """The share of a standard normal distribution below z, of any shape (NIST/SEMATECH e-Handbook 1.3.6.6.1)."""
    return np.asarray(0.5 * _ERFC(-np.asarray(z, dtype=float) / sqrt(2)), dtype=float)
