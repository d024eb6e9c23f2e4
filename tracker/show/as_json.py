"""A book, and the problems of a workbook, as plain data for JSON.

Units are UCUM codes: mm, deg, % and 1 (a ratio). Dates are ISO 8601.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from tracker.book import Book, Changes, HorseRecord
from tracker.derive.change import Change
from tracker.derive.hooves import HoofRecord
from tracker.derive.shoes import days_since
from tracker.derive.soundness import Series
from tracker.problem import DOUBT, ERROR, Problem
from tracker.show.abscesses_json import abscess_rate_data, abscesses_data
from tracker.show.answers import answer_data, firing_data
from tracker.show.body_json import body_data
from tracker.show.growth_json import growth_data
from tracker.show.progress_json import progress_data
from tracker.show.shapes import count
from tracker.show.trimming_json import trims_data
from tracker.show.work_json import changes_data, work_data
from tracker.show.worsening_text import worsening_data
from tracker.terms import PAIRS

Data = dict[str, Any]


def check_data(workbook: str, problems: Iterable[Problem], rows: Mapping[str, tuple[int, int]]) -> Data:
    """What `soundness check --json` prints."""
    return {
        "workbook": workbook,
        "problems": [asdict(problem) for problem in problems],
        "rows": {sheet: {"read": read, "set_aside": aside} for sheet, (read, aside) in rows.items()},
    }


def review_data(book: Book, horses: Iterable[HorseRecord] | None = None) -> Data:
    """What `soundness review --json` prints, for all horses or for those given."""
    return {
        "workbook": book.path.name,
        "as_of": book.as_of.isoformat(),
        "problems": {severity: count(book.problems, severity) for severity in (ERROR, DOUBT)},
        "horses": [_horse(horse, book.as_of) for horse in (book.horses if horses is None else horses)],
    }


def _iso(day: dt.date | None) -> str | None:
    return day.isoformat() if day else None


def _horse(horse: HorseRecord, as_of: dt.date) -> Data:
    return {
        "name": horse.name,
        "days_since_shoes_off": {pair: days_since(horse.shoes_off.get(pair), as_of) for pair in PAIRS},
        "soundness": [_series(series) for series in horse.series],
        "worsening": worsening_data(horse),
        "progress": progress_data(horse.progress),
        "hooves": [_hoof(record, changed) for record, changed in horse.feet],
        "growth": growth_data(horse.growth),
        "trims": trims_data(horse.trimming),
        "abscesses": abscesses_data(horse.abscesses),
        "abscess_rate": abscess_rate_data(horse.abscesses),
        "body": body_data(horse.body),
        "work": work_data(horse.work),
        "changes": changes_data(horse.work),
        "warnings": [
            {
                "rule": firing.rule,
                "urgency": firing.urgency,
                "since": _iso(firing.since),
                "because": firing.because,
                "cells": list(firing.cells),
                "source": f"{firing.source} ({firing.sure})",
                **firing_data(firing),
            }
            for firing in horse.warnings
        ],
        "answers": [answer_data(answer) for answer in horse.answers],
    }


def _series(series: Series) -> Data:
    last = series.points[-1]
    return {
        "scale": series.scale,
        "gait": series.gait,
        "ground": series.ground,
        "line": series.line,
        "limb": series.limb,
        "scores": len(series.points),
        "masked": sum(point.masked for point in series.points),
        "last": {"date": _iso(last.date), "score": last.score},
    }


def _hoof(record: HoofRecord, changed: Changes) -> Data:
    return {
        "foot": record.foot,
        "date": _iso(record.date),
        "stage": record.stage,
        "measures": {
            name: {"value": _round(found.value), "sd": _round(found.sd), "unit": found.unit, "how": found.how}
            for name, found in record.measures.items()
        },
        "changes": {
            name: {since: _change(found) for since, found in own.items()} for name, own in changed.items()
        },
    }


def _change(found: Change) -> Data:
    return {
        "since": _iso(found.since),
        "value": _round(found.value),
        "sd": _round(found.sd),
        "unit": found.unit,
        "detectable": _round(found.detectable),
        "beyond_error": found.beyond_error,
    }


def _round(value: float) -> float:
    return round(value, 6)
