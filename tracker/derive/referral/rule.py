"""What a rule of the warnings is: when it fires, how urgent it is, whom it speaks to, why, and who says so."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found
from tracker.derive.referral.limit import Limit

NOW, SAME_DAY, WITHIN_A_WEEK, NEXT_VISIT = "now", "same day", "within a week", "next visit"
URGENCIES = (NOW, SAME_DAY, WITHIN_A_WEEK, NEXT_VISIT)

PUBLISHED, OPINION, PRACTICE = "published", "expert opinion", "common practice, no published source"
MEMORY, OWN = "from memory", "our own, no published source"
SURENESS = (PUBLISHED, OPINION, PRACTICE, MEMORY, OWN)

OWNER, TRIMMER, VET = "owner", "trimmer", "vet"
AUDIENCES = (OWNER, TRIMMER, VET)

DEVEREUX = "Devereux, The Veterinary Care of the Horse"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its slug, urgency, plain words, threshold, and source with how sure that source makes it.

    `about` is the cause: warnings of one horse about one cause are told together. `speaks_to` is who has to
    hear of it: the owner alone, or through the owner the trimmer or the vet. `waiting` is what may be done until
    then by anybody. `within` names more urgent rules that say the same and more: where one of them rests on all of
    its cells, this one is silent. `limit` is its one number, where a horse may have a more careful one.
    """

    slug: str
    urgency: str
    about: str
    words: str
    waiting: str
    threshold: str
    source: str
    sure: str
    find: Callable[[Facts], Iterator[Found]]
    speaks_to: str = VET
    within: tuple[str, ...] = ()
    limit: Limit | None = None
