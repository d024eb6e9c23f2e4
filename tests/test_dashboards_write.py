"""The Write page: its forms made from the declared fields, what it sends, and what it is told."""

from __future__ import annotations

import datetime as dt
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from dash.development.base_component import Component

from dashboards import answers, desk
from dashboards.app import make_app, shown
from dashboards.desk import Desk, Sent
from dashboards.fields import MOST_HORSES, Asked, field_block
from dashboards.frame import find_page, waiting
from dashboards.library import Library, Trouble
from dashboards.pages.write import FORMS, layout
from dashboards.post import sent_in
from dashboards.serve import said_at_the_end
from tracker import Field, form_of, open_book, write_blank
from tracker.sheets import SHEETS
from tracker.workbook.new.blank import write_workbook

TODAY = dt.date.today()
ORIGIN = "http://127.0.0.1:8050"
HORSE = {"Horse": "Bramble", "Vet": "Dr Aldous", "Vet phone": "+44 (0)1632 960 001"}
NOTE = {
    "Date": TODAY - dt.timedelta(days=1),
    "Gait": "trot",
    "Ground": "hard",
    "Limb": "LF",
    "Scale": "0-5",
    "Score": 1,
}
TYPED = {"date": TODAY.isoformat(), "limb": "LF", "score": "2", "than_last_time": "worse"}


def workbook(folder: Path, **sheets: list[dict[str, object]]) -> Path:
    file = folder / "barn.xlsx"
    given = sheets or {"Horses": [HORSE], "Soundness": [NOTE]}
    write_workbook(file, {name.replace("_", " "): rows for name, rows in given.items()})
    return file


def desk_of(file: Path) -> Desk:
    return Desk(file, Library(file))


def walk(parts: Any) -> Iterator[Any]:
    if isinstance(parts, list | tuple):
        for part in parts:
            yield from walk(part)
        return
    yield parts
    if isinstance(parts, Component):
        yield from walk(getattr(parts, "children", None))


def text(parts: Any) -> str:
    return " ".join(" ".join(str(part) for part in walk(parts) if isinstance(part, str | int)).split())


def kinds(parts: Any, kind: str) -> list[Any]:
    return [part for part in walk(parts) if type(part).__name__ == kind]


def inputs(parts: Any) -> list[dict[str, Any]]:
    return [part.attributes for part in kinds(parts, "Typed")]


def field(sheet: str, key: str) -> Field:
    return next(found for found in form_of(sheet) if found.key == key)


def soundness(file: Path) -> list[dict[str, Any]]:
    """The records as another program reads them (openpyxl)."""
    rows = list(openpyxl.load_workbook(file)["Soundness"].iter_rows(values_only=True))
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:] if any(row)]


# The form


def test_a_day_still_to_come_is_not_offered_as_today_or_yesterday() -> None:
    assert kinds(field_block(Asked("form", field("Visits", "date"))), "Button")
    assert not kinds(field_block(Asked("form", field("Visits", "next_due"))), "Button")


def test_a_bare_number_is_asked_in_the_unit_that_the_owners_heading_names() -> None:
    block = field_block(Asked("form", field("Body", "weight"), unit="lb"))
    assert text(block).endswith("lb")
    assert text(field_block(Asked("form", field("Body", "weight")))).endswith("kg")


@pytest.mark.parametrize("sheet", [sheet.name for sheet in SHEETS])
def test_every_field_of_every_sheet_has_a_labelled_input(sheet: str) -> None:
    for asked in form_of(sheet):
        block = field_block(Asked("form", asked, horses=("Bramble", "Willow")))
        found = inputs(block)
        assert {given["name"].partition(":")[0] for given in found} == {asked.key}
        ids = [given["id"] for given in found]
        assert len(set(ids)) == len(ids)
        labels = [part.htmlFor for part in kinds(block, "Label") if hasattr(part, "htmlFor")]
        assert text(kinds(block, "Legend")).startswith(asked.heading) or labels == [ids[0]]
        assert asked.heading in text(block)
        known = {part.id for part in walk(block) if hasattr(part, "id")}
        described = [given["aria-describedby"] for given in found if "aria-describedby" in given]
        described += [part.to_plotly_json()["props"]["aria-describedby"] for part in kinds(block, "Fieldset")]
        assert {each for told in described for each in told.split()} <= known


