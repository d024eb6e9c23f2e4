"""The warnings of one horse on any day, from the tables alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace

import pandas as pd

from tracker.derive.abscess import episodes
from tracker.derive.referral.facts import Facts, gather
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.rules import fire
from tracker.derive.relief import courses
from tracker.derive.shoes import shoes_off
from tracker.derive.trims import trims
from tracker.sheets import ABSCESSES, HORSES, PAIN_RELIEF, SOUNDNESS, VISITS
from tracker.table import Table

Tables = Mapping[str, Table]


def firings_on(tables: Tables, horse: str, day: dt.date, today: dt.date) -> list[Firing]:
    """What fires on that day, by what is recorded now; the rules that need what was worked out before find nothing."""
    return fire(facts_on(tables, horse, day, today))


def facts_on(tables: Tables, horse: str, day: dt.date, today: dt.date) -> Facts:
    """What the rules look at on that day, without what was worked out before."""
    return gather(
        horse,
        day,
        tables,
        episodes(tables[ABSCESSES.name], day),
        courses(tables[PAIN_RELIEF.name], day),
        trims(tables[VISITS.name], day),
        shoes_off(tables[HORSES.name]).get(horse, {}),
        today,
    )


def notes_near(tables: Tables, day: dt.date, back: dt.timedelta) -> dict[str, Table]:
    """The tables with the notes of that day and of the span before it only, beside those without a day."""
    notes = tables[SOUNDNESS.name]
    dates = notes.frame["date"]
    near = dates.isna() | dates.between(pd.Timestamp(day - back), pd.Timestamp(day) + pd.Timedelta(days=1))
    return {**tables, SOUNDNESS.name: replace(notes, frame=notes.frame[near])}
