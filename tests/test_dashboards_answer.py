"""Answering a warning on the pages: what stands open, what is folded away, the form, and the vet's number."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from entries import found
from test_dashboards_pages import kinds, text, walk, workbook

from dashboards.answers import entered
from dashboards.desk import Desk, Sent
from dashboards.frame import find_page, framed
from dashboards.library import Library, Trouble
from dashboards.warned import answer_href
from tracker import open_book

TODAY = dt.date.today()
STUCK = {"Date": TODAY, "Signs": "won't bear weight"}
LAME = {"Date": TODAY, "Gait": "walk", "Limb": "LF", "Scale": "0-5", "Score": 4}
ABSCESS = {"Foot": "LF", "First seen": TODAY}
VET = {"Horse": "Bramble", "Vet": "Dr Aldous", "Vet phone": "01632 960 001"}
LATER = TODAY + dt.timedelta(days=3)


def barn(tmp_path: Path, *answers: dict[str, object], **sheets: list[dict[str, object]]) -> Path:
    given: dict[str, Any] = {"Horses": [VET], "Soundness": [LAME], **sheets}
    return workbook(tmp_path, **given, **({"Follow-up": [*answers]} if answers else {}))


def answer(warning: str, **more: object) -> dict[str, object]:
    return {"Date": TODAY, "Warning": warning, "What was done": "vet called", **more}


def page(file: Path, path: str = "/horse/Bramble", closed: Trouble | None = None) -> Any:
    return find_page(path, open_book(file), narrow=False, closed=lambda: closed).body


def hrefs(parts: Any) -> list[str]:
    return [part.href for part in walk(parts) if getattr(part, "href", None)]


def test_every_warning_has_a_way_to_answer_it(tmp_path: Path) -> None:
    shown = page(barn(tmp_path))
    assert "/answer/lame-at-walk/Bramble" in hrefs(shown)


@pytest.mark.parametrize(
    ("sheets", "rings"),
    [
        ({}, 1),
        ({"Soundness": [STUCK]}, 1),
        ({"Soundness": [STUCK | LAME]}, 2),
        ({"Soundness": [], "Visits": [{"Date": TODAY - dt.timedelta(days=90), "Purpose": "trim"}]}, 0),
    ],
)
def test_the_vets_number_stands_beside_what_should_not_wait(
    tmp_path: Path, sheets: dict[str, Any], rings: int
) -> None:
    shown = page(barn(tmp_path, **sheets))
    assert "Answer: " in text(shown)
    assert hrefs(shown).count("tel:01632960001") == rings


def test_a_quiet_warning_is_folded_away_with_its_answer(tmp_path: Path) -> None:
    row = answer("lame-at-walk", By="Anna", Outcome="comes at noon", **{"Quiet until": LATER})
    (now,) = (part for part in page(barn(tmp_path, row)) if getattr(part, "className", "") == "now")
    open_ones = [part for part in now.children if type(part).__name__ == "Article"]
    (folded,) = kinds(now, "Details")
    assert open_ones == []
    assert "Every warning that stands is answered" in text(now)
    assert "No rule fires" not in text(now)
    assert "Answered, and quiet for now (1)" in text(folded)
    for said in ("vet called", "by Anna", "Outcome: comes at noon", "Quiet until", "Follow-up!C2", "grade 4"):
        assert said in text(folded)


def test_a_now_warning_stays_open_with_its_answer(tmp_path: Path) -> None:
    shown = page(barn(tmp_path, answer("not-bearing-weight"), Soundness=[STUCK]))
    assert not [part for part in kinds(shown, "Details") if getattr(part, "className", "") == "quiet"]
    assert f"vet called {TODAY.day} {TODAY:%b %Y}" in text(shown)
    assert "Ring the vet now" in text(shown)


def test_answers_to_warnings_that_ended_stay_in_the_history(tmp_path: Path) -> None:
    old = TODAY - dt.timedelta(days=100)
    rows = [answer("lame-at-walk", Date=old, Outcome="rest")]
    shown = page(
        barn(tmp_path, *rows, Soundness=[LAME | {"Date": old}, {"Date": TODAY, "Score": 0, "Scale": "0-5"}]),
        "/horse/Bramble/answers",
    )
    assert "Answers to warnings" in text(shown)
    assert "rest" in text(shown)


def test_the_form_knows_the_horse_and_the_warning(tmp_path: Path) -> None:
    shown = page(barn(tmp_path), "/answer/lame-at-walk/Bramble")
    (form,) = kinds(shown, "Form")
    assert form.to_plotly_json()["props"]["data-sheet"] == "Follow-up"
    inputs = [part.attributes for part in walk(form) if type(part).__name__ == "Typed"]
    given = {each["name"]: each["defaultValue"] for each in inputs if each.get("type") == "hidden"}
    assert given == {"horse": "Bramble", "warning": "lame-at-walk"}
    assert {"vet called", "vet seen"} <= {button.children for button in kinds(form, "Button")}
    assert "Quiet until" in text(form)
    assert "tel:01632960001" in hrefs(shown)


def test_a_now_warning_is_not_asked_until_when_it_may_be_quiet(tmp_path: Path) -> None:
    shown = page(barn(tmp_path, Soundness=[STUCK]), "/answer/not-bearing-weight/Bramble")
    assert "Quiet until" not in text(kinds(shown, "Form"))
    assert "open again as soon as the sign is recorded again" in text(shown)


def test_a_warning_that_is_gone_and_a_closed_workbook_say_so(tmp_path: Path) -> None:
    file = barn(tmp_path)
    assert "It has ended" in text(page(file, "/answer/wound-near-a-joint/Bramble"))
    assert "It has ended" in text(page(file, "/answer/lame-at-walk/Nobody"))
    assert "Nothing can be entered" in text(
        page(file, "/answer/lame-at-walk/Bramble", Trouble("Why.", "What."))
    )


@pytest.mark.parametrize("horse", ["Bramble/Moss", "100 %", "Ñandú ?#"])
def test_an_address_holds_any_horses_name(tmp_path: Path, horse: str) -> None:
    file = barn(tmp_path, Horses=[VET | {"Horse": horse}])
    assert kinds(page(file, answer_href(horse, "lame-at-walk")), "Form")


def test_an_answer_is_saved_shown_and_taken_back(tmp_path: Path) -> None:
    file = barn(tmp_path)
    desk = Desk(file, Library(file))
    typed = {
        "date": TODAY.isoformat(),
        "horse": "Bramble",
        "warning": "lame-at-walk",
        "what_was_done": "vet called",
    }
    typed["quiet_until"] = LATER.isoformat()
    assert "Add the sheet Follow-up" in text(entered(desk, Sent("Follow-up", typed, once="a"))["message"])
    told = entered(desk, Sent("Follow-up", typed, once="a", add_sheet=True))
    assert told["state"] == "in", told
    assert "Back to Bramble" in text(told["answer"])
    (row,) = found(file, "Follow-up")
    assert (row["Warning"], row["What was done"]) == ("lame-at-walk", "vet called")
    assert open_book(file).horses[0].warnings[0].quiet
    (undo,) = (part for part in walk(told["answer"]) if getattr(part, "data-do", "") == "undo")
    desk.undo(undo.to_plotly_json()["props"]["data-entry"])
    assert found(file, "Follow-up") == []
    assert not open_book(file).horses[0].warnings[0].answers


def test_a_quiet_day_before_the_answer_is_told_at_its_field(tmp_path: Path) -> None:
    file = barn(tmp_path)
    desk = Desk(file, Library(file))
    typed = {"warning": "lame-at-walk", "quiet_until": (TODAY - dt.timedelta(days=2)).isoformat()}
    from dashboards.answers import looked

    assert "lies before the answer" in text(looked(desk, Sent("Follow-up", typed))["fields"]["quiet_until"])


@pytest.mark.parametrize("path", ["/write/abscess/2", "/write"])
def test_the_horses_other_pages_begin_with_its_warnings(tmp_path: Path, path: str) -> None:
    file = barn(tmp_path, Abscesses=[ABSCESS])
    _, body, _, _ = framed(path, Library(file).read(), narrow=False)
    assert type(body[0]).__name__ == "Aside"
    assert "lame at walk" in text(body[0])
    assert hrefs(body[0]) == ["tel:01632960001", "/horse/Bramble"]


def test_the_yard_counts_what_is_quiet_apart(tmp_path: Path) -> None:
    row = answer("lame-at-walk", Horse="Bramble", **{"Quiet until": LATER})
    file = barn(tmp_path, row, Horses=[VET, {"Horse": "Moss"}], Soundness=[LAME | {"Horse": "Bramble"}])
    assert "What fires is answered, and quiet for now." in text(page(file, "/"))
