"""Entries on their way into a workbook on the disk: exact cells, read again by openpyxl, and what is kept beside it."""

from __future__ import annotations

import datetime as dt
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest
from entries import HORSE, NOTE, NOW, TODAY, barn, cell, found, journal_lines, open_elsewhere, owner_saves
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tracker.book import check_book, open_book
from tracker.entry import pending as pending_room
from tracker.entry.enter import enter, may_enter
from tracker.entry.page import page_of
from tracker.entry.pending import Entered, pending, write_pending
from tracker.problem import NotWritten, Unreadable
from tracker.sheets import SHEETS, SOUNDNESS, VISITS, Sheet
from tracker.workbook.change import save
from tracker.workbook.new.blank import write_blank, write_workbook
from tracker.workbook.read import read_workbook

ROOT = Path(__file__).parents[1]
OPEN = (
    "barn.xlsx is open in another program: close it there, then try again; if it is open nowhere, delete the "
    "file .~lock.barn.xlsx# that lies beside it."
)


def note(file: Path, **typed: str) -> Entered:
    return enter(file, "Soundness", {"limb": "RF", "score": "3/5", **typed}, today=TODAY, now=NOW)


def test_a_note_stands_in_the_cells_that_are_named(tmp_path: Path) -> None:
    file = barn(tmp_path)
    entered = note(file, remarks="stony yard")
    assert (entered.state, entered.sheet, entered.row) == ("in the workbook", "Soundness", 3)
    assert entered.cells == {
        "Date": "Soundness!A3", "Limb": "Soundness!G3", "Score": "Soundness!I3", "Written": "Soundness!R3",
        "Remarks": "Soundness!S3",
    }  # fmt: skip
    assert {heading: cell(file, place) for heading, place in entered.cells.items()} == {
        "Date": dt.datetime(2026, 6, 30), "Limb": "RF", "Score": "3/5", "Written": dt.datetime(2026, 6, 30, 19, 5, 42),
        "Remarks": "stony yard",
    }  # fmt: skip
    assert found(file)[0] == NOTE
    assert journal_lines(file) == 0


def test_an_entry_with_an_error_leaves_no_trace(tmp_path: Path) -> None:
    file = barn(tmp_path)
    before = file.read_bytes()
    entered = note(file, date="31 Feb 2026")
    assert (entered.state, entered.cells) == ("refused", {})
    assert [problem.kind for problem in entered.problems] == ["date-no-such-day"]
    assert (file.read_bytes(), journal_lines(file)) == (before, 0)


EVERY: dict[str, dict[str, str]] = {
    "Horses": {"Horse": "Moss", "Born": "2015", "Trim every": "6"},
    "Soundness": {"Score": "2/5", "Horse": "Bramble"},
    "Visits": {"Date": "30 Jun 2026", "Name": "Kim", "Next due": "11 Aug 2026"},
    "Abscesses": {"Foot": "LF", "First seen": "29 Jun 2026", "Where": "toe"},
    "Hooves": {"Date": "30.6.2026", "Foot": "RF", "Toe angle": "52", "Toe length": "3 1/2 in"},
    "Photo points": {"Photo": "a.jpg", "Date": "30 Jun 2026", "Foot": "LF", "View": "side", "Point": "toe",
                     "X": "10", "Y": "20.5"},
    "Pain relief": {"Product": "invented", "First given": "30 Jun 2026 8:15"},
    "Work": {"What": "turnout", "Minutes": "90"},
    "Plan": {"Step": "1", "From": "1 Jul 2026", "Minutes a day": "10"},
    "Changes": {"Kind": "feed", "What": "hay"},
    "Body": {"Temperature": "37.9", "Weight": "1,100 lb"},
    "Follow-up": {"Warning": "lame-at-walk", "Quiet until": "3 Jul 2026"},
    "Limits": {"Warning": "temperature-above-38-9", "Limit": "38.5 °C"},
}  # fmt: skip


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_every_sheet_takes_an_entry(tmp_path: Path, sheet: Sheet) -> None:
    file = tmp_path / "barn.xlsx"
    write_blank(file)
    entered = enter(file, sheet.name, EVERY[sheet.name], today=TODAY, now=NOW)
    assert (entered.state, entered.row) == ("in the workbook", 2)
    (record,) = found(file, sheet.name)
    assert {heading.removesuffix(" (weeks)") for heading in record} == set(entered.cells)
    for heading, place in entered.cells.items():
        assert place.startswith(f"{sheet.name}!")
        value, typed = cell(file, place), EVERY[sheet.name].get(heading, "")
        if not isinstance(value, dt.datetime):
            assert str(value) == typed
    page = page_of(read_workbook(file), sheet)
    assert set(page.record(2)) == {sheet_key for sheet_key in page.record(2) if sheet_key in sheet.by_key}


