"""The newest photograph of each foot, made small and without anything but its picture."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from tracker.photos.folder import find_photo
from tracker.photos.look import shown_photo
from tracker.problem import Unreadable
from tracker.sheets import HOOVES, PHOTO_POINTS
from tracker.show import words
from tracker.show.letter.blocks import Block, Lines, Part, Photo
from tracker.show.letter.choice import EXTRAS
from tracker.show.letter.draft import Draft
from tracker.terms import FEET, FOOT_WORDS

_LONGEST_SIDE = 900  # pixels
_NOT_THERE = "could not be read"


def photos(draft: Draft) -> Part | None:
    """One photograph of each foot, where the sender puts them in. No place, camera or file name goes along."""
    if not draft.with_("photos"):
        return None
    blocks = tuple(
        _photo(foot, *newest, draft) for foot in FEET if (newest := max(_named(foot, draft), default=None))
    )
    title = EXTRAS["photos"].split(",")[0]
    return (
        Part("photos", title, blocks)
        if blocks
        else Part("photos", title, (Lines(("There is none of a foot.",)),))
    )


def _named(foot: str, draft: Draft) -> Iterator[tuple[dt.date, str]]:
    for sheet in (HOOVES, PHOTO_POINTS):
        yield from (
            (row.date.date(), row.photo) for row in draft.rows(sheet.name) if row.foot == foot and row.photo
        )


def _photo(foot: str, day: dt.date, name: str, draft: Draft) -> Block:
    told = f"{FOOT_WORDS[foot].capitalize()}, {words.day(day)}"
    try:
        return Photo(shown_photo(find_photo(draft.book.path, name), _LONGEST_SIDE), told)
    except Unreadable:
        return Lines((f"{told}: its photograph {_NOT_THERE}.",))
