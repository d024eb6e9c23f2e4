"""How fast horn grows down in grown horses, and how long it takes until each part of the wall is new."""

from __future__ import annotations

from tracker.reference.figure import PUBLISHED, Figure

MONTH = 30.4  # days
TOE, QUARTERS, HEELS = "toe", "quarters", "heels"
SITES = (TOE, QUARTERS, HEELS)

_DEVEREUX = "Devereux, The Veterinary Care of the Horse, p. 196"
_LUNGWITZ = "Lungwitz and Adams, A Text-Book of Horseshoeing (their own trials)"
_FARRIERS = "American Farriers Journal, article 564"

SLOWEST = Figure(
    "growth of the hoof wall in a grown horse, slow end", 6.0, "mm a month", PUBLISHED, _DEVEREUX
)
FASTEST = Figure(
    "growth of the hoof wall in a grown horse, fast end", 10.0, "mm a month", PUBLISHED, _DEVEREUX
)

ALIKE_ALL_ROUND = (
    "equal all round in seven barefoot mares, Kolstrung et al. 2012, Med Weter 68:426; "
    "fastest at the toe by Devereux, p. 196"
)
BY_SEASON = "most in autumn, least in winter in nine Morgans, J Equine Vet Sci 2014"


def _months(site: str, end: str, months: float, source: str) -> Figure:
    return Figure(f"renewal of the wall at the {site}, {end}", months, "months", PUBLISHED, source)


RENEWAL = {
    TOE: (
        _months(TOE, "shortest", 9.0, f"{_DEVEREUX}; {_FARRIERS}"),
        _months(TOE, "longest", 13.0, _LUNGWITZ),
    ),
    QUARTERS: (
        _months(QUARTERS, "shortest", 6.0, f"{_LUNGWITZ}; {_FARRIERS}"),
        _months(QUARTERS, "longest", 8.0, f"{_LUNGWITZ}; {_FARRIERS}"),
    ),
    HEELS: (_months(HEELS, "shortest", 3.0, _LUNGWITZ), _months(HEELS, "longest", 6.0, _DEVEREUX)),
}

RENEWAL_SOURCES = tuple(
    dict.fromkeys(source for ends in RENEWAL.values() for end in ends for source in end.source.split("; "))
)


def renewal(site: str) -> tuple[int, int]:
    """How many months the wall takes to be new at a part: the shortest and the longest that is published."""
    shortest, longest = RENEWAL[site]
    return int(shortest.value), int(longest.value)