def test_a_missing_sheet_is_added_with_its_headings(tmp_path: Path) -> None:
    file = barn(tmp_path)
    refused = enter(file, "Visits", EVERY["Visits"], now=NOW)
    assert [problem.kind for problem in refused.problems] == ["entry-no-sheet"]
    entered = enter(file, "Visits", EVERY["Visits"], add_sheet=True, now=NOW)
    assert entered.cells == {"Date": "Visits!A2", "Name": "Visits!C2", "Next due": "Visits!I2"}
    titles = [cell.value for cell in openpyxl.load_workbook(file)["Visits"][1]]
    assert titles == [column.heading for column in VISITS.columns]


def lean(folder: Path) -> Path:
    """The owner's own sheet, with fewer columns and one of their own."""
    file = folder / "barn.xlsx"
    write_workbook(
        file, {"Horses": [HORSE], "Soundness": [{"Date": "28 Jun 2026", "Score": "2/5", "Weather": "rain"}]},
        headings={"Soundness": ["Date", "Score", "Remarks", "Weather"]}, first_sheet=False,
    )  # fmt: skip
    return file


def test_a_missing_column_is_added_right_of_the_others(tmp_path: Path) -> None:
    file = lean(tmp_path)
    typed = {"Score": "3/5", "Limb": "RF", "Gait": "trot"}
    assert enter(file, "Soundness", typed, now=NOW).state == "refused"
    entered = enter(file, "Soundness", typed, add_column=True, today=TODAY, now=NOW)
    assert entered.cells == {
        "Date": "Soundness!A3", "Score": "Soundness!B3", "Gait": "Soundness!E3", "Limb": "Soundness!F3"
    }  # fmt: skip
    assert found(file) == [
        {"Date": "28 Jun 2026", "Score": "2/5", "Weather": "rain"},
        {"Date": dt.datetime(2026, 6, 30), "Score": "3/5", "Gait": "trot", "Limb": "RF"},
    ]


def test_or_it_goes_into_remarks(tmp_path: Path) -> None:
    file = lean(tmp_path)
    entered = enter(file, "Soundness", {"Score": "3/5", "Limb": "RF"}, to_remarks=True, today=TODAY, now=NOW)
    assert cell(file, entered.cells["Remarks"]) == "Limb: RF"


def test_a_record_is_changed_and_nothing_else(tmp_path: Path) -> None:
    abscess: dict[str, object] = {"Foot": "LF", "First seen": "20 Jun 2026", "Remarks": "poultice"}
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[abscess])
    entered = enter(file, "Abscesses", {"Opened": "22 Jun 2026", "Remarks": ""}, row=2, now=NOW)
    assert (entered.row, entered.cells) == (2, {"Opened": "Abscesses!E2", "Remarks": "Abscesses!J2"})
    assert found(file, "Abscesses") == [
        {"Foot": "LF", "First seen": "20 Jun 2026", "Opened": dt.datetime(2026, 6, 22)}
    ]