def test_the_grade_has_whole_grades_to_five_those_to_ten_apart_and_a_half() -> None:
    block = field_block(Asked("form", field("Soundness", "score")))
    labels = kinds(block, "Label")
    grades = {text(label): label.className for label in labels}
    assert list(grades) == ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "+ ½"]
    assert [grade for grade, look in grades.items() if "beyond" in look] == ["6", "7", "8", "9", "10"]
    assert inputs(labels[-1])[0]["data-part"] == "half"


def test_limbs_stand_in_their_places_fronts_above_hinds() -> None:
    block = field_block(Asked("form", field("Soundness", "limb")))
    assert [given["value"] for given in inputs(block)] == [
        "LF", "RF", "both fronts", "all",
        "LH", "RH", "both hinds", "not sure",
    ]  # fmt: skip
    alone = [given["value"] for given in inputs(block) if given.get("data-alone")]
    assert alone == ["both fronts", "all", "both hinds", "not sure"]


def test_what_is_known_stands_in_the_form() -> None:
    gait = field_block(Asked("form", field("Soundness", "gait"), "walk"))
    assert [given["value"] for given in inputs(gait) if given["defaultChecked"]] == ["walk"]
    signs = field_block(Asked("form", field("Soundness", "signs"), "off feed, won't move"))
    assert {given["value"] for given in inputs(signs) if given["defaultChecked"]} == {
        "off feed",
        "won't move",
    }
    given = inputs(field_block(Asked("form", field("Pain relief", "first_given"), "2026-03-04 19:00")))
    assert [each["defaultValue"] for each in given] == ["2026-03-04", "19:00"]


@pytest.mark.parametrize(
    ("horses", "chosen", "types"),
    [
        (("Bramble",), "Bramble", ["hidden"]),
        (("Bramble", "Willow"), "", ["radio", "radio"]),
        (tuple(map(str, range(MOST_HORSES + 1))), "", ["text"]),
        ((), "", ["text"]),
    ],
)
def test_the_horse_is_chosen_as_simply_as_it_can_be(
    horses: tuple[str, ...], chosen: str, types: list[str]
) -> None:
    block = field_block(Asked("form", field("Soundness", "horse"), chosen, horses))
    assert [given["type"] for given in inputs(block)] == types


# The page


def test_the_note_is_open_at_once_with_the_day_the_horse_and_the_usual_look(tmp_path: Path) -> None:
    page = find_page("/write", open_book(workbook(tmp_path)), narrow=True)
    assert page.title == "Today's note"
    assert page.holds_entry
    given = {each["name"]: each for each in inputs(page.body) if each.get("type") in ("date", "hidden")}
    assert given["date"]["defaultValue"] == TODAY.isoformat()
    assert given["horse"]["defaultValue"] == "Bramble"
    assert "Seen as last time: trot, hard, scale 0-5" in text(page.body)
    chosen = {(each["name"], each["value"]) for each in inputs(page.body) if each.get("defaultChecked")}
    assert chosen == {("gait", "trot"), ("ground", "hard"), ("scale", "0-5")}


def test_nothing_that_was_seen_is_carried_over(tmp_path: Path) -> None:
    seen = NOTE | {"Pulse LF": 3, "Signs": "won't move", "Than last time": "worse", "Remarks": "cold"}
    page = find_page("/write", open_book(workbook(tmp_path, Horses=[HORSE], Soundness=[seen])), narrow=True)
    assert "Seen as last time: trot, hard, scale 0-5" in text(page.body)
    for given in inputs(page.body):
        if given["name"] in ("limb", "score", "pulse_lf", "signs", "than_last_time", "remarks"):
            assert not given.get("defaultChecked")
            assert not given.get("defaultValue")


def test_pulses_are_asked_only_when_wished(tmp_path: Path) -> None:
    page = find_page("/write", open_book(workbook(tmp_path)), narrow=True)
    folded = [fold for fold in kinds(page.body, "Details") if not getattr(fold, "open", None)]
    inside = {given["name"] for given in inputs(folded)}
    assert {"pulse_lf", "pulse_rf", "pulse_lh", "pulse_rh", "warm", "boots"} <= inside
    assert not {"limb", "score", "than_last_time", "signs"} & inside


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.what or "note")
def test_every_form_asks_every_field_of_its_sheet_once(tmp_path: Path, form: Any) -> None:
    page = find_page(f"/write/{form.what}".rstrip("/"), open_book(workbook(tmp_path)), narrow=True)
    asked = [part for part in walk(page.body) if getattr(part, "data-field", None)]
    assert sorted(getattr(part, "data-field") for part in asked) == sorted(f.key for f in form_of(form.sheet))
    assert [getattr(part, "data-sheet") for part in kinds(page.body, "Form")] == [form.sheet]
    ids = [given["id"] for given in inputs(page.body)]
    assert len(set(ids)) == len(ids)


