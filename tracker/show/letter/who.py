"""Who the horse is, and what the sender asks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tracker.show import words
from tracker.show.letter.blocks import Facts, Lines, Part
from tracker.show.letter.choice import PARTS
from tracker.show.letter.draft import BREVITIES, Draft

_NO_QUESTION = "The sender has written no question."
_ASIDE = (
    "horse", "born", "front_shoes_off", "hind_shoes_off", "usual_check", "usual_scale", "trim_every",
    "remarks", "vet", "vet_phone", "trimmer",
)  # fmt: skip


def who(draft: Draft) -> Part:
    """Age, sex, shoes, trims and what a vet has told before; breed and use where the sheet Horses has them.

    However short the letter, none of it is cut shorter.
    """
    draft = replace(draft, brevity=BREVITIES[0])
    facts = tuple((name, text) for name, text in _facts(draft) if text)
    named = [text for name, text in facts if name in ("Born", "Sex")]
    brief = (". ".join(filter(None, (", ".join(named), *draft.view.since))) + ".",)
    return Part("who", PARTS["who"], (Facts(facts),), brief)


def question(draft: Draft) -> Part:
    """What the sender asks."""
    asked = " ".join(draft.choice.question.split()) or _NO_QUESTION
    return Part("question", "The question", (Lines((asked,)),), (asked,))


def _facts(draft: Draft) -> Iterator[tuple[str, str]]:
    row = draft.sheet_row
    if row is not None:
        yield "Born", _born(row["born"], draft)
        for column in draft.book.tables["Horses"].sheet.columns:
            if column.key not in _ASIDE:
                yield column.heading, draft.typed(row[column.key])
    yield "Shoes", ". ".join(draft.view.since)
    if row is None:
        return
    if row["trim_every"] == row["trim_every"]:
        yield "Trim every", words.counted(round(row["trim_every"]), "week")
    if draft.with_("names"):
        yield "Trimmer", draft.typed(row["trimmer"])
        yield "Vet", draft.typed(row["vet"])
    if draft.with_("phones"):
        yield "Vet's number", draft.typed(row["vet_phone"])
    if draft.with_("remarks"):
        yield "Remarks", draft.typed(row["remarks"])


def _born(year: float, draft: Draft) -> str:
    if year != year:
        return ""
    return f"{year:.0f} ({words.counted(draft.book.as_of.year - round(year), 'year')})"