def test_what_stands_there_already_may_be_written_again(tmp_path: Path) -> None:
    abscess: dict[str, object] = {"Foot": "LF", "First seen": "20 Jun 2026", "Care given": "poultice"}
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[abscess, abscess])
    assert enter(file, "Abscesses", {"Care given": "poultice"}, row=2, now=NOW).state == "in the workbook"
    assert found(file, "Abscesses") == [abscess, abscess]


def test_a_record_that_is_not_as_it_was_shown_is_left_alone(tmp_path: Path) -> None:
    abscess: dict[str, object] = {"Foot": "LF", "First seen": "20 Jun 2026"}
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[abscess])
    seen = {"Foot": "RF", "First seen": "20 Jun 2026"}
    with pytest.raises(NotWritten) as refusal:
        enter(file, "Abscesses", {"Opened": "22 Jun 2026"}, row=2, seen=seen, now=NOW)
    assert refusal.value.problem.kind == "write-row-changed"
    assert (found(file, "Abscesses"), journal_lines(file)) == ([abscess], 0)
    done = enter(file, "Abscesses", {"Opened": "22 Jun 2026"}, row=2, seen={**seen, "Foot": "LF"}, now=NOW)
    assert done.state == "in the workbook"


@pytest.mark.parametrize("meanwhile", [{"Opened": "21 Jun 2026"}, {"Remarks": "opened by the vet"}])
def test_a_cell_that_was_blank_when_shown_and_is_filled_by_now_is_not_overwritten(
    tmp_path: Path, meanwhile: dict[str, object]
) -> None:
    seen = {"Foot": "LF", "First seen": "20 Jun 2026"}
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[{**seen, **meanwhile}])
    before = file.read_bytes()
    with pytest.raises(NotWritten) as refusal:
        enter(file, "Abscesses", {"Opened": "22 Jun 2026"}, row=2, seen=seen, now=NOW)
    assert (refusal.value.problem.kind, file.read_bytes()) == ("write-row-changed", before)


