"""How long a pain reliever may make a horse look better than it is.

The hours and days are our own caution, drawn from the work named in each row. A detection time says how
long a trace is found, not how long it works: it is used here only as the far end. No dose stands here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from tracker.reference.figure import CAUTION


@dataclass(frozen=True, slots=True)
class Product:
    """One generic pain reliever: how it is recognised, and how long scores under it are marked.

    `masked_hours` and `residual_days` both count from the last time it was given.
    """

    name: str
    pattern: str
    masked_hours: int
    residual_days: int
    standing: str
    source: str


PRODUCTS = (
    Product(
        "phenylbutazone", r"phenylbutazon|\bbute\b", 24, 7, CAUTION,
        "Better at 6, 12 and 24 h after daily doses (Hu et al. 2005, J Am Vet Med Assoc 226:414) and to 24 h "
        "after four (Erkert et al. 2005, Am J Vet Res 66:284). FEI detection time 7 days: from memory.",
    ),
    Product(
        "flunixin", r"flunixin", 24, 6, CAUTION,
        "Better to 24 h after four daily doses (Erkert et al. 2005, Am J Vet Res 66:284). "
        "FEI detection time 6 days: from memory.",
    ),
    Product(
        "meloxicam", r"meloxicam", 24, 3, CAUTION,
        "Given every 24 h; less lame the day after five daily doses (Walliser et al. 2015, "
        "BMC Vet Res 11:113). FEI detection time 72 h (FEI, 11 May 2011).",
    ),
    Product(
        "firocoxib", r"firocoxib", 48, 14, CAUTION,
        "Half-life 1.6 to 1.7 days (Knych et al. 2014, Equine Vet J; author and year from memory); "
        "still rising after 7 to 14 daily doses (Back et al. 2009, Equine Vet J; Orsini et al. 2012, "
        "Am J Vet Res 73:664). FEI detection time 14 days: from memory.",
    ),
)  # fmt: skip

# A name that is not recognised may be any of them, or something else: the longest tail of the table.
UNKNOWN = Product(
    "", "", 0, max(product.residual_days for product in PRODUCTS), CAUTION,
    "Not a product we know: marked until it was last given, then for as long as the slowest known one.",
)  # fmt: skip


def named_in(typed: str) -> tuple[Product, ...]:
    """Find the products whose generic name stands in what the owner typed; none for a name we do not know."""
    return tuple(product for product in PRODUCTS if re.search(product.pattern, typed, re.IGNORECASE))
