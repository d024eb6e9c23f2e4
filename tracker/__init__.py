"""Soundness Ledger: a lame horse's record, read from a plain workbook, checked, derived and watched.

The public names are loaded when they are first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tracker.book import Book, HorseRecord, check_book, open_book, require_records
    from tracker.derive.photo.marking import Marking, read_marking, window_of
    from tracker.derive.photo.seen import Seen
    from tracker.derive.photo.views import front_view, side_view, sole_view
    from tracker.derive.uncertainty import Measure
    from tracker.derive.worsening.days import Diaries
    from tracker.derive.worsening.many import Watched, watch_many
    from tracker.derive.worsening.watch import watch_scores
    from tracker.entry.at_once import urgent_alone
    from tracker.entry.beside import lines_beside
    from tracker.entry.enter import enter, may_enter
    from tracker.entry.form import Field, form_of
    from tracker.entry.look import Look, look_over
    from tracker.entry.marked import enter_marking
    from tracker.entry.marking import markings_of
    from tracker.entry.pending import Entered, Pending, pending, write_pending
    from tracker.entry.undo import TakenBack, undo
    from tracker.entry.usual import form_defaults, horses_of
    from tracker.photos.folder import find_photo, photos_of
    from tracker.photos.keep import KeptPhoto, keep_photo
    from tracker.photos.levelled import levelled_photo
    from tracker.photos.look import Photo, look_at_photo, shown_photo
    from tracker.problem import NotWritten, Problem, Unreadable
    from tracker.show.calendar.save import calendar_bytes
    from tracker.show.export.save import export_book, export_zip
    from tracker.workbook.new.blank import write_blank

__all__ = [
    "Book",
    "Diaries",
    "Entered",
    "Field",
    "HorseRecord",
    "KeptPhoto",
    "Look",
    "Marking",
    "Measure",
    "NotWritten",
    "Pending",
    "Photo",
    "Problem",
    "Seen",
    "TakenBack",
    "Unreadable",
    "Watched",
    "calendar_bytes",
    "check_book",
    "enter",
    "enter_marking",
    "export_book",
    "export_zip",
    "find_photo",
    "form_defaults",
    "form_of",
    "front_view",
    "horses_of",
    "keep_photo",
    "levelled_photo",
    "lines_beside",
    "look_at_photo",
    "look_over",
    "markings_of",
    "may_enter",
    "open_book",
    "pending",
    "photos_of",
    "read_marking",
    "require_records",
    "shown_photo",
    "side_view",
    "sole_view",
    "undo",
    "urgent_alone",
    "watch_many",
    "watch_scores",
    "window_of",
    "write_blank",
    "write_pending",
]

_HOME = {
    "Book": "tracker.book",
    "Diaries": "tracker.derive.worsening.days",
    "Entered": "tracker.entry.pending",
    "Field": "tracker.entry.form",
    "HorseRecord": "tracker.book",
    "KeptPhoto": "tracker.photos.keep",
    "Look": "tracker.entry.look",
    "Marking": "tracker.derive.photo.marking",
    "Measure": "tracker.derive.uncertainty",
    "NotWritten": "tracker.problem",
    "Pending": "tracker.entry.pending",
    "Photo": "tracker.photos.look",
    "Problem": "tracker.problem",
    "Seen": "tracker.derive.photo.seen",
    "TakenBack": "tracker.entry.undo",
    "Unreadable": "tracker.problem",
    "Watched": "tracker.derive.worsening.many",
    "calendar_bytes": "tracker.show.calendar.save",
    "check_book": "tracker.book",
    "enter": "tracker.entry.enter",
    "enter_marking": "tracker.entry.marked",
    "export_book": "tracker.show.export.save",
    "export_zip": "tracker.show.export.save",
    "find_photo": "tracker.photos.folder",
    "form_defaults": "tracker.entry.usual",
    "form_of": "tracker.entry.form",
    "front_view": "tracker.derive.photo.views",
    "horses_of": "tracker.entry.usual",
    "keep_photo": "tracker.photos.keep",
    "levelled_photo": "tracker.photos.levelled",
    "lines_beside": "tracker.entry.beside",
    "look_at_photo": "tracker.photos.look",
    "look_over": "tracker.entry.look",
    "markings_of": "tracker.entry.marking",
    "may_enter": "tracker.entry.enter",
    "open_book": "tracker.book",
    "pending": "tracker.entry.pending",
    "photos_of": "tracker.photos.folder",
    "read_marking": "tracker.derive.photo.marking",
    "require_records": "tracker.book",
    "shown_photo": "tracker.photos.look",
    "side_view": "tracker.derive.photo.views",
    "sole_view": "tracker.derive.photo.views",
    "undo": "tracker.entry.undo",
    "urgent_alone": "tracker.entry.at_once",
    "watch_many": "tracker.derive.worsening.many",
    "watch_scores": "tracker.derive.worsening.watch",
    "window_of": "tracker.derive.photo.marking",
    "write_blank": "tracker.workbook.new.blank",
    "write_pending": "tracker.entry.pending",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(_HOME[name]), name)
