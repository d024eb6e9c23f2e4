"""The forms: every declared column has its field, in the order in which a person fills it in; what is filled in already."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from entries import HORSE, barn

from tracker.book import open_book
from tracker.entry.form import form_of, key_of, sheet_named
from tracker.entry.usual import form_defaults, horses_of
from tracker.sheets import SHEETS, SOUNDNESS, Sheet

ON = dt.date(2026, 6, 30)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_every_column_is_asked_but_what_the_program_fills_in(sheet: Sheet) -> None:
    asked = [field.heading for field in form_of(sheet.name)]
    declared = [column.heading for column in sheet.columns]
    assert sorted([*asked, *(["Written"] if sheet is SOUNDNESS else [])]) == sorted(declared)
    assert len(set(asked)) == len(asked)


def test_the_daily_note_asks_first_what_is_seen_every_day() -> None:
    fields = form_of("Soundness")
    assert [field.heading for field in fields if field.at_once] == [
        "Date", "Horse", "Limb", "Score", "Than last time", "Signs", "Gait", "Ground", "Remarks",
    ]  # fmt: skip
    assert [field.heading for field in fields if not field.at_once] == [
        "Seen by", "Line", "Scale", "Pulse LF", "Pulse RF", "Pulse LH", "Pulse RH", "Warm", "Boots",
    ]  # fmt: skip
    assert [field.at_once for field in fields] == [True] * 9 + [False] * 9


def test_other_sheets_are_asked_as_they_are_declared_and_all_at_once() -> None:
    fields = form_of("abscesses")
    assert [field.heading for field in fields][:3] == ["Horse", "Foot", "First seen"]
    assert all(field.at_once for field in fields)
    assert [field.heading for field in fields if field.required] == ["Foot", "First seen"]


@pytest.mark.parametrize(
    ("sheet", "heading", "kind", "unit"),
    [
        ("Soundness", "Date", "day", ""),
        ("Pain relief", "First given", "moment", ""),
        ("Soundness", "Horse", "horse", ""),
        ("Soundness", "Gait", "one of", ""),
        ("Abscesses", "Foot", "one of", ""),
        ("Soundness", "Limb", "several of", ""),
        ("Soundness", "Signs", "several of", ""),
        ("Soundness", "Boots", "several of", ""),
        ("Soundness", "Score", "grade", ""),
        ("Soundness", "Pulse LF", "pulse", ""),
        ("Soundness", "Seen by", "words", ""),
        ("Horses", "Born", "words", ""),
        ("Soundness", "Remarks", "long words", ""),
        ("Visits", "Findings", "long words", ""),
        ("Hooves", "Toe length", "length", "mm"),
        ("Hooves", "Toe angle", "number", "°"),
        ("Hooves", "Checked on the live horse", "yes/no", ""),
        ("Body", "Weight", "number", "kg"),
        ("Work", "Minutes", "number", "minutes"),
    ],
)
def test_a_field_says_how_it_is_asked(sheet: str, heading: str, kind: str, unit: str) -> None:
    (field,) = [field for field in form_of(sheet) if field.heading == heading]
    column = sheet_named(sheet).by_key[key_of(heading)]
    assert (field.kind, field.unit) == (kind, unit)
    assert (field.key, field.hint, field.choices) == (column.key, column.hint, column.choices)


def test_a_sheet_that_is_not_declared_is_a_mistake_of_the_program() -> None:
    with pytest.raises(KeyError):
        form_of("Accounts")


NOTES: list[dict[str, object]] = [
    {"Date": "27 Jun 2026", "Horse": "Bramble", "Seen by": "vet", "Gait": "walk", "Ground": "soft",
     "Line": "circle left", "Scale": "0-10", "Limb": "RF", "Score": "3", "Signs": "off feed"},
    {"Date": "26 Jun 2026", "Horse": "Bramble", "Seen by": "owner", "Gait": "trot", "Ground": "hard", "Score": "1/5"},
]  # fmt: skip


def test_how_one_looked_last_time_is_filled_in_and_what_was_seen_never_is(tmp_path: Path) -> None:
    book = open_book(barn(tmp_path, Horses=[HORSE], Soundness=NOTES), on=ON)
    assert form_defaults(book, "Soundness") == {
        "date": "2026-06-30", "horse": "Bramble", "seen_by": "vet", "gait": "walk", "ground": "soft",
        "line": "circle left", "scale": "0-10",
    }  # fmt: skip
    assert form_defaults(book, "Soundness", by="Owner") == {
        "date": "2026-06-30", "horse": "Bramble", "seen_by": "owner", "gait": "trot", "ground": "hard",
        "scale": "0-5",
    }  # fmt: skip


def test_without_a_note_the_usual_check_is_filled_in(tmp_path: Path) -> None:
    horse = {**HORSE, "Usual check": "trot, hard, straight"}
    book = open_book(barn(tmp_path, Horses=[horse], Soundness=[]), on=ON)
    assert form_defaults(book, "Soundness", today=dt.date(2026, 7, 1)) == {
        "date": "2026-07-01", "horse": "Bramble", "gait": "trot", "ground": "hard", "line": "straight",
        "scale": "0-5",
    }  # fmt: skip


def test_of_several_horses_none_is_chosen_unasked(tmp_path: Path) -> None:
    horses: list[dict[str, object]] = [HORSE, {"Horse": "Moss", "Usual scale": "0-10"}]
    book = open_book(barn(tmp_path, Horses=horses, Soundness=NOTES), on=ON)
    assert horses_of(book) == ("Bramble", "Moss")
    assert form_defaults(book, "Soundness") == {"date": "2026-06-30"}
    assert form_defaults(book, "Soundness", horse="moss") == {
        "date": "2026-06-30", "horse": "moss", "scale": "0-10"
    }  # fmt: skip


def test_a_workbook_that_names_no_horse_fills_none_in(tmp_path: Path) -> None:
    note: dict[str, object] = {"Date": "27 Jun 2026", "Score": "2/5"}
    book = open_book(barn(tmp_path, Soundness=[note]), on=ON)
    assert form_defaults(book, "Soundness") == {"date": "2026-06-30", "scale": "0-5"}


def test_the_horse_sheet_is_filled_with_nothing(tmp_path: Path) -> None:
    book = open_book(barn(tmp_path, Horses=[HORSE], Soundness=NOTES), on=ON)
    assert form_defaults(book, "Horses") == {}
