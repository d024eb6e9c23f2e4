"""How far the judgement of people can be trusted: between two who look, and between looking and writing."""

from __future__ import annotations

from tracker.reference.figure import PUBLISHED, Figure

_KEEGAN = "Keegan et al. 2010, Equine Vet J 42:92 (131 horses, two to five vets of 18.7 years' experience on average)"
_STONE = "Stone et al. 2003, Control Clin Trials 24:182 (people with paper diaries)"

AGREE_MILD = Figure(
    "vets who agree whether a limb is lame, mean AAEP grade 1.5 or less", 61.9, "%", PUBLISHED, _KEEGAN
)
KAPPA_MILD = Figure("the same, beyond chance (kappa)", 0.23, "1", PUBLISHED, _KEEGAN)
AGREE_CLEAR = Figure(
    "vets who agree whether a limb is lame, mean AAEP grade above 1.5", 93.1, "%", PUBLISHED, _KEEGAN
)
KAPPA_CLEAR = Figure("the same, beyond chance (kappa)", 0.86, "1", PUBLISHED, _KEEGAN)

DIARY_CLAIMED = Figure("entries handed in as made at the set time", 90.0, "%", PUBLISHED, _STONE)
DIARY_REAL = Figure("entries really made at the set time", 11.0, "%", PUBLISHED, _STONE)
