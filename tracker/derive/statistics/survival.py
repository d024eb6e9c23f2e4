"""How long something lasts, where some of it has not ended yet: the share still going on after each time."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from tracker.derive.statistics.interval import Z

_HALF = 0.5 + 1e-12  # a product of shares may miss a half by rounding


@dataclass(frozen=True, slots=True)
class Step:
    """After `time` that share still goes on, with its interval of 95 %; `ended` then, of those `at_risk`."""

    time: float
    at_risk: int
    ended: int
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Lasting:
    """A step for each time at which one ended; the time by which half have, with its interval.

    None for a limit, or for the middle time, that is not reached while they were watched. `count` is all that
    were watched, `still` those that were not seen to end.
    """

    steps: tuple[Step, ...]
    median: float | None
    median_low: float | None
    median_high: float | None
    count: int
    still: int


def kaplan_meier(times: Iterable[float], ended: Iterable[bool]) -> Lasting:
    """The share that still goes on after each time; `ended` is False for one that still did when last seen.

    One that was last seen at a time at which others end counts as still going on then. The interval is
    Greenwood's on the scale log(-log): it never leaves 0 to 1. It is not defined while the share is 0 or 1,
    and is the share itself there. The interval of the middle time holds the times at which that of the
    share holds a half.

    References: Kaplan and Meier 1958, J Am Stat Assoc 53:457; Greenwood 1926; Kalbfleisch and Prentice 1980,
    The Statistical Analysis of Failure Time Data, 1.3; Brookmeyer and Crowley 1982, Biometrics 38:29.
    """
    seen = sorted(zip(times, ended, strict=True))
    steps: list[Step] = []
    share, spread, at_risk = 1.0, 0.0, len(seen)
    for time in sorted({time for time, _ in seen}):
        here = [over for at, over in seen if at == time]
        over = sum(here)
        if over:
            share *= (at_risk - over) / at_risk
            spread += over / (at_risk * (at_risk - over)) if at_risk > over else math.inf
            steps.append(Step(time, at_risk, over, share, *_limits(share, spread)))
        at_risk -= len(here)
    return Lasting(
        tuple(steps),
        _first(step.time for step in steps if step.share <= _HALF),
        _first(step.time for step in steps if step.low <= _HALF),
        _first(step.time for step in steps if step.high <= _HALF),
        len(seen),
        sum(not over for _, over in seen),
    )


def _limits(share: float, spread: float) -> tuple[float, float]:
    if not 0 < share < 1:
        return share, share
    reach = Z * math.sqrt(spread) / math.log(share)  # below 0, as the logarithm is
    return share ** math.exp(-reach), share ** math.exp(reach)


def _first(times: Iterable[float]) -> float | None:
    return next(iter(times), None)
