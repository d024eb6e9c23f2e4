"""From the filter's log-odds to what is said: calibrated probabilities, and the two signals.

The figures were fitted on simulated diaries (`python -m tests.bench --fit`) and are tested on others. They
hold for horses and people that are like the simulated ones; no diary of real horses with known outcome is
published.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Reals = npt.NDArray[np.float64]

WATCH, ACT = 1.19, 2.68
"""Evidence from which a signal is given: about 2, and 0.5, false alarms a horse-year."""
LIMBS = 0.7
"""More evidence for each limb that is watched beside, times the logarithm of their number."""
ASK = -0.8
"""Evidence from which a sparse diary is asked for more."""
_WORSE = (-0.74, 1.377)
_ANY = (-1.155, 1.239)
_LEAST = 1e-6


def log_odds(share: Reals) -> Reals:
    """The log-odds of a share, kept finite."""
    kept = np.clip(share, _LEAST, 1 - _LEAST)
    return np.asarray(np.log(kept / (1 - kept)))


def p_worse(evidence: Reals) -> Reals:
    """The calibrated probability of a lasting worsening by at least a grade."""
    return _calibrated(evidence, *_WORSE)


def p_any(evidence: Reals) -> Reals:
    """The calibrated probability of a lasting worsening by at least half a grade."""
    return _calibrated(evidence, *_ANY)


def _calibrated(evidence: Reals, offset: float, slope: float) -> Reals:
    """Platt 1999: a straight line through the log-odds."""
    return np.asarray(1 / (1 + np.exp(-(offset + slope * evidence))))


def signal(evidence: Reals, limbs: int = 1) -> npt.NDArray[np.str_]:
    """none, watch or act; of several limbs watched beside each other each needs more evidence."""
    evidence = evidence - LIMBS * np.log(limbs)
    return np.where(evidence >= ACT, "act", np.where(evidence >= WATCH, "watch", "none"))
