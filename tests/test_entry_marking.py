"""A marked photograph is written with what it measures, read back as it was, and mended without a second copy."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from entries import HORSE, NOW, TODAY, barn, found
from photo_points import SIDE_MM, shot

from tracker.book import open_book
from tracker.entry.marking import ID_CARD, Marking, card_sides, enter_marking, markings_of, read_marking
from tracker.entry.pending import Entered

CAMERA: dict[str, Any] = {"focal_px": 3000.0, "image_size": (4000.0, 3000.0)}
PLACES = {name: (round(x, 1), round(y, 1)) for name, (x, y) in shot(SIDE_MM).items()}
MARKING = Marking(
    "lf.jpg", "side", "LF", "Bramble", "2026-06-30", "after trim", PLACES, scale="100 mm", card=ID_CARD
)  # fmt: skip

TOE = round(read_marking(MARKING, **CAMERA)["toe_angle"].value, 1)


def enter(file: Path, marking: Marking = MARKING) -> tuple[Entered, ...]:
    seen = read_marking(marking, **CAMERA)
    return enter_marking(file, open_book(file), marking, seen, today=TODAY, now=NOW)


def hooves(file: Path) -> list[dict[str, object]]:
    return found(file, "Hooves")


def test_points_and_measures_are_written_in_one_go_and_read_back(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    done = enter(file)
    assert {each.state for each in done} == {"in the workbook"}
    assert len(found(file, "Photo points")) == len(PLACES)
    assert markings_of(open_book(file)) == (MARKING,)
    hoof = hooves(file)[0]
    assert (hoof["Measured with"], hoof["Photo"], hoof["Stage"]) == ("photo", "lf.jpg", "after trim")
    assert hoof["Checked on the live horse"] == "no"
    assert hoof["Toe angle"] == TOE == pytest.approx(50, abs=0.5)  # the foot that was photographed
    record, _ = open_book(file).horses[0].feet[0]
    assert record.measures["toe_length"].value == pytest.approx(85, abs=2)  # mm, as it was photographed


def test_a_mended_marking_moves_adds_and_clears_points_and_changes_the_measures(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    places = {name: place for name, place in PLACES.items() if name != "wall_third"}
    places["toe_hairline"] = (places["toe_hairline"][0] + 40, places["toe_hairline"][1])
    mended = replace(MARKING, points=places)
    done = enter(file, mended)
    assert markings_of(open_book(file)) == (mended,)
    assert len(hooves(file)) == 1
    assert hooves(file)[0]["Toe angle"] != 50
    touched = [each for each in done if each.sheet == "Photo points"]
    assert len(touched) == 2


def test_the_same_marking_again_changes_no_point(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    assert [each.sheet for each in enter(file)] == ["Hooves"]


def test_what_was_checked_on_the_live_horse_is_left_as_it_is(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    book = openpyxl.load_workbook(file)
    heading = {cell.value: cell.column for cell in book["Hooves"][1]}
    book["Hooves"].cell(2, heading["Checked on the live horse"], "yes")
    book["Hooves"].cell(2, heading["Toe angle"], 51)
    book.save(file)
    enter(file)
    first, second = hooves(file)
    assert (first["Toe angle"], first["Checked on the live horse"]) == (51, "yes")
    assert (second["Toe angle"], second["Checked on the live horse"]) == (TOE, "no")


def test_a_foot_that_is_lacking_refuses_all_of_it(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    before = file.read_bytes()
    done = enter(file, replace(MARKING, foot=""))
    assert {each.state for each in done} == {"refused"}
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        (ID_CARD, (85.60, 53.98)),  # ISO/IEC 7810, ID-1
        ("85.6x54", (85.6, 54)), ("8,56 × 5,4 cm", (85.6, 54)), ("3 3/8 in by 2 1/8 in", (85.725, 53.975)),
        ("a card", "a card"), ("85", "85"), ("1 x 2 x 3", "1 x 2 x 3"),
    ],
)  # fmt: skip
def test_the_size_of_a_card_is_read_as_it_is_typed(text: str, sides: object) -> None:
    assert card_sides(text) == (pytest.approx(sides) if isinstance(sides, tuple) else sides)


def test_a_size_that_is_none_is_told_and_the_angles_stay() -> None:
    seen = read_marking(replace(MARKING, card="a card", scale="long"), **CAMERA)
    assert "toe_angle" in seen
    assert [problem.kind for problem in seen.problems].count("photo-size") == 2
