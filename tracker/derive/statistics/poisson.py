"""How often something happens, counted over a time, with the exact interval of its count."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from tracker.derive.statistics.interval import CONFIDENCE, Estimate

_TAIL = (1 - CONFIDENCE) / 2
_HALVINGS = 60


@lru_cache(maxsize=512)  # few counts come again and again, over other times
def count_interval(events: int) -> tuple[float, float]:
    """The lowest and highest mean count that so few, or so many, events do not speak against.

    Each tail holds 2.5 %: at the lower limit that many events or more, at the upper limit that many or fewer.

    References: Garwood 1936, Biometrika 28:437.
    """
    most = events + 10 + 6 * math.sqrt(events + 1)  # far beyond the upper limit
    low = _root(lambda mean: 1 - _poisson_up_to(events - 1, mean) - _TAIL, 0, most) if events else 0.0
    return low, _root(lambda mean: _TAIL - _poisson_up_to(events, mean), 0, most)


def rate(events: int, time: float, per: float = 1.0) -> Estimate:
    """Events for each `per` of the time, with the exact interval. `time` and `per` in one unit, above 0."""
    low, high = (limit * per / time for limit in count_interval(events))
    return Estimate(events * per / time, low, high, events)


def rate_ratio(first: int, first_time: float, second: int, second_time: float) -> Estimate | None:
    """The second rate over the first, with its exact interval; None where nothing happened in either time.

    Given how many happened in all, those of the second time are binomial; the interval is that of their share
    (Clopper and Pearson 1934, Biometrika 26:404). Open upwards where nothing happened in the first time.

    References: Przyborowski and Wilenski 1940, Biometrika 31:313.
    """
    total = first + second
    if not total:
        return None
    longer = first_time / second_time
    value, low, high = (_odds(share) * longer for share in (second / total, *_share_interval(first, second)))
    return Estimate(value, low, high, total)


@lru_cache(maxsize=512)
def _share_interval(first: int, second: int) -> tuple[float, float]:
    """The lowest and highest share of the second that so many of each do not speak against."""
    total = first + second
    low = _root(lambda share: 1 - _binomial_up_to(second - 1, total, share) - _TAIL, 0, 1) if second else 0.0
    high = _root(lambda share: _TAIL - _binomial_up_to(second, total, share), 0, 1) if first else 1.0
    return low, high


def _odds(share: float) -> float:
    return share / (1 - share) if share < 1 else math.inf


def _root(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that rises from below 0 to above it is 0."""
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < 0 else (low, middle)
    return (low + high) / 2


def _poisson_up_to(events: int, mean: float) -> float:
    if mean == 0:
        return 1.0
    logs = (count * math.log(mean) - mean - math.lgamma(count + 1) for count in range(events + 1))
    return math.fsum(math.exp(log) for log in logs)


def _binomial_up_to(events: int, total: int, share: float) -> float:
    ways = math.lgamma(total + 1)
    logs = (
        ways - math.lgamma(count + 1) - math.lgamma(total - count + 1)
        + count * math.log(share) + (total - count) * math.log1p(-share)
        for count in range(events + 1)
    )  # fmt: skip
    return math.fsum(math.exp(log) for log in logs)
