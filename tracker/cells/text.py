"""Typed text: how it is shown again, how it is compared, and when it says nothing."""

from __future__ import annotations

import datetime as dt
import difflib
import re
import unicodedata
from collections.abc import Iterable

from tracker.terms import EMPTY

_ALIKE = str.maketrans(
    dict.fromkeys("’‘‛ʼ′´`ˊˋ", "'")  # accents too: they stand beside it on many keyboards
    | {"“": '"', "”": '"', "″": '"', "˚": "°", "º": "°"}
    | dict.fromkeys("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufe0f\ufeff", "")  # signs that nobody sees
)
_LONGEST = max(map(len, EMPTY))
_STACKED = re.compile("[⁰¹²³⁴-⁹]+\\s*[/⁄]\\s*[₀-₉0-9]+")
_UNIT_IN_BRACKETS = re.compile(r"\s*[(\[]([^)\]]*)[)\]]\s*")


def typed(value: object) -> str:
    """The value as its owner would recognise it: 3 rather than 3.0, a day without a midnight."""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, dt.datetime):
        return value.date().isoformat() if value.time() == dt.time() else value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return str(value)


def fold(text: str) -> str:
    """Text for comparing: compatibility forms, case, quotes and runs of spaces made alike."""
    if text.isascii():
        return " ".join(text.casefold().replace("`", "'").split())
    plain = unicodedata.normalize("NFKC", spell_fractions(text.translate(_ALIKE))).casefold()
    return " ".join(plain.translate(_ALIKE).split())


def spell_fractions(text: str) -> str:
    """½ and ¹⁄₂ spelled as " 1/2". Normalising first would turn 3½ into 31/2."""
    spelled = []
    for char in _STACKED.sub(lambda found: " " + unicodedata.normalize("NFKC", found[0]), text):
        whole = unicodedata.normalize("NFKC", char)
        if "⁄" in whole and len(whole) > 1:  # the fraction slash
            spelled.append(" " + whole.replace("⁄", "/"))
        else:
            spelled.append("/" if char == "⁄" else char)
    return "".join(spelled).strip()


def squeeze(text: str) -> str:
    """A name for comparing, in which spaces do not matter at all."""
    return fold(text).replace(" ", "")


def says_nothing(value: object) -> bool:
    """Whether the cell is blank or holds a sign for "nothing to say", such as n/a or a dash."""
    return isinstance(value, str) and len(stripped := value.strip()) <= _LONGEST and fold(stripped) in EMPTY


def heading(value: object) -> tuple[str, str]:
    """A heading folded, and the unit in its brackets: "Toe length (in)" gives ("toe length", "in")."""
    text = fold(typed(value)).replace("_", " ")
    unit = _UNIT_IN_BRACKETS.search(text)
    name = _UNIT_IN_BRACKETS.sub(" ", text).strip(" *:.")
    return " ".join(name.split()), unit.group(1).strip() if unit else ""


def suggestion(text: str, allowed: Iterable[str]) -> str:
    """Ask "Did you mean …?" for the nearest allowed word, or nothing."""
    by_fold = {fold(word): word for word in allowed}
    near = difflib.get_close_matches(fold(text), by_fold, n=1, cutoff=0.7)
    return f" Did you mean {by_fold[near[0]]}?" if near else ""


def listed(words: Iterable[str]) -> str:
    """Words with commas between them and "or" before the last."""
    items = list(words)
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} or {items[-1]}"
