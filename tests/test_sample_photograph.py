"""The drawn photographs: the camera is a true one, the truth is the model's, and the picture shows what is marked."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from sample_workbooks.build import build_demo
from sample_workbooks.foot_camera import SIZE
from sample_workbooks.foot_days import FOOT, TOLD_FOCAL, Shot, marked
from sample_workbooks.foot_jpeg import as_jpeg, dated
from sample_workbooks.foot_model import HEEL_OUT
from sample_workbooks.foot_photograph import drawn
from sample_workbooks.year_feet import TRIMS, hooves, shots
from sample_workbooks.year_photos import kept_at
from tracker import find_photo, look_at_photo, markings_of, open_book, read_marking, side_view
from tracker.derive.photo.points import SIDE
from tracker.reference.measuring import reading_sd
from tracker.sheets import HOOVES

CARD = (85.60, 53.98)  # ISO/IEC 7810, ID-1
START = dt.date(2025, 11, 21)
SHOTS = shots()
NAMES = [shot.name for shot in SHOTS]
each_shot = pytest.mark.parametrize("shot", SHOTS, ids=NAMES)

# Measures of one plane; the parallax of the heel does not touch them (see `sample_workbooks.foot_model`).
PLAIN = (
    "toe_angle",
    "upper_toe_angle",
    "lower_toe_angle",
    "heel_angle",
    "heel_lag",
    "pastern_angle",
    "axis_break",
)


def slope(one: Any, other: Any) -> float:
    """Angle to the ground, deg, as the side profile shows it."""
    x, y = np.abs(np.subtract(one, other))[:2]
    return float(np.degrees(np.arctan2(y, x)))


def truth(shot: Shot) -> dict[str, float]:
    """The angles that the model's landmarks make in the plane of the side profile."""
    at = shot.foot.landmarks()
    toe, heel = slope(at["toe_hairline"], at["toe_ground"]), slope(at["heel_hairline"], at["heel_ground"])
    pastern = slope(at["pastern_upper"], at["pastern_lower"])
    return {
        "toe_angle": toe, "heel_angle": heel, "pastern_angle": pastern,
        "upper_toe_angle": slope(at["toe_hairline"], at["wall_third"]),
        "lower_toe_angle": slope(at["wall_third"], at["toe_ground"]),
        "heel_lag": toe - heel, "axis_break": pastern - toe,
    }  # fmt: skip


@each_shot
def test_the_camera_is_opencvs(shot: Shot) -> None:
    camera, world = shot.camera, np.array([*shot.foot.landmarks().values()])
    lens = np.array([[camera.focal, 0, SIZE[0] / 2], [0, camera.focal, SIZE[1] / 2], [0, 0, 1]])
    turned, _ = cv2.Rodrigues(camera.turn)
    moved = -camera.turn @ np.array(camera.place)
    expected, _ = cv2.projectPoints(world, turned, moved, lens, np.zeros(5))
    assert np.array([*shot.true_points.values()]) == pytest.approx(expected[:, 0], abs=1e-6)


@each_shot
def test_rays_lead_back_to_what_was_seen(shot: Shot) -> None:
    world = np.array([*shot.foot.landmarks().values()])
    pixels, depth = shot.camera.project(world)
    assert shot.camera.place + depth[:, None] * shot.camera.rays(pixels) == pytest.approx(world)


@each_shot
def test_the_model_has_the_angles_that_it_was_asked_for(shot: Shot) -> None:
    true, foot = truth(shot), shot.foot
    for name in ("toe_angle", "heel_angle", "pastern_angle"):
        assert true[name] == pytest.approx(getattr(foot, name)), name
    assert true["upper_toe_angle"] > true["toe_angle"] > true["lower_toe_angle"]


@each_shot
def test_the_landmarks_lie_on_what_is_drawn(shot: Shot) -> None:
    at, foot = shot.foot.landmarks(), shot.foot
    one, end = np.array(1.0), np.array(0.0)
    assert foot.wall(end, end) == pytest.approx(at["toe_hairline"])
    assert foot.wall(end, one) == pytest.approx(at["toe_ground"])
    assert foot.wall(one, end) == pytest.approx(at["heel_hairline"])
    assert foot.wall(one, one) == pytest.approx(at["heel_ground"])
    front = np.array([foot.skin(np.zeros(1), np.full(1, up))[0] for up in np.linspace(0, 1, 4001)])
    for name in ("pastern_lower", "pastern_upper"):
        assert np.linalg.norm(front - at[name], axis=1).min() < 0.2, name


