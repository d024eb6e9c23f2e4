"""A horse that stays as it is hears little: at most two messages below `same day` in a year, and none more urgent."""

from __future__ import annotations

import pytest
from bench.calm_year import LEVELS, years


@pytest.mark.parametrize("world", LEVELS)
def test_a_calm_year_gives_at_most_two_messages_and_none_that_is_urgent(world: str) -> None:
    """`python -m tests.bench.calm_year` looks every week and at more horses."""
    for found in years(world, 1, step=14):
        assert sum(found.messages.values()) <= 2, found.messages
        assert [(rule, grade) for rule, grade in found.urgent if grade < 4] == []
        assert not found.urgent
