"""Entering records with a thumb: a telephone's window, touch, a real file that is read back by another program."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import NARROW, WIDE, Watched, served, stop
from playwright.sync_api import Browser, Locator, Page, expect

from tracker.workbook.new.blank import write_workbook

pytestmark = pytest.mark.browser

Look = Callable[..., Watched]
TODAY = dt.date.today()
THUMB: dict[str, Any] = {"has_touch": True, "is_mobile": True}
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
FORMS = (
    "/write",
    "/write/abscess",
    "/write/visit",
    "/write/relief",
    "/write/hoof",
    "/write/abscess/2",
    "/write/relief/2",
)


@pytest.fixture(autouse=True)
def _often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dashboards.frame.EVERY_MS", 400)
    monkeypatch.setattr("dashboards.desk.PAUSE", 0.3)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "barn.xlsx"
    since = TODAY - dt.timedelta(days=4)
    write_workbook(
        path,
        {
            "Horses": [{"Horse": "Bramble", "Vet": "Dr Aldous", "Vet phone": "01632 960 001"}],
            "Soundness": [
                {
                    "Date": since,
                    "Gait": "trot",
                    "Ground": "hard",
                    "Line": "straight",
                    "Limb": "LF",
                    "Scale": "0-5",
                    "Score": 1,
                }
            ],
            "Abscesses": [{"Foot": "LF", "First seen": since, "Where": "toe"}],
            "Pain relief": [{"Product": "phenylbutazone", "First given": since}],
        },
    )
    return path


@pytest.fixture
def thumb(look: Look, file: Path) -> Watched:
    """Today's note on a telephone."""
    watched = look(file, NARROW, **THUMB)
    watched.open("/write")
    ready(watched.page)
    return watched


def ready(page: Page) -> None:
    expect(page.locator("form.entry[data-ready]")).to_be_visible()


def button(page: Page, field: str, word: str) -> Locator:
    """A big button of a field, by its words."""
    exact = re.compile(f"^{re.escape(word)}$")
    return page.locator(f"[data-field={field}] label").filter(has_text=exact)


def plain_note(page: Page) -> list[Locator]:
    """What is tapped for a plain note, the page being open."""
    return [
        button(page, "limb", "left front"),
        button(page, "score", "2"),
        button(page, "than_last_time", "worse"),
        page.locator("#save"),
    ]


def tap_all(taps: list[Locator]) -> None:
    for target in taps:
        target.tap()


def records(file: Path, sheet: str = "Soundness") -> list[dict[str, Any]]:
    """The records as openpyxl reads them."""
    rows = list(openpyxl.load_workbook(file)[sheet].iter_rows(values_only=True))
    return [
        {key: value for key, value in zip(rows[0], row, strict=True) if value is not None}
        for row in rows[1:]
        if any(row)
    ]


def answer(page: Page) -> Locator:
    return page.locator("#answer")


def test_a_plain_note_takes_four_taps_and_is_in_the_file(thumb: Watched, file: Path) -> None:
    page = thumb.page
    taps = plain_note(page)
    assert len(taps) <= 4
    tap_all(taps)
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    written = records(file)[-1]
    assert written.pop("Date").date() == TODAY
    assert isinstance(written.pop("Written"), dt.datetime)
    assert {heading: str(value) for heading, value in written.items()} == {
        "Horse": "Bramble", "Gait": "trot", "Ground": "hard", "Line": "straight", "Limb": "LF", "Scale": "0-5",
        "Score": "2", "Than last time": "worse",
    }  # fmt: skip
    told = dict(
        zip(
            answer(page).locator("dt").all_inner_texts(),
            answer(page).locator(".cell").all_inner_texts(),
            strict=True,
        )
    )
    sheet = openpyxl.load_workbook(file)["Soundness"]
    assert str(sheet[told["Score"].removeprefix("Soundness!")].value) == "2"
    assert sheet[told["Than last time"].removeprefix("Soundness!")].value == "worse"