@each_shot
def test_every_point_in_the_picture_and_no_other(shot: Shot) -> None:
    assert set(shot.true_points) < set(SIDE)
    assert {"toe_hairline", "heel_ground", "wall_third", "pastern_upper", "line4_lower", "card_4"} <= set(
        shot.true_points
    )
    for name, (x, y) in shot.true_points.items():
        assert 100 < x < SIZE[0] - 100, name
        assert 100 < y < SIZE[1] - 100, name


def test_the_intervals_hold_the_models_angles() -> None:
    # JCGM 100:2008, 6.2: value ± 1.96 sd holds about 95 of 100; 40 seeds, 2 photographs, 7 angles.
    apart: dict[str, list[float]] = {name: [] for name in PLAIN}
    for shot in SHOTS:
        true, places = truth(shot), np.array([*shot.true_points.values()])
        noise = np.random.default_rng(shot.day).normal(0, 2, (40, *places.shape))
        points = dict(zip(shot.true_points, (places + noise).swapaxes(0, 1), strict=True))
        seen = side_view(points, card_mm=CARD, focal_px=shot.camera.focal, image_size=SIZE, point_sd_px=2.0)
        for name in PLAIN:
            measure = seen[name]
            apart[name] += list((np.asarray(measure.value) - true[name]) / np.asarray(measure.sd))
    every = np.abs(np.array([*apart.values()]))
    assert 0.90 <= (every <= 1.96).mean() <= 0.99
    for name, values in apart.items():
        assert np.mean(np.abs(values) <= 1.96) >= 0.875, name  # 70 of 80, P < 0.01 for 95 of 100
        assert np.std(values) > 0.5, name  # nor are they far too wide


@each_shot
def test_the_heels_parallax_is_what_the_model_says(shot: Shot) -> None:
    seen = side_view(
        shot.true_points, card_mm=CARD, focal_px=shot.camera.focal, image_size=SIZE, tilt_sd_deg=8
    )
    larger = shot.camera.place[2] / (shot.camera.place[2] - HEEL_OUT)
    assert 1.03 < larger < 1.04
    assert seen["heel_length"].value == pytest.approx(shot.foot.heel_length * larger, rel=0.015)
    assert seen["toe_length"].value == pytest.approx(shot.foot.toe_length, rel=0.015)
    assert seen["heel_angle"].value == pytest.approx(shot.foot.heel_angle, abs=0.3)
    at = shot.foot.landmarks()
    lines = {f"line{n}_angle": (f"line{n}_upper", f"line{n}_lower") for n in range(1, 5)}
    for name, (one, other) in (lines | {"hairline_angle": ("toe_hairline", "heel_hairline")}).items():
        assert seen[name].value == pytest.approx(slope(at[one], at[other]), abs=0.4), name
    assert seen["support_length"].value == pytest.approx(shot.foot.support_length, abs=1.7)


def grey(jpeg: bytes) -> Any:
    return np.asarray(Image.open(io.BytesIO(jpeg)).convert("L"), float)


def edge(picture: Any, place: Any, along: Any) -> float:
    """How far from the place, across the line, the picture changes most, px."""
    along = along / np.linalg.norm(along)
    across = np.array([along[1], -along[0]])
    steps, beside = np.arange(-40, 41), np.arange(-12, 13)
    spot = place + steps[:, None, None] * across + beside[None, :, None] * along
    x, y = np.rint(spot - 0.5).astype(int).transpose(2, 0, 1)
    light = np.convolve(picture[y, x].mean(axis=1), np.ones(5) / 5, "valid")
    return float(abs((steps[2:-3] + steps[3:-2])[np.abs(np.diff(light)).argmax()] / 2))


