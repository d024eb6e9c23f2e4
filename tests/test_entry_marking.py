"""A marked photograph is written with what it measures, read back as it was, and mended without a second copy."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from entries import HORSE, NOW, TODAY, barn, found, open_elsewhere, owner_deletes_row
from photo_points import SIDE_MM, shot

from tracker.book import open_book
from tracker.entry.marked import enter_marking
from tracker.entry.marking import Marking, card_sides, markings_of, read_marking
from tracker.entry.pending import Entered, write_pending
from tracker.show.marking import ID_CARD

CAMERA: dict[str, Any] = {"focal_px": 3000.0, "image_size": (4000.0, 3000.0)}
PLACES = {name: (round(x, 1), round(y, 1)) for name, (x, y) in shot(SIDE_MM).items()}
MARKING = Marking(
    "lf.jpg", "side", "LF", "Bramble", "2026-06-30", "after trim", PLACES, scale="100 mm", card=ID_CARD
)  # fmt: skip

TOE = round(read_marking(MARKING, **CAMERA)["toe_angle"].value, 1)


def enter(file: Path, marking: Marking = MARKING) -> tuple[Entered, ...]:
    seen = read_marking(marking, **CAMERA)
    return enter_marking(file, marking, seen, today=TODAY, now=NOW)


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


def test_a_row_that_moved_meanwhile_is_found_where_it_is_now(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    enter(file, replace(MARKING, photo="rf.jpg", foot="RF"))
    owner_deletes_row(file, "Photo points", 2)
    owner_deletes_row(file, "Hooves", 2)
    places = {name: (x + 5, y) for name, (x, y) in PLACES.items()}
    enter(file, replace(MARKING, points=places))
    left, right = sorted(markings_of(open_book(file)), key=lambda marking: marking.foot)
    assert (left.points, right.points) == (places, PLACES)
    assert [(hoof["Foot"], hoof["Photo"]) for hoof in hooves(file)] == [("RF", "rf.jpg"), ("LF", "lf.jpg")]


def test_figures_that_are_no_longer_measured_go_with_their_points(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    toe = {name: place for name, place in PLACES.items() if not name.startswith("heel")}
    enter(file, replace(MARKING, points=toe))
    (hoof,) = hooves(file)
    assert "Heel angle" not in hoof
    assert hoof["Toe angle"] == pytest.approx(TOE, abs=1)


def test_a_marking_that_still_waits_gives_way_to_the_next(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    lock = open_elsewhere(file)
    enter(file)
    places = {name: (x + 5, y) for name, (x, y) in PLACES.items()}
    enter(file, replace(MARKING, points=places))
    lock.unlink()
    write_pending(file)
    assert markings_of(open_book(file)) == (replace(MARKING, points=places),)
    assert len(found(file, "Photo points")) == len(PLACES)
    assert len(hooves(file)) == 1


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