def test_urgent_advice_is_there_before_saving_without_scrolling(thumb: Watched, file: Path) -> None:
    page = thumb.page
    before = file.read_bytes()
    button(page, "signs", "won't bear weight").tap()
    advice = page.locator("#advice")
    expect(advice).to_contain_text("Ring the vet now")
    expect(advice).to_contain_text("no substitute for an examination by a vet")
    ring = advice.get_by_role("link", name="Dr Aldous")
    expect(ring).to_have_attribute("href", "tel:01632960001")
    expect(ring).to_be_in_viewport()
    expect(page.locator("#save")).to_be_in_viewport()
    assert file.read_bytes() == before
    button(page, "signs", "won't bear weight").tap()
    expect(advice).to_be_empty()


def test_urgent_advice_needs_no_workbook(thumb: Watched, file: Path) -> None:
    page = thumb.page
    told = page.locator("#at-hand")
    whole = file.read_bytes()
    file.write_bytes(b"PK and then nothing")
    button(page, "score", "5").tap()
    expect(told).to_contain_text("Ring the vet now, day or night.")
    expect(told.get_by_role("link", name="Dr Aldous")).to_have_attribute("href", "tel:01632960001")
    page.wait_for_timeout(1000)
    expect(told).to_be_visible()
    file.write_bytes(whole)
    button(page, "signs", "off feed").tap()
    expect(page.locator("#advice")).to_contain_text("Ring the vet now")
    expect(told).to_be_hidden()


def test_what_was_entered_can_be_taken_back_and_still_stands_in_the_form(thumb: Watched, file: Path) -> None:
    page = thumb.page
    tap_all(plain_note(page))
    page.get_by_role("button", name="Undo").tap()
    expect(answer(page)).to_contain_text("hold again what they held before")
    assert len(records(file)) == 1
    expect(button(page, "score", "2").locator("input")).to_be_checked()
    page.locator("#save").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    assert len(records(file)) == 2


def test_a_double_tap_writes_once(thumb: Watched, file: Path) -> None:
    page = thumb.page
    tap_all(plain_note(page)[:-1])
    page.locator("#save").evaluate("save => { save.click(); save.click(); save.click() }")
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    page.wait_for_timeout(500)
    assert len(records(file)) == 2


def test_another_note_begins_with_a_fresh_form(thumb: Watched, file: Path) -> None:
    page = thumb.page
    tap_all(plain_note(page))
    page.get_by_role("button", name="Write another").tap()
    expect(page.locator("form.entry")).to_be_visible()
    expect(answer(page)).to_be_empty()
    expect(button(page, "score", "2").locator("input")).not_to_be_checked()
    expect(page.locator("#restored")).to_be_hidden()
    tap_all(
        [
            button(page, "limb", "right hind"),
            button(page, "score", "1"),
            button(page, "score", "+ ½"),
            page.locator("#save"),
        ]
    )
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    last = records(file)[-1]
    assert (last["Limb"], str(last["Score"])) == ("RH", "1.5")


def test_the_form_is_not_drawn_anew_under_the_persons_hands(thumb: Watched, file: Path) -> None:
    page = thumb.page
    button(page, "score", "3").tap()
    remarks = page.locator("textarea[name=remarks]")
    remarks.tap()
    page.keyboard.type("on the str")
    form = page.locator("form.entry").element_handle()
    file.unlink()
    write_workbook(
        file, {"Horses": [{"Horse": "Bramble"}], "Soundness": [{"Date": "soon", "Limb": "LF", "Score": 9}]}
    )
    expect(page.locator("header")).to_contain_text("Problems (")
    page.keyboard.type("aight")
    expect(remarks).to_be_focused()
    expect(remarks).to_have_value("on the straight")
    expect(button(page, "score", "3").locator("input")).to_be_checked()
    page.wait_for_timeout(500)  # what would be drawn anew is by now
    assert page.evaluate("form => form.isConnected", form)