def test_what_goes_on_is_one_tap_away_and_asks_only_how_it_went_on(tmp_path: Path) -> None:
    since = TODAY - dt.timedelta(days=5)
    file = workbook(
        tmp_path,
        Horses=[HORSE],
        Abscesses=[
            {"Foot": "LF", "First seen": since},
            {"Foot": "RH", "First seen": since, "Comfortable again": TODAY},
        ],
        Pain_relief=[{"Product": "phenylbutazone", "First given": since}],
    )
    book = open_book(file)
    page = find_page("/write", book, narrow=True)
    links = [link.href for link in kinds(page.body, "Link") if getattr(link, "className", "") == "open"]
    assert links == ["/write/abscess/2", "/write/relief/2"]
    form = find_page(links[0], book, narrow=True)
    assert {given["name"] for given in inputs(form.body)} == {
        "opened", "opened_at", "comfortable_again", "vet_seen", "care_given",
    }  # fmt: skip
    assert {given["name"] for given in inputs(find_page(links[1], book, narrow=True).body)} == {"last_given"}
    assert find_page("/write/abscess/3", book, narrow=True).title == "There is no such open record"


@pytest.mark.parametrize(
    "address", ["/write/nothing", "/write/visit/2", "/write/abscess/x", "/write/abscess/²", "/writes"]
)
def test_an_address_that_is_none(tmp_path: Path, address: str) -> None:
    assert find_page(address, open_book(workbook(tmp_path)), narrow=True).title == "There is no such page"


def test_a_workbook_that_can_only_be_read_says_so_before_the_first_entry(tmp_path: Path) -> None:
    why = Trouble("It is signed.", "Make a copy.")
    page = layout(open_book(workbook(tmp_path)), "/write", why)
    assert page is not None
    assert page.title == "This workbook can only be read"
    assert "It is signed." in text(page.body)
    assert "To do: Make a copy." in text(page.body)
    assert not kinds(page.body, "Form")


def test_the_desk_tells_by_itself_that_a_strict_workbook_can_only_be_read(tmp_path: Path) -> None:
    """A CSV folder is read, never written."""
    folder = tmp_path / "barn"
    folder.mkdir()
    (folder / "Soundness.csv").write_text("Date,Limb,Scale,Score\n2026-03-04,LF,0-5,1\n", "utf-8")
    closed = desk_of(folder).closed()
    assert closed is not None
    assert closed.hint
    assert str(tmp_path) not in closed.message + closed.hint


def test_write_comes_first_on_every_page(tmp_path: Path) -> None:
    place = desk_of(workbook(tmp_path))
    for path in ("/", "/problems", "/warnings", "/horse/Bramble", "/write", "/write/hoof"):
        head, *_ = shown(place, path, True, None)
        assert kinds(head, "Link")[0].href == "/write"


def test_a_page_that_somebody_types_in_is_left_alone_and_its_frame_is_not(tmp_path: Path) -> None:
    from dash import no_update

    place = desk_of(workbook(tmp_path))
    *_, held = shown(place, "/write", True, None)
    assert held == "/write"
    head, _, page, title, still = shown(place, "/write", True, held)
    assert "barn.xlsx" in text(head)
    assert (page, title, still) == (no_update, no_update, no_update)
    assert shown(place, "/write/visit", True, held)[2] is not no_update
    assert shown(place, "/problems", True, held)[4] == ""


