"""One answer to a warning, as somebody wrote it on the Follow-up sheet."""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.cells.dates import WrittenDate, read_date
from tracker.cells.limbs import read_limbs
from tracker.cells.text import fold
from tracker.terms import FEET

_BETWEEN = re.compile(r"[\s_\-\u2010-\u2015]+|(?<=\d)[.,](?=\d)")  # "above 38.9" is above-38-9
_AROUND = "-,;:.()"
_ENDS = ("", *_AROUND)  # what may come behind a warning's name
_SINCE = "since-"


@dataclass(frozen=True, slots=True)
class Answer:
    """What was done about a warning on a day, and until when it need not be shown again.

    `feet` and `since` say which warning of the rule is meant, where the row says so. `vague`: on its day several
    warnings of the rule stood and it does not say which.
    """

    rule: str
    day: dt.date
    done: str
    by: str
    outcome: str
    quiet_until: dt.date | None
    cell: str
    feet: tuple[str, ...] = ()
    since: dt.date | None = None
    vague: bool = False


@dataclass(frozen=True, slots=True)
class Named:
    """Which warning a text names: the rule, and the feet or the first day behind it; `unread` what else stands there."""

    rule: str
    feet: tuple[str, ...] = ()
    since: dt.date | None = None
    unread: str = ""


def warning_named(text: str, slugs: Sequence[str]) -> Named | None:
    """The warning that a text such as "abscess suspected, LF" names; None where it is no known one."""
    name = plain(text)
    fits = [slug for slug in slugs if name.startswith(slug) and name[len(slug) : len(slug) + 1] in _ENDS]
    if not fits:
        return None
    rule = max(fits, key=len)
    rest = name.removeprefix(rule).strip(_AROUND)
    if rest.startswith(_SINCE):
        since = _day(rest.removeprefix(_SINCE))
        return Named(rule, since=since, unread="" if since else rest)
    limbs = read_limbs(rest.replace("-", " ")) if rest else None
    feet = tuple(limb for limb in limbs or () if limb in FEET)
    return Named(rule, feet, unread="" if feet else rest)


def nearest(text: str, slugs: Sequence[str]) -> list[str]:
    """The known names that are most like the text, at most three."""
    return difflib.get_close_matches(plain(text), slugs, n=3, cutoff=0.4)


def plain(text: str) -> str:
    """A warning's name as it is compared: small letters, with dashes between its words."""
    return _BETWEEN.sub("-", fold(text)).strip(_AROUND)


def _day(text: str) -> dt.date | None:
    found = read_date(text)
    if isinstance(found, WrittenDate) and found.order and found.year is not None:
        found = found.on(found.year, day_first=True)
    return found.date() if isinstance(found, dt.datetime) else None
