"""How far people's judgement can be trusted: as the abstracts of the papers have it."""

from __future__ import annotations

from tracker.reference import judging


def test_agreement_between_vets():
    """Keegan et al. 2010, Equine Vet J 42:92, abstract (PMID 20156242)."""
    assert (judging.AGREE_MILD.value, judging.KAPPA_MILD.value) == (61.9, 0.23)
    assert (judging.AGREE_CLEAR.value, judging.KAPPA_CLEAR.value) == (93.1, 0.86)


def test_diaries_on_paper():
    """Stone et al. 2003, Control Clin Trials 24:182, abstract."""
    assert (judging.DIARY_CLAIMED.value, judging.DIARY_REAL.value) == (90, 11)
