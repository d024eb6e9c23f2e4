"""Events as an iCalendar file (RFC 5545), so that a program that is given it again brings its own up to date.

All days are dates without a time, so no time zone can move them. `DTSTAMP` is midnight of the record's day, so that
the same book gives the same bytes on the same day. `SEQUENCE` (3.8.7.4: it only grows) counts the days to the
record's day; where an older calendar of ours is there, an event that has not changed keeps what it had.
An event of that older calendar that the record no longer has is given once more as cancelled, for a year after its
day: a program that takes a calendar in does not miss what is not there. The words say so too, for those that do
not heed STATUS.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from typing import Any

from icalendar import Calendar
from icalendar import Event as Entry

from tracker.show.calendar.events import Event

PRODID = "-//Soundness Ledger//soundness calendar//EN"
_COUNTED_FROM = dt.date(2020, 1, 1)
_KEPT_CANCELLED = dt.timedelta(days=365)
_NO_LONGER = "No longer in the record: "
_CANCELLED = "CANCELLED"
_NOT_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")
_HEAD = re.compile(
    rb"\s*BEGIN:VCALENDAR\r?\n(?:(?!BEGIN:)[^\n]*\n)*?PRODID:" + re.escape(PRODID.encode()) + rb"\r?\n"
)


def is_ours(content: bytes) -> bool:
    """Whether this is a calendar that this program wrote."""
    return bool(_HEAD.match(content))


def calendar_file(
    events: Iterable[Event],
    on: dt.date,
    *,
    details: bool = False,
    before: bytes = b"",
    known: frozenset[str] = frozenset(),
) -> bytes:
    """The file as of the day `on`; `details` puts in what was typed beside an event.

    `before` is an older one of ours. Of its events, those that the record still has (their UIDs are `known`) and that
    are not given now, being long over or of another horse, are left as a calendar program has them.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", "Soundness record")
    older = {str(entry["UID"]): entry for entry in _older(before)}
    for event in events:
        calendar.add_component(_entry(event, on, details, older.pop(event.uid, None)))
    for uid, entry in sorted(older.items()):
        if uid not in known and (gone := _gone(entry, on)):
            calendar.add_component(gone)
    return bytes(calendar.to_ical())


def _older(before: bytes) -> Iterator[Any]:
    if is_ours(before):
        try:
            yield from Calendar.from_ical(before).walk("VEVENT")
        except (ValueError, IndexError, KeyError):  # somebody changed it: it is written anew
            return


def _entry(event: Event, on: dt.date, details: bool, older: Any) -> Entry:
    told = "\n".join(part for part in (event.about, event.details if details else "") if part)
    entry = Entry()
    entry.add("uid", event.uid)
    entry.add("dtstart", event.first)
    entry.add("dtend", event.last + dt.timedelta(days=1))
    entry.add("summary", _text(event.title))
    entry.add("description", _text(told))
    entry.add("status", "CONFIRMED")
    entry.add("transp", "TRANSPARENT")
    return _stamped(entry, on, older)


def _gone(older: Any, on: dt.date) -> Entry | None:
    """The same event, cancelled; None once it is long over."""
    if older.decoded("dtend") + _KEPT_CANCELLED < on:
        return None
    entry = Entry()
    summary = str(older["SUMMARY"])
    entry.add("uid", str(older["UID"]))
    entry.add("dtstart", older.decoded("dtstart"))
    entry.add("dtend", older.decoded("dtend"))
    entry.add("summary", summary if summary.startswith(_NO_LONGER) else f"{_NO_LONGER}{summary}")
    entry.add("status", _CANCELLED)
    entry.add("transp", "TRANSPARENT")
    return _stamped(entry, on, older)


def _stamped(entry: Entry, on: dt.date, older: Any) -> Entry:
    """The entry with its times and its number: those of the older one where nothing has changed."""
    now = dt.datetime.combine(on, dt.time(), dt.UTC)
    number, changed = (on - _COUNTED_FROM).days, now
    if older is not None:
        had = int(older.get("SEQUENCE", 0))
        same = all(_said(entry, name) == _said(older, name) for name in _TOLD)
        number = had if same else max(had + 1, number)
        changed = older.decoded("last-modified") if same and "LAST-MODIFIED" in older else now
    entry.add("dtstamp", now)
    entry.add("last-modified", changed)
    entry.add("sequence", max(number, 0))
    return entry


_TOLD = ("DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "STATUS")


def _said(entry: Any, name: str) -> bytes:
    return bytes(entry[name].to_ical()) if name in entry else b""


def _text(text: str) -> str:
    """The text without the signs that no text of a calendar may hold (3.3.11: control signs but for the tab)."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    return _NOT_TEXT.sub("", plain)
