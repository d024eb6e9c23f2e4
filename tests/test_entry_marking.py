"""A marked photograph is written with what it measures, read back as it was, and mended without a second copy."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from entries import HORSE, NOTE, NOW, TODAY, barn, found, open_elsewhere, owner_deletes_row, owner_saves
from photo_points import SIDE_MM, shot
from pictures import packed
from PIL import Image

from tracker.book import open_book
from tracker.derive.photo.marking import Marking, card_sides, read_marking
from tracker.entry.marked import enter_marking
from tracker.entry.marking import markings_of
from tracker.entry.pending import Entered, write_pending
from tracker.entry.undo import undo
from tracker.problem import NotWritten
from tracker.reference.photo import POINT_SD
from tracker.show.marking import ID_CARD

CAMERA: dict[str, Any] = {"focal_px": 3000.0, "image_size": (4000.0, 3000.0)}
PLACES = {name: (round(x, 1), round(y, 1)) for name, (x, y) in shot(SIDE_MM).items()}
MARKING = Marking(
    "lf.jpg", "side", "LF", "Bramble", "2026-06-30", "after trim", PLACES, scale="100 mm", card=ID_CARD
)  # fmt: skip

PICTURE = packed(Image.new("L", (4000, 3000)))

TOE = round(read_marking(MARKING, **CAMERA)["toe_angle"].value, 1)


def enter(
    file: Path,
    marking: Marking = MARKING,
    loaded: Marking | None = None,
    *,
    part: float | None = None,
    again: bool = False,
) -> tuple[Entered, ...]:
    before = [read_marking(loaded, **CAMERA, point_part=way) for way in (part, None)] if loaded else []
    seen = read_marking(marking, **CAMERA, point_part=part)
    return enter_marking(
        file, marking, seen, loaded=loaded, loaded_seen=before, again=again, today=TODAY, now=NOW
    )


def photograph(file: Path, name: str = "lf.jpg", content: bytes = b"any") -> None:
    """A file of that name in the workbook's folder of photographs."""
    folder = file.with_name(f"{file.name} photos")
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(content)


def moved(by: float = 5, **more: object) -> Marking:
    return replace(MARKING, points={name: (x + by, y) for name, (x, y) in PLACES.items()}, **more)


def refused(file: Path, *given: Marking | None) -> str:
    before = file.read_bytes()
    with pytest.raises(NotWritten) as refusal:
        enter(file, *given)
    assert file.read_bytes() == before
    return refusal.value.problem.kind


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
    first = replace(MARKING, points={name: at for name, at in PLACES.items() if name != "heel_ground"})
    enter(file, first)
    places = {name: place for name, place in PLACES.items() if name != "wall_third"}
    places["toe_hairline"] = (places["toe_hairline"][0] + 40, places["toe_hairline"][1])
    mended = replace(MARKING, points=places)
    done = enter(file, mended, first)
    (held,) = markings_of(open_book(file))
    assert (held.points, held.card, held.scale) == (places, mended.card, mended.scale)
    assert len([each for each in done if each.sheet == "Photo points"]) == 3
    (hoof,) = hooves(file)
    assert hoof["Toe angle"] != TOE
    assert "Heel angle" in hoof


def test_the_same_marking_again_writes_nothing(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    before = file.read_bytes()
    assert enter(file, MARKING, MARKING) == ()
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("horses", "said", "read"),
    [([HORSE], "", "Bramble"), ([HORSE], "bramble", "Bramble"), ([HORSE, {"Horse": "Willow"}], "Willow", "Willow"),
     ([], "", "")],
    ids=["the only horse", "in other letters", "one of two", "no horse is named"],
)  # fmt: skip
def test_a_marking_is_known_again_however_its_horse_is_said(
    tmp_path: Path, horses: list[dict[str, object]], said: str, read: str
) -> None:
    file = barn(tmp_path, **({"Horses": horses} if horses else {"Soundness": [NOTE]}))
    first = replace(MARKING, horse=said)
    enter(file, first)
    assert [marking.horse for marking in markings_of(open_book(file))] == [read]
    enter(file, moved(horse=said), first)
    (held,) = markings_of(open_book(file))
    assert (held.horse, held.points) == (read, moved().points)
    assert refused(file, moved(9, horse=said)) == "write-points-there"
    assert len(hooves(file)) == 1


