"""What is said of one sign without a workbook is what the rules say of it in a workbook."""

from __future__ import annotations

import pytest
from books import TODAY, raw

from tracker.derive.referral.rules import RULES
from tracker.entry.at_once import urgent_alone
from tracker.entry.look import look_over
from tracker.sheets import SOUNDNESS

SIGNS = SOUNDNESS.by_key["signs"].choices


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_says_the_same_with_and_without_a_workbook(sign: str) -> None:
    beforehand = [(said.rule, said.words) for typed, said in urgent_alone() if typed.get("signs") == sign]
    workbook = raw(Horses="Horse\nBramble", Soundness="Date | Horse | Score | Signs")
    told = look_over(workbook, "Soundness", {"horse": "Bramble", "signs": sign}, today=TODAY).warnings
    assert beforehand == [(said.rule, said.words) for said in told]


def test_every_rule_that_one_sign_or_grade_calls_for_now_is_there() -> None:
    """The rules themselves name them: "a sign of ...; or grade 5 of 5", "the sign is recorded"."""
    at_once = {said.rule for _, said in urgent_alone()}
    named = {rule.slug for rule in RULES if rule.urgency == "now" and "pulse" not in rule.slug}
    assert at_once == named


def test_only_the_top_grade_of_each_scale_is_there() -> None:
    grades = [dict(typed) for typed, _ in urgent_alone() if "score" in typed]
    assert grades == [{"score": "5", "scale": "0-5"}, {"score": "10", "scale": "0-10"}]