def test_an_entry_waits_while_the_file_is_open_elsewhere_and_is_in_after_it(
    thumb: Watched, file: Path
) -> None:
    page = thumb.page
    lock = file.with_name(".~lock.barn.xlsx#")
    lock.write_text("somebody")
    tap_all(plain_note(page))
    expect(answer(page).locator("h2").last).to_have_text("Kept beside the workbook for now")
    waiting = page.locator("#waiting")
    expect(waiting).to_contain_text("1 entry waits for the workbook")
    expect(waiting).to_contain_text("barn.xlsx is open in another program")
    page.locator("header").get_by_role("link", name="Problems").tap()
    expect(page.locator("main h1")).to_have_text("Problems in the workbook")
    expect(waiting).to_contain_text("1 entry waits for the workbook")
    assert len(records(file)) == 1
    lock.unlink()
    expect(waiting).to_contain_text("What waited is in the workbook now")
    assert len(records(file)) == 2
    assert str(records(file)[-1]["Score"]) == "2"
    page.wait_for_timeout(1000)
    assert len(records(file)) == 2


def test_an_entry_that_waits_is_taken_back_by_two_taps(thumb: Watched, file: Path) -> None:
    page = thumb.page
    lock = file.with_name(".~lock.barn.xlsx#")
    lock.write_text("somebody")
    tap_all(plain_note(page))
    page.locator("header").get_by_role("link", name="Problems").tap()
    take_back = page.locator("#waiting button")
    take_back.tap()
    expect(take_back).to_have_text("Tap again: it is not written then")
    page.wait_for_timeout(600)
    expect(page.locator("#waiting")).to_contain_text("1 entry waits")
    take_back.tap()
    expect(page.locator("#waiting")).to_be_empty()
    lock.unlink()
    page.wait_for_timeout(900)
    assert len(records(file)) == 1