@each_shot
def test_light_meets_dark_where_the_landmarks_say(shot: Shot) -> None:
    picture, foot, at = grey(kept_at(shot).read_bytes()), shot.foot, shot.foot.landmarks()
    parts = np.linspace(0.2, 0.8, 7)
    between = {
        name: at[one] + parts[:, None] * (at[other] - at[one])
        for name, one, other in (
            ("heel", "heel_hairline", "heel_ground"),
            ("pastern", "pastern_upper", "pastern_lower"),
            ("card, right", "card_2", "card_3"),
            ("card, above", "card_3", "card_4"),
        )
    }
    between["toe"] = foot.wall(np.zeros(7), parts)
    between["hairline"] = foot.hairline(np.linspace(0.3, 0.9, 7))
    for name, world in between.items():
        pixels, _ = shot.camera.project(world)
        ways = np.gradient(pixels, axis=0)
        off = [edge(picture, place, along) for place, along in zip(pixels, ways, strict=True)]
        allowed = 8 if name == "hairline" else 3  # hair hangs over the horn by a mm or so, 10 px a mm
        assert np.median(off) <= allowed, (name, off)


@each_shot
def test_the_kept_picture_is_what_the_script_draws(shot: Shot) -> None:
    small = replace(shot.camera, scale=0.1)
    anew = grey(as_jpeg(drawn(shot.foot, small, shot.look)))
    kept = Image.open(kept_at(shot)).convert("L").resize(small.size, Image.Resampling.BOX)
    assert np.abs(anew - np.asarray(kept, float)).mean() < 4


@each_shot
def test_the_file_tells_its_lens_and_nothing_of_a_place(shot: Shot) -> None:
    kept = kept_at(shot).read_bytes()
    day = START + dt.timedelta(shot.day)
    photo = look_at_photo(dated(kept, day), today=day)
    assert (photo.format, photo.width, photo.height, photo.taken) == ("JPEG", *SIZE, day)
    assert photo.focal_px == pytest.approx(shot.camera.focal, rel=0.02)
    assert photo.focal_px == pytest.approx(TOLD_FOCAL)
    assert len(kept) < 700_000
    assert not Image.open(io.BytesIO(kept)).getexif().get_ifd(0x8825)  # GPSInfo, CIPA DC-008


@each_shot
def test_the_story_of_the_foot_is_the_same_by_hand(shot: Shot) -> None:
    """By gauge and ruler on the day of the trim before, against what the photograph truly shows."""
    trim = max(day for day in TRIMS if day <= shot.day)
    when, true = START + dt.timedelta(trim), shot.foot
    by_hand = [
        row for row in hooves(START) if (row["Date"], row["Foot"], row["Stage"]) == (when, FOOT, "after trim")
    ]
    assert len(by_hand) == 2
    for row in by_hand:
        for name in ("Toe angle", "Heel angle", "Toe length", "Heel length", "Support length"):
            if name in row:
                key = name.lower().replace(" ", "_")
                sd = reading_sd(key, str(row["Measured with"]))
                assert abs(float(str(row[name])) - getattr(true, key)) <= 1.96 * sd, name


@each_shot
def test_the_points_are_set_about_two_pixels_off(shot: Shot) -> None:
    marking, _ = marked(shot)
    off = np.array([np.subtract(marking.points[name], place) for name, place in shot.true_points.items()])
    assert 1.4 < off.std() < 2.6
    assert np.abs(off).max() < 8


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "a-year-barefoot.xlsx"
    build_demo(path, START + dt.timedelta(364))
    return path


def test_the_demo_has_both_photographs_with_their_points(demo: Path) -> None:
    book = open_book(demo)
    markings = markings_of(book)
    assert [marking.photo for marking in markings] == NAMES
    hoof = book.tables[HOOVES.name].frame
    for shot, marking in zip(SHOTS, markings, strict=True):
        photo = look_at_photo(find_photo(demo, marking.photo), today=START + dt.timedelta(364))
        assert str(photo.taken) == marking.date
        seen = read_marking(marking, focal_px=photo.focal_px, image_size=(photo.width, photo.height))
        assert seen.doubts == ()
        (row,) = hoof[hoof["photo"] == shot.name].to_dict("records")
        assert (row["measured_with"], row["checked_on_the_live_horse"]) == ("photo", "no")
        for key in (
            "toe_angle",
            "heel_angle",
            "hairline_angle",
            "pastern_angle",
            "toe_length",
            "support_length",
        ):
            assert row[key] == pytest.approx(seen[key].value, abs=0.051), key


def test_the_demo_finds_nothing_wrong_with_them(demo: Path) -> None:
    told = [problem for problem in open_book(demo).problems if "hoto" in str(problem)]
    assert told == []
