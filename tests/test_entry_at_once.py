"""What is said of one sign without a workbook is what the rules say of it in a workbook."""

from __future__ import annotations

import pytest
from books import TODAY, raw

from tracker.derive.referral.rules import RULES
from tracker.entry.at_once import urgent_alone
from tracker.entry.look import look_over
from tracker.sheets import SOUNDNESS

SIGNS = SOUNDNESS.by_key["signs"].choices


def told(typed: dict[str, str]) -> list[tuple[str, str]]:
    """What is urgent in such a note in a workbook that holds nothing else."""
    workbook = raw(
        Horses="Horse\nBramble",
        Soundness="Date | Horse | Limb | Scale | Score | Pulse LF | Pulse RF | Signs",
    )
    look = look_over(workbook, "Soundness", {"horse": "Bramble", **typed}, today=TODAY)
    return [(said.rule, said.words) for said in look.warnings if said.urgency in ("now", "same day")]


def beforehand(typed: dict[str, str]) -> list[tuple[str, str]]:
    return [(said.rule, said.words) for known, said in urgent_alone() if known == typed]


GRADES = [
    (f"{half / 2:g}", scale) for scale, top in (("0-5", 5), ("0-10", 10)) for half in range(2 * top + 1)
]


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_says_the_same_with_and_without_a_workbook(sign: str) -> None:
    assert beforehand({"signs": sign}) == told({"signs": sign})


@pytest.mark.parametrize(("grade", "scale"), GRADES)
def test_so_does_a_grade(grade: str, scale: str) -> None:
    typed = {"score": grade, "scale": scale}
    assert beforehand(typed) == told(typed)


@pytest.mark.parametrize("sign", SIGNS)
def test_so_does_a_sign_beside_raised_pulses(sign: str) -> None:
    typed = {"pulse_lf": "2", "pulse_rf": "2", "signs": sign}
    assert set(told(typed)) - set(told({"signs": sign})) <= set(beforehand(typed)) | set(
        beforehand({"signs": sign})
    )
    assert bool(beforehand({"signs": sign}) + beforehand(typed)) == bool(told(typed))


ELSEWHERE = ("abscess-", "temperature-", "heart-", "breathing-", "pain-relief-")
# Two notes, or a sheet beside the notes.
MORE_THAN_ONE = {"opposite-foot-changed", "both-fronts-warm", "new-lameness-worse", "joint-swollen-and-lame"}


def test_every_rule_on_one_note_that_is_urgent_is_there() -> None:
    found = {said.rule for _, said in urgent_alone()}
    urgent = {rule.slug for rule in RULES if rule.urgency in ("now", "same day")}
    named = {slug for slug in urgent if not slug.startswith(ELSEWHERE)} - MORE_THAN_ONE
    assert found == named
