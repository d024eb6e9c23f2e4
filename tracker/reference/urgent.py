"""From where on a vet is to be asked, as sources have it; each with how sure it is."""

from __future__ import annotations

from tracker.reference.figure import PRACTICE, PUBLISHED, Figure

TEMPERATURE_AT_ONCE = Figure(
    "temperature from which a vet is to be rung at once", 40.6, "Cel", PUBLISHED, "Bristol Veterinary Service, Fever"
)  # fmt: skip
CONDITION_LOSS = Figure(
    "loss of condition that calls for a vet, of 9", 1.0, "1", PRACTICE, "no published trigger is known"
)
WEIGHT_LOSS = Figure("loss of weight that calls for a vet", 5.0, "%", PRACTICE, CONDITION_LOSS.source)
OLDER = Figure(
    "age from which abscesses that come again ask for more", 15.0, "a", PRACTICE,
    "mainly older horses, by several practices; the age itself is inferred",
)  # fmt: skip
UNEVEN_PAIR = Figure(
    "toe angle, left against right, from which a pair is called uneven", 1.5, "deg", PUBLISHED,
    "Wiggers et al. 2015 (a definition for research; in 42 young horses uneven feet went with no more lameness)",
)  # fmt: skip