def test_even_a_fault_of_our_own_leaves_the_form(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from dash import no_update

    def fault(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("dashboards.app.framed", fault)
    assert set(shown(desk_of(workbook(tmp_path)), "/write", True, "/write")) == {no_update}


# Saving


def test_a_note_is_written_and_its_cells_are_told(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    told = answers.entered(desk_of(file), Sent("Soundness", TYPED, once="a"))
    assert told["state"] == answers.IN
    last = soundness(file)[-1]
    assert (last["Date"].date(), last["Limb"], str(last["Score"]), last["Than last time"]) == (
        TODAY,
        "LF",
        "2",
        "worse",
    )
    cells = {text(part) for part in kinds(told["answer"], "Span") if getattr(part, "className", "") == "cell"}
    assert len(cells) >= 4
    for cell in cells:
        ref = cell.removeprefix("Soundness!")
        assert openpyxl.load_workbook(file)["Soundness"][ref].value is not None
    assert "Written into barn.xlsx" in text(told["answer"])


def test_the_same_entry_sent_twice_is_written_once(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    place = desk_of(file)
    sent = Sent("Soundness", TYPED, once="a")
    threads = [threading.Thread(target=answers.entered, args=(place, sent)) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(soundness(file)) == 2
    answers.entered(place, Sent("Soundness", TYPED, once="b"))
    assert len(soundness(file)) == 3


def test_an_entry_whose_answer_was_lost_is_not_written_again_by_the_program_started_anew(
    tmp_path: Path,
) -> None:
    file = workbook(tmp_path)
    sent = Sent("Soundness", TYPED, once="a")
    told = [answers.entered(desk_of(file), sent)["state"] for _ in range(2)]
    assert told == [answers.IN, answers.IN]
    assert len(soundness(file)) == 2


def test_what_was_amended_after_a_lost_answer_is_written_too(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    place = desk_of(file)
    for score in ("2", "5"):
        assert (
            answers.entered(place, Sent("Soundness", TYPED | {"score": score}, once="a"))["state"]
            == answers.IN
        )
    assert [str(note["Score"]) for note in soundness(file)][-2:] == ["2", "5"]


def test_urgent_advice_comes_before_saving_with_the_vets_number(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    before = file.read_bytes()
    sent = Sent("Soundness", TYPED | {"horse": "Bramble", "signs": "won't bear weight"})
    told = answers.looked(desk_of(file), sent)
    assert text(told["advice"]).startswith("▲ Ring the vet now")
    assert "no substitute for an examination by a vet" in text(told["advice"])
    (ring,) = kinds(told["advice"], "A")
    assert ring.href == "tel:+441632960001"
    assert "Dr Aldous" in text(ring)
    assert file.read_bytes() == before


def test_a_plain_note_calls_for_no_advice(tmp_path: Path) -> None:
    told = answers.looked(
        desk_of(workbook(tmp_path)), Sent("Soundness", TYPED | {"scale": "0-5", "gait": "trot"})
    )
    assert told["advice"] == []
    assert told["fields"] == {}


def test_looking_speaks_only_of_what_is_filled_in(tmp_path: Path) -> None:
    place = desk_of(workbook(tmp_path))
    assert answers.looked(place, Sent("Abscesses", {"where": "toe"}))["fields"] == {}
    told = answers.looked(
        place, Sent("Hooves", {"date": TODAY.isoformat(), "foot": "LF", "toe_angle": "400"})
    )
    assert list(told["fields"]) == ["toe_angle"]


def test_the_usual_look_follows_the_horse(tmp_path: Path) -> None:
    horses = [HORSE, {"Horse": "Willow", "Usual scale": "0-10"}]
    notes = [NOTE | {"Horse": "Bramble"}, NOTE | {"Horse": "Willow", "Gait": "walk", "Scale": "0-10"}]
    place = desk_of(workbook(tmp_path, Horses=horses, Soundness=notes))
    told = answers.looked(place, Sent("Soundness", {"horse": "Willow"}))
    assert (told["usual"]["gait"], told["usual"]["scale"], told["scale"]) == ("walk", "0-10", "0-10")
    assert "usual" not in answers.looked(place, Sent("Soundness", {"limb": "LF"}))


def test_an_error_stands_at_its_field_and_nothing_is_written(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    before = file.read_bytes()
    told = answers.entered(desk_of(file), Sent("Hooves", {"toe_angle": "40"}, add_sheet=True))
    assert told["state"] == answers.REFUSED
    assert list(told["fields"]) == ["foot"]
    assert "one thing to mend above" in text(told["message"])
    assert file.read_bytes() == before


def test_an_empty_form_says_what_to_do(tmp_path: Path) -> None:
    told = answers.entered(desk_of(workbook(tmp_path)), Sent("Soundness", {}))
    assert told["state"] == answers.REFUSED
    assert text(told["message"])


def narrow_workbook(folder: Path, *headings: str) -> Path:
    file = folder / "barn.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Soundness"
    sheet.append(list(headings))
    sheet.append([NOTE.get(heading) for heading in headings])
    book.save(file)
    return file


def buttons(told: Any) -> list[tuple[str, str | None]]:
    return [(text(part), getattr(part, "data-with", None)) for part in kinds(told, "Button")]


def test_a_column_that_is_lacking_is_added_or_its_value_goes_into_remarks(tmp_path: Path) -> None:
    file = narrow_workbook(tmp_path, "Date", "Limb", "Score", "Remarks")
    place, typed = desk_of(file), {"limb": "LF", "score": "2", "boots": "yes"}
    told = answers.entered(place, Sent("Soundness", typed, once="a"))
    assert told["state"] == answers.REFUSED
    assert "Your sheet Soundness has no column Boots" in text(told["message"])
    assert buttons(told["message"]) == [
        ("Add the column Boots", "add_column"),
        ("Put it into Remarks", "to_remarks"),
    ]
    assert "--" not in text(told["message"])
    answers.entered(place, Sent("Soundness", typed, once="a", to_remarks=True))
    assert soundness(file)[-1]["Remarks"] == "Boots: yes"
    answers.entered(place, Sent("Soundness", typed, once="b", add_column=True))
    assert soundness(file)[-1]["Boots"] == "yes"


def test_without_a_remarks_column_only_adding_is_offered(tmp_path: Path) -> None:
    file = narrow_workbook(tmp_path, "Date", "Limb", "Score")
    told = answers.entered(desk_of(file), Sent("Soundness", {"limb": "LF", "score": "2", "boots": "yes"}))
    assert buttons(told["message"]) == [("Add the column Boots", "add_column")]


def test_a_sheet_that_is_lacking_is_added_at_a_tap(tmp_path: Path) -> None:
    file = narrow_workbook(tmp_path, "Date", "Limb", "Score")
    place, typed = desk_of(file), {"date": TODAY.isoformat(), "purpose": "trim"}
    told = answers.entered(place, Sent("Visits", typed, once="a"))
    assert buttons(told["message"]) == [("Add the sheet Visits", "add_sheet")]
    assert answers.entered(place, Sent("Visits", typed, once="a", add_sheet=True))["state"] == answers.IN
    assert "Visits" in openpyxl.load_workbook(file).sheetnames


def test_a_column_that_is_lacking_is_not_filled_by_habit(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    book = openpyxl.load_workbook(file)
    names = [cell.value for cell in book["Soundness"][1]]
    book["Soundness"].delete_cols(names.index("Scale") + 1)
    horses = [cell.value for cell in book["Horses"][1]]
    book["Horses"].cell(2, horses.index("Usual scale") + 1, "0-10")
    book.save(file)
    page = find_page("/write", open_book(file), narrow=True)
    assert "scale" not in {each["name"] for each in inputs(page.body) if each.get("defaultChecked")}
    assert getattr(kinds(page.body, "Form")[0], "data-scale") == "0-10"


# Taking back


def test_an_entry_is_taken_back_and_no_other_whoever_wrote_since(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    place = desk_of(file)
    first = place.enter(Sent("Soundness", TYPED, once="a"))
    assert not isinstance(first, Trouble)
    desk_of(file).enter(Sent("Soundness", TYPED | {"remarks": "from another window"}, once="b"))
    told = answers.taken_back(place, first.id)
    assert told["state"] == answers.TAKEN
    assert "hold again what they held before" in text(told["answer"])
    assert [note["Remarks"] for note in soundness(file)][-1] == "from another window"
    assert len(soundness(file)) == 2
    assert "Not taken back" in text(answers.taken_back(place, first.id)["answer"])
    assert len(soundness(file)) == 2


# Waiting


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk, "PAUSE", 0.0)


def until(done: Callable[[], bool], patience: float = 20) -> None:
    """Ask again until it is so: the pause between two tries grows with what the last one took."""
    end = time.monotonic() + patience
    while not done():
        assert time.monotonic() < end
        time.sleep(0.05)


def test_an_entry_waits_while_the_file_is_open_and_goes_in_after_it(tmp_path: Path, at_once: None) -> None:
    file = workbook(tmp_path)
    place = desk_of(file)
    calm = place.stamp()
    lock = tmp_path / ".~lock.barn.xlsx#"
    lock.write_text("somebody")
    told = answers.entered(place, Sent("Soundness", TYPED, once="a"))
    assert told["state"] == answers.KEPT
    assert "barn.xlsx is open in another program" in text(told["answer"])
    waits = text(waiting(place.waits()))
    assert "1 entry waits for the workbook" in waits
    assert "barn.xlsx is open in another program" in waits
    assert "LF, 2, worse" in waits
    assert place.stamp() != calm
    place.try_again()
    assert len(soundness(file)) == 1
    lock.unlink()
    until(lambda: bool(place.try_again()) or len(soundness(file)) == 2)
    assert soundness(file)[-1]["Than last time"] == "worse"
    assert len(soundness(file)) == 2
    said = text(waiting(place.waits()))
    assert said.count("What waited is in the workbook now") == 1
    assert "on the sheet Soundness: A3" in said
    assert "waits for the workbook" not in said


def test_what_another_window_does_with_an_entry_is_not_called_written(tmp_path: Path) -> None:
    from tracker import undo

    file = workbook(tmp_path)
    place = desk_of(file)
    (tmp_path / ".~lock.barn.xlsx#").write_text("somebody")
    place.enter(Sent("Soundness", TYPED, once="a"))
    place.stamp()
    undo(file, waiting=True)
    said = text(waiting(place.waits()))
    assert "was written or taken back in another window" in said
    assert "is in the workbook now" not in said


def test_the_next_entry_brings_in_what_waits_and_says_so(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    place = desk_of(file)
    lock = tmp_path / ".~lock.barn.xlsx#"
    lock.write_text("somebody")
    place.enter(Sent("Soundness", TYPED, once="a"))
    place.stamp()
    lock.unlink()
    place.enter(Sent("Soundness", TYPED | {"limb": "RH"}, once="b"))
    assert [row["Limb"] for row in soundness(file)] == ["LF", "LF", "RH"]
    assert "What waited is in the workbook now, on the sheet Soundness: A3" in text(waiting(place.waits()))


def test_a_workbook_that_breaks_is_told_above_the_form(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    place = desk_of(file)
    *_, held = shown(place, "/write", True, None)
    file.write_bytes(b"half a save")
    assert "The workbook cannot be read now" in text(shown(place, "/write", True, held)[1])
    told = answers.entered(place, Sent("Soundness", TYPED, once="a"))
    assert told["state"] == answers.FAILED
    assert "barn.xlsx" in text(told["message"])


def test_what_waits_is_on_every_page(tmp_path: Path) -> None:
    place = desk_of(workbook(tmp_path))
    (tmp_path / ".~lock.barn.xlsx#").write_text("somebody")
    answers.entered(place, Sent("Soundness", TYPED, once="a"))
    for path in ("/", "/problems", "/warnings", "/horse/Bramble", "/write", "/no-such-page"):
        assert "1 entry waits" in text(shown(place, path, True, None)[1])
        assert "1 entry waits" in text(shown(place, path, True, path)[1])


def test_a_waiting_entry_is_taken_back_too(tmp_path: Path, at_once: None) -> None:
    file = workbook(tmp_path)
    place = desk_of(file)
    lock = tmp_path / ".~lock.barn.xlsx#"
    lock.write_text("somebody")
    entered = place.enter(Sent("Soundness", TYPED, once="a"))
    assert not isinstance(entered, Trouble)
    told = answers.taken_back(place, entered.id)
    assert told["state"] == answers.TAKEN
    assert "no longer waits" in text(told["answer"])
    lock.unlink()
    place.try_again()
    assert len(soundness(file)) == 1
    assert waiting(place.waits()) == []


def test_tries_are_apart_and_never_two_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    inside, most, tries = 0, 0, 0

    def slow(_: Path) -> tuple[()]:
        nonlocal inside, most, tries
        inside, tries = inside + 1, tries + 1
        most = max(most, inside)
        time.sleep(0.05)
        inside -= 1
        return ()

    monkeypatch.setattr(desk, "write_pending", slow)
    place = desk_of(workbook(tmp_path))
    for _ in range(3):
        threads = [threading.Thread(target=place.try_again) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert (most, tries) == (1, 1)


def test_a_try_that_fails_by_our_own_fault_stops_no_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fault(_: Path) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(desk, "write_pending", fault)
    place = desk_of(workbook(tmp_path))
    place.try_again()
    assert place.stamp()


# Questions and answers over the wire


def ask(file: Path, path: str, body: object, **headers: str) -> Any:
    client = make_app(file).server.test_client()
    return client.post(path, json=body, headers={"Host": "127.0.0.1:8050", **headers})


@pytest.mark.parametrize("path", ["/look", "/enter", "/undo"])
def test_only_our_own_page_may_ask_and_only_by_post(tmp_path: Path, path: str) -> None:
    file = workbook(tmp_path)
    before = file.read_bytes()
    body = {"sheet": "Soundness", "typed": TYPED, "entry": "x"}
    for headers in ({}, {"Origin": "http://barn.example"}, {"Origin": "null"}):
        assert ask(file, path, body, **headers).status_code == 403
    make_app(file).server.test_client().get(path, headers={"Host": "127.0.0.1:8050"})
    assert file.read_bytes() == before
    assert ask(file, path, body, Origin=ORIGIN).status_code == 200


@pytest.mark.parametrize(
    "body",
    [
        [], "note", {}, {"sheet": "Soundness"}, {"sheet": "Secrets", "typed": {}},
        {"sheet": "Soundness", "typed": {"score": 2}}, {"sheet": "Soundness", "typed": {}, "row": "2"},
        {"sheet": "Soundness", "typed": {}, "row": -1}, {"sheet": "Soundness", "typed": {}, "row": True},
        {"sheet": "Soundness", "typed": {}, "once": 4}, {"sheet": "Soundness", "typed": {}, "seen": "x"},
    ],
)  # fmt: skip
def test_what_no_page_of_ours_sends_is_refused(tmp_path: Path, body: object) -> None:
    assert ask(workbook(tmp_path), "/enter", body, Origin=ORIGIN).status_code == 400


def test_a_permission_must_be_said_outright() -> None:
    assert sent_in({"sheet": "Soundness", "typed": {}, "add_column": "yes"}).add_column is False
    assert sent_in({"sheet": "Soundness", "typed": {}, "add_column": True}).add_column is True


def test_a_fault_while_saving_shows_no_traceback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object, **__: object) -> None:
        raise ZeroDivisionError("secret details")

    file = workbook(tmp_path)
    monkeypatch.setattr(desk, "enter", fault)
    told = ask(file, "/enter", {"sheet": "Soundness", "typed": TYPED}, Origin=ORIGIN)
    assert told.status_code == 200
    assert "secret" not in told.get_data(as_text=True)
    assert "Something went wrong inside the program" in told.get_data(as_text=True)


def test_where_the_workbook_lies_is_in_no_answer(tmp_path: Path) -> None:
    file = workbook(tmp_path)
    (tmp_path / ".~lock.barn.xlsx#").write_text("somebody")
    for body in ({"sheet": "Soundness", "typed": TYPED}, {"sheet": "Soundness", "typed": {}}):
        assert str(tmp_path) not in ask(file, "/enter", body, Origin=ORIGIN).get_data(as_text=True)
    file.unlink()
    answer = ask(file, "/enter", {"sheet": "Soundness", "typed": TYPED}, Origin=ORIGIN)
    assert "barn.xlsx" in answer.get_data(as_text=True)
    assert str(tmp_path) not in answer.get_data(as_text=True)


# The end


def test_at_the_end_it_is_said_what_happened_to_the_workbook(tmp_path: Path) -> None:
    place = desk_of(workbook(tmp_path))
    assert said_at_the_end(place, "barn.xlsx") == "The workbook was not changed."
    place.enter(Sent("Soundness", TYPED, once="a"))
    assert said_at_the_end(place, "barn.xlsx") == "barn.xlsx was written once from these pages."
    (tmp_path / ".~lock.barn.xlsx#").write_text("somebody")
    place.enter(Sent("Soundness", TYPED, once="b"))
    assert said_at_the_end(place, "barn.xlsx") == (
        "barn.xlsx was written once from these pages. "
        "1 entry still waits beside it, and is written when you open it again."
    )


def test_a_blank_workbook_can_be_written_at_once(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    write_blank(file)
    told = answers.entered(desk_of(file), Sent("Soundness", TYPED | {"horse": "Bramble"}, once="a"))
    assert told["state"] == answers.IN
    assert soundness(file)[0]["Horse"] == "Bramble"