def test_a_wrong_foot_or_day_is_mended_in_the_rows_that_are_there(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    mended = replace(MARKING, foot="RF", date="2026-06-29", stage="before trim")
    enter(file, mended, MARKING)
    assert markings_of(open_book(file)) == (mended,)
    (hoof,) = hooves(file)
    assert (hoof["Foot"], str(hoof["Date"])[:10], hoof["Stage"]) == ("RF", "2026-06-29", "before trim")


def test_what_the_owner_typed_for_that_photograph_is_left_as_it_is(tmp_path: Path) -> None:
    own = {
        "Date": "2026-06-30", "Foot": "LF", "Measured with": "photo", "Photo": "lf.jpg", "Toe length": "88 mm",
        "Toe angle": 47, "Remarks": "own",
    }  # fmt: skip
    file = barn(tmp_path, Horses=[HORSE], Hooves=[own])
    enter(file, replace(MARKING, card="", scale=""))
    typed, measured = hooves(file)
    assert typed == own
    assert measured["Toe angle"] == pytest.approx(TOE, abs=1)


def test_a_row_that_the_owner_has_changed_since_is_left_as_it_is(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    (before,) = hooves(file)
    owner_saves(file, "Hooves!F2", 54)
    x, y = PLACES["toe_hairline"]
    enter(file, replace(MARKING, points={**PLACES, "toe_hairline": (x + 40, y)}), MARKING)
    typed, measured = hooves(file)
    assert typed == before | {"Toe angle": 54}
    assert measured["Toe angle"] not in (54, TOE)


@pytest.mark.parametrize("again", [MARKING, moved()])
def test_what_was_checked_on_the_live_horse_is_left_as_it_is(tmp_path: Path, again: Marking) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    owner_saves(file, "Hooves!AC2", "yes")
    places = {
        **again.points,
        "toe_hairline": (again.points["toe_hairline"][0] + 9, again.points["toe_hairline"][1]),
    }
    mended = again if again is MARKING else replace(again, points=places)
    enter(file, mended, MARKING)
    rows = [(hoof["Checked on the live horse"], hoof["Stage"]) for hoof in hooves(file)]
    new = [] if again is MARKING else [("no", "after trim")]
    assert rows == [("yes", "after trim"), *new]


def test_another_view_of_the_same_photograph_stands_beside_the_first(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    front = Marking(
        "lf.jpg", "front", "LF", "Bramble", "2026-06-30",
        points={"medial_hairline": (10.0, 10.0), "medial_ground": (5.0, 90.0), "ground_medial": (1.0, 90.0),
                "ground_lateral": (99.0, 90.0)},
    )  # fmt: skip
    enter(file, front)
    assert [(each.view, len(each.points)) for each in markings_of(open_book(file))] == [
        ("side", len(PLACES)), ("front", 4),
    ]  # fmt: skip


def test_points_that_are_there_already_are_not_written_beside_or_over(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    assert refused(file, moved()) == "write-points-there"
    enter(file, replace(MARKING, foot="RF"))
    assert refused(file, MARKING, replace(MARKING, foot="RF")) == "write-points-there"


def once_more(by: float, *names: str) -> Marking:
    """The marking with some of its points, or all of them, placed a little elsewhere."""
    again = {name: (x + by, y) for name, (x, y) in PLACES.items() if name in names or not names}
    return replace(MARKING, points={**PLACES, **again})


def test_a_photograph_that_is_marked_once_more_adds_rows_and_moves_the_row_of_measures(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    photograph(file, content=PICTURE)
    enter(file)
    first = found(file, "Photo points")
    second = once_more(6, "toe_hairline", "heel_hairline", "heel_ground", "ground_front", "ground_back")
    done = enter(file, second, MARKING, again=True)
    rows = found(file, "Photo points")
    assert (rows[: len(PLACES)], len(rows)) == (first, len(PLACES) + 5)
    assert markings_of(open_book(file)) == (second,)
    assert open_book(file).point_part == pytest.approx(
        math.sqrt(6**2 / 2 / 2) / 4000
    )  # by hand, x and y pooled
    assert not [problem for problem in open_book(file).problems if problem.sheet == "Photo points"]
    (hoof,) = hooves(file)
    assert hoof["Toe angle"] == round(read_marking(second, **CAMERA)["toe_angle"].value, 1) != TOE
    for each in reversed(done):
        undo(file, id=each.id)
    assert found(file, "Photo points") == first
    assert [hoof["Toe angle"] for hoof in hooves(file)] == [TOE]


def test_marking_once_more_leaves_what_was_checked_or_changed_and_writes_no_second_row(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    owner_saves(file, "Hooves!AC2", "yes")
    before = hooves(file)
    enter(file, once_more(40, "toe_hairline"), MARKING, again=True)
    assert hooves(file) == before
    assert len(found(file, "Photo points")) == len(PLACES) + 1


def test_the_same_places_once_more_are_not_written_a_second_time(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    enter(file, once_more(6), MARKING, again=True)
    before = file.read_bytes()
    assert enter(file, once_more(6), once_more(6), again=True) == ()  # the answer to the first was lost
    assert file.read_bytes() == before
    assert refused(file, once_more(9), MARKING) == "write-points-changed"


def test_after_it_was_marked_once_more_a_marking_is_mended_in_its_rows(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    enter(file, once_more(6), MARKING, again=True)
    mended = replace(once_more(6), points={**once_more(6).points, "toe_hairline": (900.0, 900.0)})
    enter(file, mended, once_more(6))
    assert markings_of(open_book(file)) == (mended,)
    assert (len(found(file, "Photo points")), len(hooves(file))) == (2 * len(PLACES), 1)


def test_the_programs_own_row_is_known_again_whatever_error_of_a_point_it_was_written_with(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file, part=4 * POINT_SD.value)
    written = hooves(file)
    enter(file, moved(30), MARKING, part=POINT_SD.value / 2)
    enter(file, MARKING, moved(30), part=2 * POINT_SD.value)
    (hoof,) = hooves(file)
    now = read_marking(MARKING, **CAMERA, point_part=2 * POINT_SD.value)
    assert hoof["Toe angle"] == round(now["toe_angle"].value, 1)
    assert hoof["Remarks"] != written[0]["Remarks"]
    owner_saves(file, "Hooves!F2", float(str(hoof["Toe angle"])) + 0.1)
    enter(file, moved(30), MARKING, part=3 * POINT_SD.value)
    assert hooves(file)[0] == hoof | {"Toe angle": pytest.approx(float(str(hoof["Toe angle"])) + 0.1)}


def test_what_somebody_changed_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    enter(file, moved(), MARKING)
    assert refused(file, moved(9), MARKING) == "write-points-changed"
    owner_saves(file, "Photo points!J2", "my own remark")
    owner_saves(file, "Photo points!G3", 999)
    assert refused(file, moved(9), moved()) == "write-points-changed"


def test_a_row_that_moved_meanwhile_is_found_where_it_is_now(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file, replace(MARKING, photo="rf.jpg", foot="RF"))
    enter(file)
    owner_deletes_row(file, "Hooves", 2)
    enter(file, moved(), MARKING)
    left = [marking for marking in markings_of(open_book(file)) if marking.foot == "LF"]
    assert left == [moved()]
    assert [(hoof["Foot"], hoof["Photo"]) for hoof in hooves(file)] == [("LF", "lf.jpg")]


def test_while_points_still_wait_no_others_of_the_photograph_are_entered(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    lock = open_elsewhere(file)
    enter(file)
    assert refused(file, moved()) == "write-points-wait"
    lock.unlink()
    write_pending(file)
    assert markings_of(open_book(file)) == (MARKING,)
    assert len(hooves(file)) == 1


@pytest.mark.parametrize("typed", ["LF.JPG", "lf", "Lf.jpg"])
def test_a_photograph_bears_its_files_name_however_the_sheet_spells_it(tmp_path: Path, typed: str) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    photograph(file)
    enter(file, replace(MARKING, photo=typed))
    assert markings_of(open_book(file)) == (MARKING,)
    enter(file, moved(), MARKING)
    assert markings_of(open_book(file)) == (moved(),)
    assert len(hooves(file)) == 1
    assert {row["Photo"] for row in found(file, "Photo points")} == {typed}


def test_a_point_that_is_taken_off_goes_with_all_its_rows(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    row = next(row for row in found(file, "Photo points") if row["Point"] == "wall_third")
    book = openpyxl.load_workbook(file)
    book["Photo points"].append([row.get(cell.value) for cell in book["Photo points"][1]])
    book.save(file)
    enter(file, replace(MARKING, points={n: at for n, at in PLACES.items() if n != "wall_third"}), MARKING)
    (held,) = markings_of(open_book(file))
    assert "wall_third" not in held.points


def test_a_point_that_stands_more_than_once_keeps_its_earlier_places(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    book = openpyxl.load_workbook(file)
    sheet = book["Photo points"]
    names = [cell.value for cell in sheet[1]]
    for row in found(file, "Photo points")[:5]:
        again = row | {"X": float(str(row["X"])) + 7}
        sheet.append([again.get(name) for name in names])
    book.save(file)
    before = [(row["Point"], row["X"], row["Y"]) for row in found(file, "Photo points")]
    (held,) = markings_of(open_book(file))
    x, y = held.points["wall_third"]
    enter(file, replace(held, points={**held.points, "wall_third": (x + 3, y)}), held)
    after = [(row["Point"], row["X"], row["Y"]) for row in found(file, "Photo points")]
    assert [one[0] for one, other in zip(before, after, strict=True) if one != other] == ["wall_third"]
    assert enter(file, *2 * markings_of(open_book(file))) == ()
    elsewhere = replace(markings_of(open_book(file))[0], foot="RF")
    enter(file, elsewhere, *markings_of(open_book(file)))
    assert markings_of(open_book(file)) == (elsewhere,)


@pytest.mark.parametrize(("cell", "value"), [("B4", None), ("E4", None), ("D4", None), ("G4", "a lot")])
def test_one_faulty_row_takes_no_other_with_it(tmp_path: Path, cell: str, value: object) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    owner_saves(file, f"Photo points!{cell}", value)
    most = max(markings_of(open_book(file)), key=lambda marking: len(marking.points))
    assert len(most.points) >= len(PLACES) - 1


def test_a_photographs_own_error_stands_in_its_row_where_it_is_larger_than_the_record_shows(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    seen = read_marking(MARKING, **CAMERA)
    (hoof,) = hooves(file)
    said = str(hoof["Remarks"])
    record, _ = open_book(file).horses[0].feet[0]
    for key, words in (
        ("toe_angle", "toe angle"),
        ("toe_length", "toe length"),
        ("pastern_angle", "pastern angle"),
    ):
        own, shown = seen[key].sd, record.measures[key].sd
        assert (f"{words} ± {1.96 * own:.1f}" in said) == (round(1.96 * own, 1) > round(1.96 * shown, 1))
    assert said.startswith("By this photo's own error: toe angle ± ")


def test_a_foot_that_is_lacking_refuses_all_of_it(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    before = file.read_bytes()
    done = enter(file, replace(MARKING, foot=""))
    assert {each.state for each in done} == {"refused"}
    assert file.read_bytes() == before


def test_figures_that_are_no_longer_measured_go_with_their_points(tmp_path: Path) -> None:
    file = barn(tmp_path, Horses=[HORSE])
    enter(file)
    toe = {name: place for name, place in PLACES.items() if not name.startswith("heel")}
    enter(file, replace(MARKING, points=toe), MARKING)
    (hoof,) = hooves(file)
    assert "Heel angle" not in hoof
    assert hoof["Toe angle"] == pytest.approx(TOE, abs=1)


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


@pytest.mark.parametrize("typed", ["0", "x", "0 x 5 mm"])
def test_a_size_that_is_none_is_told_in_one_sentence(typed: str) -> None:
    told = [problem.kind for problem in read_marking(replace(MARKING, card=typed), **CAMERA).problems]
    assert [kind for kind in told if kind in ("photo-size", "photo-card-size")] == ["photo-size"]
    told = [problem.kind for problem in read_marking(replace(MARKING, scale=typed), **CAMERA).problems]
    assert [kind for kind in told if kind in ("photo-size", "photo-scale-size")] == ["photo-size"]
