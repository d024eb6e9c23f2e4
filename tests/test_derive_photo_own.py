"""Each row of measures gets the own errors of the photograph from which it came, and of no other."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from photo_points import FRONT_MM, SIDE_MM, SOLE_MM, shot
from tables import table

from tracker.derive.photo.again import ANOTHER_PLACE, learned_point_part
from tracker.derive.photo.marking import Marking, read_marking
from tracker.derive.photo.markings import (
    Row,
    hoof_rows,
    key_of_marking,
    markings_in,
    names_among,
    point_rows,
)
from tracker.derive.photo.own import Camera, errors_of, own_errors, seen_together
from tracker.derive.repeats import ENOUGH, LEAST_PART
from tracker.reference.photo import POINT_SD
from tracker.sheets import HOOVES, PHOTO_POINTS

SIZE = (4000.0, 3000.0)
CAMERA: Camera = (3000.0, SIZE)
CARD = "85.60 x 53.98 mm"
PLACES = shot(SIDE_MM)
NAMED = names_among(["a.jpg", "b.jpg"])


def points(
    photo: str = "a.jpg", foot: str = "LF", date: str = "2026-03-01", view: str = "side", by: float = 0
) -> str:
    mm = {"side": SIDE_MM, "front": FRONT_MM, "sole": SOLE_MM}[view]
    sizes = {"card_1": CARD}
    lines = [
        f"{photo} | {date} | {foot} | {view} | {name} | {x + by} | {y} | {sizes.get(name, '')}"
        for name, (x, y) in shot(mm).items()
        if not name.startswith("scale")
    ]
    return "\n".join(["photo | date | foot | view | point | x | y | size", *lines])


def rows_of(*sheets: str) -> list[Row]:
    first, *rest = sheets
    text = "\n".join([first, *("\n".join(sheet.splitlines()[1:]) for sheet in rest)])
    return [*point_rows(table(PHOTO_POINTS, text), NAMED)]


def own(hooves: str, *marked: str, cameras: dict[str, Camera] | None = None, **more: Any) -> dict[int, Any]:
    rows = [*hoof_rows(table(HOOVES, hooves), NAMED)]
    known = {"a.jpg": CAMERA, "b.jpg": CAMERA} if cameras is None else cameras
    markings = markings_in(rows_of(*marked), rows)
    return dict(own_errors(rows, markings, seen_together(markings, known, **more)))


def hoof(*rows: str) -> str:
    return "\n".join(["date | foot | measured_with | photo | toe_angle", *rows])


def test_a_row_has_what_its_photograph_says_of_each_measure() -> None:
    (found,) = own(hoof("2026-03-01 | LF | photo | a.jpg | 50"), points()).values()
    (marking,) = markings_in(rows_of(points()), [])
    seen = read_marking(marking, focal_px=CAMERA[0], image_size=SIZE)
    assert found == {name: pytest.approx(measure.sd) for name, measure in seen.items()}
    assert found["toe_angle"] > 1


def test_all_views_of_a_photograph_count_by_the_names_of_the_columns() -> None:
    (found,) = own(hoof("2026-03-01 | LF | photo | A | 50"), points(), points(view="sole")).values()
    assert {"toe_angle", "hoof_width", "heel_bulb_distance"} <= found.keys()
    assert "bulb_distance" not in found


@pytest.mark.parametrize(
    "row",
    [
        "2026-03-01 | LF | gauge | a.jpg | 50",
        "2026-03-01 | LF |       | a.jpg | 50",
        "2026-03-01 | RF | photo | a.jpg | 50",
        "2026-03-01 | LF | photo | b.jpg | 50",
        "2026-03-01 | RF | photo |       | 50",
        "2026-03-02 | LF | photo |       | 50",
    ],
)
def test_a_row_that_came_from_elsewhere_has_none(row: str) -> None:
    assert own(hoof(row), points()) == {}


def test_a_row_without_a_photographs_name_came_from_the_only_one_of_its_day() -> None:
    blank, other = "2026-03-01 | LF | photo | | 50", "2026-03-01 | LF | photo | b.jpg | 50"
    assert [*own(hoof(blank), points())] == [2]
    assert own(hoof(blank), points(), points("b.jpg")) == {}
    assert [*own(hoof(blank, other), points(), points("b.jpg"))] == [2, 3]
    assert [*own(hoof(blank, other), points("b.jpg"))] == [3]
    assert own(hoof(blank, blank), points()) == {}


def test_a_photograph_that_is_not_there_has_no_own_error() -> None:
    rows = hoof("2026-03-01 | LF | photo | a.jpg | 50", "2026-03-01 | RF | photo | b.jpg | 50")
    found = own(rows, points(), points("b.jpg", "RF"), cameras={"b.jpg": CAMERA})
    assert [*found] == [3]


def test_points_that_measure_nothing_give_none() -> None:
    one = "photo | date | foot | view | point | x | y\na.jpg | 2026-03-01 | LF | side | toe_ground | 5 | 5"
    assert own(hoof("2026-03-01 | LF | photo | a.jpg | 50"), one) in ({}, {2: {}})


def some(number: int, dice: np.random.Generator) -> Marking:
    """A marking of any view, tilted, with points missing here and there, and perhaps a scale."""
    view, mm = (("side", SIDE_MM), ("front", FRONT_MM), ("sole", SOLE_MM))[number % 3]
    tilted = shot(mm, yaw=dice.uniform(-12, 12), pitch=dice.uniform(-8, 8))
    kept = {
        name: (x + dice.normal(0, 2), y + dice.normal(0, 2))
        for name, (x, y) in tilted.items()
        if dice.random() > 0.1
    }
    card, scale = dice.choice(["", CARD]), dice.choice(["", "100 mm"])
    return Marking(f"{number}.jpg", view, "LF", points=kept, scale=scale, card=card)


def test_many_photographs_at_once_have_the_errors_of_each_alone() -> None:
    dice = np.random.default_rng(5)
    markings = [some(number, dice) for number in range(45)]
    cameras: dict[str, Camera] = {
        marking.photo: (dice.choice([None, 2900.0, 3100.0]), SIZE) for marking in markings
    }
    together = errors_of(seen_together(markings, cameras))
    for marking in markings:
        focal, size = cameras[marking.photo]
        alone = errors_of(seen_together([marking], cameras))[key_of_marking(marking)]
        seen = read_marking(marking, focal_px=focal, image_size=size)
        assert alone == {
            {"bulb_distance": "heel_bulb_distance"}.get(name, name): pytest.approx(found.sd)
            for name, found in seen.items()
        }
        assert together[key_of_marking(marking)] == pytest.approx(alone)


def again(count: int, sd: float, seed: int = 2) -> list[Row]:
    """The points of one photograph, so many times over, each time a little elsewhere."""
    dice = np.random.default_rng(seed)
    (first, *_) = [rows_of(points())]
    return [
        {**row, "x": row["x"] + dice.normal(0, sd), "y": row["y"] + dice.normal(0, sd)}
        for _ in range(count)
        for row in first
    ]


def test_points_that_were_placed_again_tell_how_well_they_are_placed() -> None:
    part = learned_point_part(again(30, 6), {"a.jpg": CAMERA})
    assert part == pytest.approx(6 / 4000, rel=0.1)


def test_pictures_of_different_sizes_are_pooled_as_parts_of_them() -> None:
    small = [{**row, "photo": "b.jpg", "x": row["x"] / 2, "y": row["y"] / 2} for row in again(30, 6, seed=3)]
    cameras = {"a.jpg": CAMERA, "b.jpg": (None, (2000.0, 1500.0))}
    assert learned_point_part([*again(30, 6), *small], cameras) == pytest.approx(6 / 4000, rel=0.1)


def test_too_little_placed_again_teaches_nothing() -> None:
    rows = again(2, 6)
    half = len(rows) // 2
    few = ENOUGH // 2 - 1  # each point that was placed twice is two repeats, x and y
    assert learned_point_part(rows[:half], {"a.jpg": CAMERA}) is None
    assert learned_point_part(rows[: half + few], {"a.jpg": CAMERA}) is None
    assert learned_point_part(rows[: half + few + 1], {"a.jpg": CAMERA}) is not None
    assert learned_point_part(rows, {}) is None


def test_a_row_typed_twice_and_a_point_put_right_teach_nothing() -> None:
    rows = again(1, 0)
    assert learned_point_part([*rows, *rows], {"a.jpg": CAMERA}) is None
    far = 1.01 * ANOTHER_PLACE * POINT_SD.value * 4000
    righted = [{**row, "x": row["x"] + far} for row in rows]
    assert learned_point_part([*rows, *righted], {"a.jpg": CAMERA}) is None


def test_nobody_is_believed_to_place_points_much_better_than_others() -> None:
    part = learned_point_part(again(5, 0.01), {"a.jpg": CAMERA})
    assert part == LEAST_PART * POINT_SD.value


def test_what_was_learned_stands_in_for_the_usual_error_of_a_point() -> None:
    row = hoof("2026-03-01 | LF | photo | a.jpg | 50")
    (usual,) = own(row, points()).values()
    (worse,) = own(row, points(), point_part=3 * POINT_SD.value).values()
    assert worse["hairline_angle"] == pytest.approx(3 * usual["hairline_angle"], rel=0.25)
    (marking,) = markings_in(rows_of(points()), [])
    seen = read_marking(
        replace(marking, photo="b.jpg"), focal_px=CAMERA[0], image_size=SIZE, point_part=3 * POINT_SD.value
    )
    assert worse["hairline_angle"] == pytest.approx(seen["hairline_angle"].sd)