def test_an_error_stands_at_its_field_and_nothing_typed_is_lost(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.open("/write/abscess")
    page = watched.page
    ready(page)
    care = page.locator("textarea[name=care_given]")
    care.fill("poultice, kept in")
    page.locator("#save").tap()
    foot = page.locator("[data-field=foot]")
    expect(foot.locator(".wrong")).not_to_be_empty()
    wrong = foot.locator(".wrong").get_attribute("id")
    expect(foot).to_have_attribute("aria-describedby", re.compile(rf"(^|\s){wrong}(\s|$)"))
    expect(page.locator("#message")).to_contain_text("to mend above")
    expect(foot).to_be_in_viewport()
    expect(care).to_have_value("poultice, kept in")
    button(page, "foot", "right front").tap()
    page.get_by_role("button", name="First seen: Today").tap()
    page.locator("#save").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    last = records(file, "Abscesses")[-1]
    assert (last["Foot"], last["First seen"].date(), last["Care given"]) == ("RF", TODAY, "poultice, kept in")


def test_a_note_that_says_nothing_is_not_taken_and_the_form_keeps_its_shape(
    thumb: Watched, file: Path
) -> None:
    page = thumb.page
    button(page, "limb", "left front").tap()
    page.locator("#save").tap()
    expect(page.locator("[data-field=score] .wrong")).to_contain_text("says nothing about the horse")
    boxes = [box for grade in page.locator(".grades label:visible").all() if (box := grade.bounding_box())]
    assert min(box["x"] for box in boxes) >= 0
    assert max(box["x"] + box["width"] for box in boxes) <= NARROW[0]
    assert thumb.overflow() <= 0
    assert len(records(file)) == 1


def test_an_open_abscess_is_one_tap_away_and_only_what_is_new_is_written(thumb: Watched, file: Path) -> None:
    page = thumb.page
    before = records(file, "Abscesses")[0]
    page.get_by_role("link", name="abscess, left front").tap()
    expect(page.locator("main h1")).to_have_text("An open abscess")
    ready(page)
    page.get_by_role("button", name="Opened: Today").tap()
    button(page, "opened_at", "white line").tap()
    page.locator("#save").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    (after,) = records(file, "Abscesses")
    assert after.pop("Opened").date() == TODAY
    assert after.pop("Opened at") == "white line"
    assert after == before
    page.get_by_role("button", name="Undo").tap()
    expect(answer(page)).to_contain_text("Taken back")
    assert records(file, "Abscesses") == [before]


def test_pain_relief_begins_and_ends(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.open("/write/relief/2")
    page = watched.page
    ready(page)
    page.get_by_role("button", name="Last given: Today").tap()
    page.locator("#save").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    assert records(file, "Pain relief")[0]["Last given"].date() == TODAY
    answer(page).get_by_role("link", name="Today's note").tap()
    expect(page.locator(".still-open")).not_to_contain_text("phenylbutazone")
    page.locator(".tabs").get_by_role("link", name="Pain relief").tap()
    expect(page.locator("main h1")).to_have_text("Pain relief begun")
    page.locator("input[name=product]").fill("meloxicam")
    page.locator("input[name=first_given][type=date]").fill(TODAY.isoformat())
    page.locator("input[name=first_given][type=time]").fill("07:30")
    page.locator("#save").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    last = records(file, "Pain relief")[-1]
    assert (last["Product"], last["First given"]) == ("meloxicam", dt.datetime.combine(TODAY, dt.time(7, 30)))


def test_a_record_that_moved_meanwhile_is_not_overwritten(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.open("/write/abscess/2")
    page = watched.page
    ready(page)
    page.get_by_role("button", name="Opened: Today").tap()
    since = TODAY - dt.timedelta(days=9)
    file.unlink()
    write_workbook(
        file, {"Horses": [{"Horse": "Bramble"}], "Abscesses": [{"Foot": "RH", "First seen": since}]}
    )
    page.locator("#save").tap()
    expect(page.locator("#message")).to_contain_text("has been changed since")
    assert "Opened" not in records(file, "Abscesses")[0]
    expect(page.locator("input[name=opened]")).to_have_value(TODAY.isoformat())
    page.reload()  # the row holds another record now, to which the draft does not belong
    ready(page)
    expect(page.locator("input[name=opened]")).to_have_value("")
    expect(page.locator("#restored")).to_be_hidden()


def test_a_measured_hoof_says_its_units(look: Look, file: Path) -> None:
    watched = look(file, NARROW, **THUMB)
    watched.open("/write/hoof")
    page = watched.page
    ready(page)
    button(page, "foot", "left hind").tap()
    page.locator("input[name=toe_angle]").fill("52")
    page.locator("input[name=toe_length]").fill("3.5")
    page.locator("[data-field=toe_length] .unit").filter(has_text=re.compile("^in$")).tap()
    expect(page.locator("[data-field=heel_length] .unit input:checked")).to_have_value("mm")
    page.locator("input[name=heel_length]").fill("1 1/2")
    expect(page.locator("[data-field=heel_length] .unit input:checked")).to_have_value("in")
    page.locator("#save").tap()
    add = page.get_by_role("button", name="Add the sheet Hooves")
    add.or_(answer(page).locator("h2")).first.wait_for()
    if add.is_visible():
        add.tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    last = {key.partition(" (")[0]: value for key, value in records(file, "Hooves")[-1].items()}
    assert (last["Foot"], str(last["Toe angle"]), last["Toe length"]) == ("LH", "52", "3.5 in")
    assert last["Heel length"] == "1 1/2 in"


def test_a_length_is_asked_in_the_unit_of_the_owners_heading_and_stays_a_number_there(
    look: Look, file: Path
) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Hooves"
    for row in (("Date", "Foot", "Toe length (in)", "Heel length"), (TODAY, "LF", 3.5, "40 mm")):
        book["Hooves"].append(row)
    book.save(file)
    watched = look(file, NARROW, **THUMB)
    watched.open("/write/hoof")
    page = watched.page
    ready(page)
    for key in ("toe_length", "heel_length"):
        expect(page.locator(f"[data-field={key}] .unit input:checked")).to_have_value("in")
        page.locator(f"input[name={key}]").fill("3.25")
    button(page, "foot", "left hind").tap()
    page.locator("#save").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    last = records(file, "Hooves")[-1]
    assert (last["Toe length (in)"], last["Heel length"]) == (3.25, "3.25 in")


def test_what_was_typed_comes_back_after_another_page_and_after_a_reload(thumb: Watched) -> None:
    page = thumb.page
    button(page, "score", "4").tap()
    page.locator("textarea[name=remarks]").fill("short in front")
    page.locator("header").get_by_role("link", name="Bramble").tap()
    expect(page.locator("main h2").first).to_have_text("What needs doing now")
    page.locator("header").get_by_role("link", name="Write").tap()
    for _ in range(2):
        ready(page)
        expect(page.locator("textarea[name=remarks]")).to_have_value("short in front")
        expect(button(page, "score", "4").locator("input")).to_be_checked()
        expect(page.locator("#restored")).to_be_visible()
        page.reload()
    page.get_by_role("button", name="Start afresh").tap()
    expect(page.locator("textarea[name=remarks]")).to_have_value("")
    expect(page.locator("#restored")).to_be_hidden()


def test_when_the_program_is_gone_saving_says_so_and_keeps_what_was_entered(
    browser: Browser, file: Path
) -> None:
    with served(file) as (origin, server):
        page = browser.new_page(viewport={"width": NARROW[0], "height": NARROW[1]}, **THUMB)
        page.goto(origin + "/write")
        ready(page)
        tap_all(plain_note(page)[:-1])
        stop(server)
        page.wait_for_timeout(300)
        button(page, "signs", "won't move").tap()
        button(page, "signs", "off feed").tap()
        told = page.locator("#at-hand")
        expect(told.get_by_text("Keep the horse still where it is.").locator("visible=true")).to_have_count(1)
        expect(told.get_by_role("link", name="Dr Aldous")).to_be_in_viewport()
        button(page, "signs", "won't move").tap()
        expect(told).to_be_hidden()
        button(page, "signs", "hard to turn").tap()
        page.get_by_text("Pulses at the fetlocks").tap()
        page.locator("[data-field=pulse_lf] label").filter(has_text="raised").tap()
        expect(told).to_contain_text("Ring today")
        page.locator("[data-field=pulse_rh] label").filter(has_text="bounding").tap()
        expect(told).to_contain_text("raised pulses, hard to turn")
        page.locator("#save").tap()
        expect(page.locator("#message")).to_contain_text("not known whether this is saved")
        expect(page.locator("#message")).to_contain_text("soundness open barn.xlsx --port")
        expect(button(page, "score", "2").locator("input")).to_be_checked()
        expect(page.locator("#save")).to_have_text("Save")
        page.close()
    assert len(records(file)) == 1


def test_an_entry_whose_answer_was_lost_is_not_written_again_after_a_reload(
    thumb: Watched, file: Path
) -> None:
    page = thumb.page
    tap_all(plain_note(page)[:-1])
    page.evaluate(
        """() => { const ask = window.fetch;
        window.fetch = async (...asked) => { const told = await ask(...asked);
            if (asked[0] === "/enter") { await told.text(); throw new TypeError("lost"); } return told; } }"""
    )
    page.locator("#save").tap()
    expect(page.locator("#message")).to_contain_text("The program does not answer")
    assert len(records(file)) == 2
    page.reload()
    ready(page)
    page.locator("#save").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into barn.xlsx")
    assert len(records(file)) == 2


def test_the_problems_page_looks_again_when_the_file_is_saved(look: Look, tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    note = {"Date": TODAY, "Limb": "LF", "Scale": "0-5", "Score": "two or so"}
    write_workbook(file, {"Horses": [{"Horse": "Bramble"}], "Soundness": [note]})
    watched = look(file, NARROW, **THUMB)
    watched.open("/problems")
    expect(watched.page.locator("main")).to_contain_text("looks again by itself")
    expect(watched.page.locator(".problems .cell").first).to_contain_text("Soundness!")
    file.unlink()
    write_workbook(file, {"Horses": [{"Horse": "Bramble"}], "Soundness": [note | {"Score": 2}]})
    expect(watched.page.locator("main .lead")).to_have_text("Nothing that is typed is in doubt.")


def test_scores_go_to_ten_where_the_scale_does(thumb: Watched) -> None:
    page = thumb.page
    expect(button(page, "score", "7")).to_be_hidden()
    page.locator("details.look summary").tap()
    button(page, "scale", "0-10").tap()
    button(page, "score", "7").tap()
    expect(page.locator("#looked")).to_have_text("trot, hard, straight, scale 0-10")
    button(page, "scale", "0-5").tap()
    expect(button(page, "score", "7")).to_be_hidden()
    expect(page.locator("[data-field=score] :checked")).to_have_count(0)


def test_groups_exclude_what_they_hold_and_a_choice_can_be_cleared(thumb: Watched) -> None:
    page = thumb.page
    chosen = page.locator("[data-field=limb] :checked")
    tap_all([button(page, "limb", "left front"), button(page, "limb", "left hind")])
    expect(chosen).to_have_count(2)
    button(page, "limb", "not sure").tap()
    expect(chosen).to_have_count(1)
    button(page, "limb", "left front").tap()
    expect(chosen).to_have_count(1)
    page.get_by_role("button", name="Clear Limb").tap()
    expect(chosen).to_have_count(0)


def test_a_thumb_in_a_glove_can_hit_everything(thumb: Watched) -> None:
    """56 px for grades and limbs, 44 px for everything else: our own measures; WCAG 2.2, 2.5.8 asks for 24."""
    page = thumb.page
    for fold in page.locator("form.entry summary").all():
        fold.tap()
    for selector, least in (
        ("[data-field=limb] label", 56), ("[data-field=score] label:visible", 56), ("#save", 56),
        ("form.entry label:has(input), form.entry button, form.entry summary, .tabs a, .still-open a", 44),
        ("form.entry input:not([type=hidden]):not([type=radio]):not([type=checkbox]), form.entry textarea", 44),
    ):  # fmt: skip
        boxes = [box for found in page.locator(selector).all() if (box := found.bounding_box())]
        assert boxes
        assert min(box["height"] for box in boxes) >= least, selector
        assert min(box["width"] for box in boxes) >= 44, selector
    sizes = page.evaluate(
        "[...document.querySelectorAll('form.entry label, form.entry legend, form.entry .row input:not([type=radio]), form.entry textarea, form.entry button')].map(e => parseFloat(getComputedStyle(e).fontSize))"
    )
    assert min(sizes) >= 16
    assert thumb.overflow() <= 0


def test_save_is_always_in_reach(thumb: Watched) -> None:
    page = thumb.page
    for share in (0, 0.3, 0.6):
        page.evaluate("share => window.scrollTo(0, share * document.body.scrollHeight)", share)
        expect(page.locator("#save")).to_be_in_viewport(ratio=1)


def test_a_note_can_be_written_by_keyboard_alone(look: Look, file: Path) -> None:
    watched = look(file, WIDE)
    watched.open("/write")
    page = watched.page
    ready(page)
    page.locator("[data-field=limb] input").first.focus()
    page.keyboard.press("Space")
    page.locator("[data-field=score] input").first.focus()
    for key in ("Space", "ArrowRight", "ArrowRight"):
        page.keyboard.press(key)
    expect(button(page, "score", "2").locator("input")).to_be_focused()
    expect(button(page, "score", "2")).to_have_css("outline-style", "solid")
    page.locator("#save").focus()
    page.keyboard.press("Enter")
    expect(answer(page).locator("h2")).to_be_focused()
    assert str(records(file)[-1]["Score"]) == "2"


def test_enter_in_a_line_of_text_does_not_save_a_half_made_record(look: Look, file: Path) -> None:
    watched = look(file, WIDE)
    watched.open("/write/visit")
    page = watched.page
    ready(page)
    page.locator("input[name=name]").fill("Jo")
    page.keyboard.press("Enter")
    page.wait_for_timeout(400)
    expect(answer(page)).to_be_empty()
    expect(page.locator("form.entry")).to_be_visible()


@pytest.mark.parametrize("side", ["light", "dark"])
def test_no_form_has_a_barrier(look: Look, file: Path, side: str) -> None:
    watched = look(file, NARROW, color_scheme=side, **THUMB)
    page = watched.page
    for path in FORMS:
        watched.open(path)
        ready(page)
        for fold in page.locator("form.entry summary").all():
            fold.click()
        assert barriers(page) == [], path
    watched.open("/write")
    ready(page)
    button(page, "signs", "won't bear weight").tap()
    expect(page.locator("#advice")).not_to_be_empty()
    assert barriers(page) == []
    page.locator("#save").tap()
    expect(answer(page).locator("h2").first).to_be_focused()
    expect(answer(page).locator("h2")).to_have_text(["What needs doing now", "Written into barn.xlsx"])
    assert barriers(page) == []


def barriers(page: Page) -> list[str]:
    found = Axe().run(page, options={"runOnly": RULES})
    return [
        f"{rule['id']}: {[node['html'] for node in rule['nodes']][:3]}"
        for rule in found.response["violations"]
    ]


def test_the_usual_look_of_the_horse_that_is_chosen_is_filled_in(look: Look, tmp_path: Path) -> None:
    file = tmp_path / "yard.xlsx"
    day = TODAY - dt.timedelta(days=2)
    horses = [{"Horse": "Bramble"}, {"Horse": "Willow", "Usual check": "walk, soft", "Usual scale": "0-10"}]
    note = {
        "Date": day,
        "Horse": "Bramble",
        "Gait": "trot",
        "Line": "circle left",
        "Limb": "LF",
        "Scale": "0-5",
        "Score": 1,
    }
    write_workbook(file, {"Horses": horses, "Soundness": [note]})
    watched = look(file, NARROW, **THUMB)
    watched.open("/write")
    page = watched.page
    ready(page)
    button(page, "horse", "Willow").tap()
    expect(page.locator("#looked")).to_have_text("walk, soft, scale 0-10")
    button(page, "score", "7").tap()
    button(page, "horse", "Bramble").tap()
    expect(page.locator("#looked")).to_contain_text("trot")
    page.locator("details.look summary").tap()
    button(page, "gait", "stand").tap()
    button(page, "horse", "Willow").tap()
    expect(page.locator("#looked")).to_contain_text("scale 0-10")
    expect(page.locator("#looked")).to_contain_text("stand")
    button(page, "limb", "right hind").tap()
    button(page, "score", "6").tap()
    page.locator("#save").tap()
    expect(answer(page)).to_contain_text("Written into yard.xlsx")
    last = records(file)[-1]
    assert (last["Horse"], last["Gait"], last["Ground"], last["Scale"], str(last["Score"])) == (
        "Willow", "stand", "soft", "0-10", "6",
    )  # fmt: skip


def test_a_column_that_is_lacking_is_added_at_a_tap(look: Look, tmp_path: Path) -> None:
    file = tmp_path / "own.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Soundness"
    sheet.append(["Date", "Limb", "Score", "Remarks", "Moon"])
    sheet.append([TODAY - dt.timedelta(days=2), "LF", 1, "", "full"])
    book.save(file)
    watched = look(file, NARROW, **THUMB)
    watched.open("/write")
    page = watched.page
    ready(page)
    tap_all(plain_note(page))
    expect(page.locator("#message")).to_contain_text("has no column Than last time")
    assert len(records(file)) == 1
    page.get_by_role("button", name="Put it into Remarks").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into own.xlsx")
    assert records(file)[-1]["Remarks"] == "Than last time: worse"
    page.get_by_role("button", name="Write another").tap()
    expect(answer(page)).to_be_empty()
    button(page, "signs", "off feed").tap()
    page.locator("#save").tap()
    expect(page.get_by_role("button", name="Add the column Signs")).to_be_visible()
    # a sign is read among the remarks too, with a doubt
    expect(page.get_by_role("button", name="Put it into Remarks")).to_have_count(1)
    button(page, "signs", "off feed").tap()
    tap_all(plain_note(page))
    page.get_by_role("button", name="Add the column Than last time").tap()
    expect(answer(page).locator("h2").last).to_have_text("Written into own.xlsx")
    assert records(file)[-1]["Than last time"] == "worse"


def test_a_form_left_open_overnight_begins_with_the_new_day_unless_something_stands_in_it(
    thumb: Watched,
) -> None:
    page = thumb.page
    date = page.locator("input[name=date]")
    page.evaluate("Date.prototype.getDate = function () { return 7 }")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(date).to_have_value(TODAY.strftime("%Y-%m-07"))
    button(page, "score", "1").tap()
    page.evaluate("Date.prototype.getDate = function () { return 8 }")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(date).to_have_value(TODAY.strftime("%Y-%m-07"))
