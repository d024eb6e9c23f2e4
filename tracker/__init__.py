"""Soundness Ledger: a lame horse's record, read from a plain workbook, checked, derived and watched.

The public names are loaded when they are first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tracker.book import Book, HorseRecord, check_book, open_book, require_records
    from tracker.problem import Problem, Unreadable
    from tracker.workbook.blank import write_blank

__all__ = [
    "Book",
    "HorseRecord",
    "Problem",
    "Unreadable",
    "check_book",
    "open_book",
    "require_records",
    "write_blank",
]

_HOME = {
    "Book": "tracker.book",
    "HorseRecord": "tracker.book",
    "Problem": "tracker.problem",
    "Unreadable": "tracker.problem",
    "check_book": "tracker.book",
    "open_book": "tracker.book",
    "require_records": "tracker.book",
    "write_blank": "tracker.workbook.blank",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(_HOME[name]), name)
