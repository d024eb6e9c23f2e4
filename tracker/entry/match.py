"""Which record of a sheet is the one that an entry made or changes, wherever its owner has moved it since."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from functools import partial

from tracker.cells.text import says_nothing, typed
from tracker.entry.form import BY_PROGRAM, key_of
from tracker.entry.journal import Attempt, Waiting
from tracker.entry.page import Page
from tracker.entry.stored import Stored
from tracker.workbook.change.plan import fingerprint

Test = Callable[[object], bool]


def keyed(values: Mapping[str, Stored]) -> dict[str, Stored]:
    """Values by key rather than by heading."""
    return {key_of(heading): value for heading, value in values.items()}


def holds(cell: object, value: Stored) -> bool:
    """Whether a cell, as the reader gives it, holds what was written there."""
    if value is None or (isinstance(value, str) and says_nothing(value)):
        return says_nothing(cell)
    if isinstance(value, dt.date) and isinstance(cell, dt.date):
        return _moment(cell) == _moment(value)
    if isinstance(cell, str) or not isinstance(value, str):
        return cell == value
    with contextlib.suppress(ValueError):
        return isinstance(cell, float) and cell == float(value)
    return False


def _moment(day: dt.date) -> dt.datetime:
    """A day as its midnight: the reader gives one for the other."""
    return day if isinstance(day, dt.datetime) else dt.datetime.combine(day, dt.time())


def tests(values: Mapping[str, Stored]) -> dict[str, Test]:
    """A test for each key: whether a cell holds that value."""
    return {key: partial(holds, value=value) for key, value in values.items()}


def clears(values: Mapping[str, Stored]) -> bool:
    """Whether an entry empties its record."""
    return bool(values) and all(value is None for value in values.values())


def as_seen(
    was: Mapping[str, str], keys: Iterable[str], earlier: Iterable[Mapping[str, Stored]] = ()
) -> dict[str, Test]:
    """A test for each key: whether a cell holds what it held when it was seen.

    What `earlier` entries put there meanwhile, by key, does as well.
    """
    later = list(earlier)

    def holds_still(cell: object, key: str) -> bool:
        return typed(cell) == was.get(key, "") or any(holds(cell, of[key]) for of in later if key in of)

    return {key: partial(holds_still, key=key) for key in keys}


def telling(page: Page, values: Mapping[str, Stored]) -> dict[str, Stored]:
    """What tells a new record from all others: the moment of writing where the sheet has it, else all of it."""
    mark = BY_PROGRAM.get(page.sheet.name)
    return {mark: values[mark]} if mark in values and mark in page.places else dict(values)


def row_of_new(page: Page, row: int, values: Mapping[str, Stored]) -> int | None:
    """The row of a record that an entry made, expected in `row`; None where it is nowhere, or not clear."""
    fits = tests(telling(page, values))
    rows = [at for at, record in page.records() if _fits(record, fits)]
    return row if row in rows else rows[0] if len(rows) == 1 else None


def row_of_changed(
    page: Page, row: int, known: Mapping[str, Test], changed: Mapping[str, Test]
) -> int | None:
    """The row of a record that an entry changes, expected in `row`; None where it is nowhere, or not clear.

    `changed` are the tests of the cells that the entry changes, which must all hold. Of what is `known` of the
    others, that by which a record is told, such as its day, must hold, and half of the rest; whatever was
    filled in since does not count.
    """
    others = {key: fits for key, fits in known.items() if key not in changed and key in page.places}
    mark = BY_PROGRAM.get(page.sheet.name)
    needed = [mark] if mark in others else [key for key in others if _names(page, key)]
    must = {**changed, **{key: others[key] for key in needed}}
    scores = {
        at: sum(fits(record.get(key, "")) for key, fits in others.items())
        for at, record in page.records()
        if _fits(record, must)
    }
    most = max(scores.values(), default=0)
    if mark not in others and 2 * most < len(others):
        return None
    best = [at for at, score in scores.items() if score == most]
    if row in scores or not best:
        return row if row in best else None
    return best[0] if len(best) == 1 else None


def _names(page: Page, key: str) -> bool:
    return key == "horse" or page.sheet.by_key[key].required


def _fits(record: Mapping[str, object], fits: Mapping[str, Test]) -> bool:
    return all(test(record.get(key, "")) for key, test in fits.items())


def counts(page: Page, values: Mapping[str, Stored]) -> tuple[int, ...]:
    """How many records may be the entry, how many say half of what it says, and how many there are.

    The last is 0 where the moment of writing tells them apart anyway.
    """
    found = telling(page, values)
    alike = page.count(tests(found))
    own = {
        key: value for key, value in values.items() if key in page.places and key not in ("horse", "written")
    }
    hits: Counter[int] = Counter()
    for key, value in own.items():
        at = page.places[key]
        column = [row[at] if at < len(row) else "" for row in page.rows[page.heading_row : page.end]]
        fits = {each: holds(each, value) for each in set(column)}
        hits.update(number for number, each in enumerate(column) if fits[each])
    near = sum(2 * number >= len(own) for number in hits.values())
    return alike, near, 0 if len(found) < len(values) else sum(1 for _ in page.records())


def is_in(entry: Waiting, content: bytes, page: Page) -> bool | None:
    """Whether the last try had put the entry in before it was stopped; None where that cannot be told.

    The file itself shows it, unless its owner has saved it since: then the records do.
    """
    attempt = entry.attempt
    if entry.is_in or attempt is None:
        return entry.is_in
    state = fingerprint(content)
    if state in (attempt.before, attempt.after):
        return state == attempt.after
    if entry.row is None:
        return _new_is_in(attempt, page, keyed(entry.values))
    return _change_is_in(attempt, page, keyed(entry.values))


def _new_is_in(attempt: Attempt, page: Page, values: Mapping[str, Stored]) -> bool | None:
    now = counts(page, values)
    if now[0] > attempt.counts[0]:
        return True
    return None if any(more > before for more, before in zip(now, attempt.counts, strict=True)) else False


def _change_is_in(attempt: Attempt, page: Page, values: Mapping[str, Stored]) -> bool | None:
    known = as_seen(attempt.was, attempt.was)
    if clears(values):  # a record that is nowhere was cleared, or its owner has deleted it
        return row_of_changed(page, attempt.row, known, as_seen(attempt.was, values)) is None
    after = row_of_changed(page, attempt.row, known, tests(values))
    before = row_of_changed(page, attempt.row, known, as_seen(attempt.was, values))
    if after and before and attempt.row not in (after, before):
        return None
    if after and before:
        return after == attempt.row
    return True if after else False if before else None


def nearest_row(attempt: Attempt, page: Page, values: Mapping[str, Stored]) -> int:
    """The row of the record that says most of what an entry would have made of it."""
    wanted = {**as_seen(attempt.was, attempt.was), **tests(values)}
    hits = {
        row: sum(fits(record.get(key, "")) for key, fits in wanted.items()) for row, record in page.records()
    }
    return max(hits, key=lambda row: (hits[row], row == attempt.row), default=attempt.row)
