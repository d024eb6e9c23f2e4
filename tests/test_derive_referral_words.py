"""The words of the warnings: they record and send to the vet; they find no disease, advise no medicine, calm nobody."""

from __future__ import annotations

import re

import pytest
from firings import daily, notes, warnings
from test_derive_referral_table import CASES

from tracker.derive.referral.firing import Firing
from tracker.derive.referral.rule import OWN, Rule
from tracker.derive.referral.rules import NOW, RULES, SAME_DAY
from tracker.derive.referral.together import by_cause

# A disease may be named in a source only.
DISEASES = (
    r"laminiti|founder|fracture|navicular|arthriti|keratoma|cushing|ppid|septic|sepsis|infect|tetanic|thrush"
)
MEDICINES = r"\bdos(e|es|ing)\b|\bmg\b|\btreat|medicat|prescri|\bbute\b|phenylbutazone|flunixin|meloxicam|firocoxib|antibiotic|poultice"
VERDICTS = r"diagnos|\bsound\b|normal|healthy|\bcured?\b|\bfit (to|for)\b|all right|nothing to worry|no need|don't worry|harmless|\bsafe\b|recovered"
FORBIDDEN = re.compile(f"{DISEASES}|{MEDICINES}|{VERDICTS}", re.IGNORECASE)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_no_rule_names_a_disease_a_medicine_or_a_verdict(rule: Rule) -> None:
    for text in (rule.slug.replace("-", " "), rule.words, rule.waiting, rule.threshold):
        assert not FORBIDDEN.search(text), text


@pytest.mark.parametrize(("rule", "fires", "_"), CASES)
def test_no_reason_does_either(rule: str, fires: dict[str, str], _: dict[str, str]) -> None:
    for firing in warnings(**fires):
        typed_by_the_owner = firing.rule.startswith("pain-relief-")
        if not typed_by_the_owner:
            assert not FORBIDDEN.search(firing.because), firing.because
        assert firing.because.endswith(".")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_what_is_urgent_sends_to_the_vet_and_speaks_to_the_vet(rule: Rule) -> None:
    if rule.urgency in (NOW, SAME_DAY):
        assert re.search(r"\bvet\b", rule.words)
        assert rule.speaks_to == "vet"
    if rule.urgency == NOW:
        assert rule.words.startswith("Ring the vet now, day or night")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_what_is_our_own_is_not_called_published(rule: Rule) -> None:
    if rule.sure != OWN:
        assert not rule.source.startswith("our own"), rule.slug


def test_the_words_that_are_forbidden_are_found() -> None:
    for said in (
        "the horse is sound",
        "a normal pulse",
        "Treat it",
        "give a dose",
        "laminitis",
        "to diagnose",
    ):
        assert FORBIDDEN.search(said)
    assert not FORBIDDEN.search("The Soundness sheet, with a sign recorded.")


def _messages(**sheets: str) -> list[tuple[Firing, ...]]:
    return by_cause(warnings(**sheets), lambda firing: firing.cause)


def test_warnings_of_one_cause_are_one_message_the_most_urgent_first_and_none_is_lost() -> None:
    visits = "Date | Role | Purpose\n@2026-03-01 | trimmer | trim"
    found = _messages(Soundness=notes(*daily(*[1] * 20, 4)), Visits=visits)
    assert [[firing.rule for firing in group] for group in found] == [
        ["lame-at-walk", "lame-for-weeks"],
        ["trim-past-8-weeks"],
    ]
    for group in found:
        assert len({firing.cause for firing in group}) == 1
        assert all(firing.source and firing.cells and firing.because for firing in group)


def test_abscesses_of_two_feet_are_two_messages() -> None:
    both = "Foot | First seen\nLF | @2026-06-07\nRH | @2026-06-07"
    found = _messages(Abscesses=both)
    assert [{firing.cause for firing in group} for group in found] == [
        {"abscess LF"},
        {"abscess RH"},
        {"abscess again"},
    ]
    assert [firing.rule for firing in found[0]] == ["abscess-suspected", "abscess-not-better-48-h"]