def test_an_entry_waits_while_the_workbook_is_open_elsewhere(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock, before = open_elsewhere(file), file.read_bytes()
    kept = note(file)
    assert (kept.state, kept.cells, kept.reason) == ("kept", {}, OPEN)
    assert file.read_bytes() == before
    waiting = pending(file)
    assert [(entry.sheet, dict(entry.values), entry.reason) for entry in waiting.entries] == [
        (
            "Soundness",
            {"Date": TODAY, "Limb": "RF", "Score": "3/5", "Written": NOW},
            OPEN,
        )
    ]
    assert waiting.journal == tmp_path / "barn.xlsx.pending.jsonl"
    assert [each.state for each in write_pending(file)] == ["kept"]
    lock.unlink()
    (written,) = write_pending(file)
    assert (written.state, written.row) == ("in the workbook", 3)
    assert (len(found(file)), pending(file).entries, journal_lines(file)) == (2, (), 0)
    assert write_pending(file) == ()


def test_entries_that_wait_go_in_before_a_new_one_and_in_their_order(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    assert [note(file, remarks=word).state for word in ("one", "two")] == ["kept", "kept"]
    lock.unlink()
    assert note(file, remarks="three").row == 5
    assert [record.get("Remarks") for record in found(file)] == [None, "one", "two", "three"]


def test_a_change_that_waits_finds_its_record_where_the_owner_has_moved_it(tmp_path: Path) -> None:
    abscesses: list[dict[str, object]] = [
        {"Foot": "RH", "First seen": "1 May 2026"}, {"Foot": "LF", "First seen": "20 Jun 2026"}
    ]  # fmt: skip
    file = barn(tmp_path, Horses=[HORSE], Abscesses=abscesses)
    lock = open_elsewhere(file)
    assert enter(file, "Abscesses", {"Opened": "22 Jun 2026"}, row=3, now=NOW).state == "kept"
    book = openpyxl.load_workbook(file)
    book["Abscesses"].insert_rows(2)
    book["Abscesses"]["B2"], book["Abscesses"]["C2"] = "LH", "2 Apr 2026"
    book.save(file)
    lock.unlink()
    assert [each.cells for each in write_pending(file)] == [{"Opened": "Abscesses!E4"}]
    assert found(file, "Abscesses")[2] == {**abscesses[1], "Opened": dt.datetime(2026, 6, 22)}


def test_a_change_to_a_record_that_was_changed_meanwhile_waits_and_says_so(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE], Abscesses=[{"Foot": "LF", "First seen": "20 Jun 2026"}])
    lock = open_elsewhere(file)
    enter(file, "Abscesses", {"Opened": "22 Jun 2026"}, row=2, now=NOW)
    owner_saves(file, "Abscesses!B2", "RF")
    lock.unlink()
    (kept,) = write_pending(file)
    assert (kept.state, kept.reason.split(":")[0]) == (
        "kept", "The record that stood in row 2 of the sheet Abscesses has been changed since"
    )  # fmt: skip
    assert note_again(file).state == "in the workbook"
    assert len(pending(file).entries) == 1


def note_again(file: Path) -> Entered:
    return enter(file, "Abscesses", {"Foot": "LH", "First seen": "28 Jun 2026"}, now=NOW)


def test_an_entry_waits_while_its_column_is_gone(tmp_path: Path) -> None:
    file = barn(tmp_path)
    lock = open_elsewhere(file)
    note(file)
    owner_saves(file, "Soundness!G1", "Leg of it")
    lock.unlink()
    assert [each.reason for each in write_pending(file)] == [
        "The sheet Soundness has no column Limb any more: give it a column of that heading, then try again."
    ]
    owner_saves(file, "Soundness!G1", "Limb")
    assert [each.row for each in write_pending(file)] == [3]


def test_an_entry_waits_while_another_window_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = barn(tmp_path)
    monkeypatch.setattr(save, "PATIENCE", 0.05)
    with save.lock(file):
        kept = note(file)
        assert (kept.state, kept.reason) == (
            "kept", "barn.xlsx is just being written by another window of this program: wait a moment, then try again."
        )  # fmt: skip
    assert [each.row for each in write_pending(file)] == [3]


def test_a_link_to_the_workbook_stays_a_link(tmp_path: Path) -> None:
    file = barn(tmp_path)
    link = tmp_path / "link.xlsx"
    link.symlink_to(file)
    assert note(link).row == 3
    assert link.is_symlink()
    assert len(found(file)) == 2


@pytest.mark.parametrize(
    "typed",
    [
        {"Score": "2"},
        {"Score": "2-3", "Gait": "trott", "Limb": "tail", "Horse": "Brambel"},
        {"Score": "2.3/5", "Limb": "LF", "Signs": "off feeed", "Pulse LF": "5"},
        {"Date": "1 Jan 2030", "Score": "4/5", "Signs": "won't move, grumpy"},
        {"Score": "5/5", "Pulse LF": "2", "Pulse RF": "3", "Limb": "both fronts"},
        {"Signs": "hole in foot", "Than last time": "worse", "Warm": "all", "Boots": "yes"},
    ],
)
def test_the_verdict_on_an_entry_is_the_one_on_the_workbook_that_holds_it(
    tmp_path: Path, typed: dict[str, str]
) -> None:
    file = barn(tmp_path)
    entered = enter(file, "Soundness", typed, today=TODAY, now=NOW)
    assert entered.state == "in the workbook"
    book = open_book(file, on=TODAY)
    in_row = [
        problem for problem in check_book(file, today=TODAY).problems if (problem.cell or "").endswith("3")
    ]
    assert [(p.kind, p.column, p.allowed) for p in in_row] == [
        (p.kind, p.column, p.allowed) for p in entered.problems
    ]
    assert [w.rule for w in book.horses[0].warnings if any(c.endswith("3") for c in w.cells)] == [
        w.rule for w in entered.warnings
    ]


def test_what_can_only_be_read_is_refused_before_the_first_question(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    folder.mkdir()
    (folder / "Soundness.csv").write_text("Date,Score\n2026-06-28,2/5\n")
    with pytest.raises(NotWritten) as refusal:
        may_enter(folder)
    assert refusal.value.problem.kind == "write-other-format"
    with pytest.raises(NotWritten):
        enter(folder, "Soundness", {"Score": "2"})
    with pytest.raises(Unreadable):
        may_enter(tmp_path / "none.xlsx")
    assert may_enter(barn(tmp_path)) is None  # type: ignore[func-returns-value]
    assert not list(tmp_path.glob("*.jsonl"))


def test_a_new_record_never_touches_a_second_table_below(tmp_path: Path) -> None:
    file = barn(tmp_path)
    book = openpyxl.load_workbook(file)
    for place, text in {"A5": "Date", "B5": "Paid", "A6": "1 Jun 2026", "B6": "40"}.items():
        book["Soundness"][place] = text
    book.save(file)
    assert note(file).row == 3
    kept = note(file)
    assert (kept.state, kept.reason) == (
        "kept", "On the sheet Soundness something stands in the way at A5: another table stands there: make room "
        "there in your spreadsheet program, then try again.",
    )  # fmt: skip
    assert [cell(file, f"Soundness!A{row}") for row in (4, 5, 6)] == [None, "Date", "1 Jun 2026"]


def test_a_row_of_totals_keeps_the_entry_waiting(tmp_path: Path) -> None:
    file = barn(tmp_path)
    owner_saves(file, "Soundness!A5", "Total")
    kept = note(file)
    assert (kept.state, kept.reason) == (
        "kept", "A row of totals stands below the records of the sheet Soundness, at A5: move it above the headings "
        "or to a sheet of its own, then try again.",
    )  # fmt: skip


def test_a_journal_that_cannot_be_written_says_that_nothing_was_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path)
    before = file.read_bytes()

    def read_only(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(pending_room, "append", read_only)
    with pytest.raises(NotWritten) as refusal:
        note(file)
    assert str(refusal.value) == (
        "barn.xlsx was not changed, and the entry could not be kept beside it either (Permission denied), so "
        "nothing was kept: look at the folder and the disk, then enter it again."
    )
    assert (file.read_bytes(), journal_lines(file)) == (before, 0)


def test_two_windows_that_enter_at_once_lose_and_double_nothing(tmp_path: Path) -> None:
    file = barn(tmp_path)
    code = (
        "import sys\nfrom tracker import enter\n"
        "for number in range(6):\n"
        "    enter(sys.argv[1], 'Soundness', {'score': '2/5', 'remarks': f'{sys.argv[2]} {number}'})\n"
    )
    windows = [
        subprocess.Popen([sys.executable, "-c", code, str(file), name], cwd=ROOT)
        for name in ("left", "right")
    ]
    assert [window.wait(120) for window in windows] == [0, 0]
    remarks = [record["Remarks"] for record in found(file)[1:]]
    assert sorted(remarks) == sorted(f"{name} {number}" for name in ("left", "right") for number in range(6))  # type: ignore[type-var]
    assert [word for word in remarks if str(word).startswith("left")] == [
        f"left {number}" for number in range(6)
    ]
    assert (pending(file).entries, journal_lines(file)) == ((), 0)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    text=st.one_of(
        st.text(min_size=1, max_size=40), st.from_regex(r"-?\d{1,6}([.,/-]\d{1,4})?", fullmatch=True)
    )
)
def test_any_text_that_is_taken_comes_back_as_it_was_typed(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    file = barn(tmp_path_factory.mktemp("any"))
    entered = enter(
        file, "Soundness", {"Score": "2/5", "Remarks": text, "Seen by": text}, today=TODAY, now=NOW
    )
    assert entered.state == "in the workbook"
    for heading in ("Remarks", "Seen by") if text.strip() else ():
        ref = entered.cells[heading].rpartition("!")[2]
        rows = page_of(read_workbook(file), SOUNDNESS).rows
        value = rows[2][ord(ref[0]) - ord("A")]
        assert value == text or (isinstance(value, float) and value == float(text)), (value, text)
