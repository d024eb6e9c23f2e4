"""A line to compare with is asked for in the owner's own words; what makes no sense is said, and the rest is drawn."""

from __future__ import annotations

from typing import Any

import camera
import pytest
from photo_points import SIDE

from tracker import Marking, lines_beside
from tracker.derive.photo.guides import HairlineGuide, HeelLine
from tracker.entry.beside import Beside, angle_of, depth_of
from tracker.show.marking import LINE_CAUTION, line_in_words, line_needs

CAMERA: dict[str, Any] = {"focal_px": camera.FOCAL, "image_size": camera.SIZE}
WHOLE = Marking("lf.jpg", "side", foot="LF", points=SIDE, scale="100 mm", card="85.60 x 53.98 mm")


def beside(*wanted: tuple[str, str], marking: Marking = WHOLE) -> list[Beside]:
    return lines_beside(marking, wanted, **CAMERA)


@pytest.mark.parametrize(
    ("text", "angle"), [("30°", 30), ("25", 25), ("22,5 deg", 22.5), (" 27.5 degrees ", 27.5)]
)
def test_an_angle_is_read_as_it_is_typed(text: str, angle: float) -> None:
    assert angle_of(text) == angle


@pytest.mark.parametrize(
    "text", ["", "steep", "0", "-30", "90", "300", "20-30", "30 mm", "1/2", "30 25", "9" * 200]
)
def test_what_is_no_angle_of_a_hairline_is_none(text: str) -> None:
    assert angle_of(text) is None


@pytest.mark.parametrize(
    ("text", "depth"),
    [  # the inch is exactly 25.4 mm: international yard and pound agreement, 1959
        ("1 1/8 in", 28.575), ("1 1/4", 31.75), ("1½ in", 38.1), ('1-1/8"', 28.575), ("1.25 inches", 31.75),
        ("35 mm", 35), ("35", 35), ("28,6", 28.6), ("3 cm", 30), ("7/8 in", 22.225), ("7/8", 22.225),
    ],
)  # fmt: skip
def test_a_depth_is_read_in_the_owners_unit(text: str, depth: float) -> None:
    assert depth_of(text) == pytest.approx(depth)


@pytest.mark.parametrize(
    "text",
    ["", "deep", "0", "-35 mm", "30 in", "1 hand", "3", "30-35 mm", "35 mm 2", "0.1 mm", "1 3/5", "900 mm"],
)  # 3 may be inches or centimetres, 1 3/5 is no part of an inch by halving
def test_what_is_no_depth_or_may_be_two_is_none(text: str) -> None:
    assert depth_of(text) is None


def test_each_line_is_drawn_at_its_own_value() -> None:
    found = beside(("hairline", "25"), ("heel", "1 1/8 in"), ("heel", "35 mm"))
    hairline, heel, deeper = (each.line for each in found)
    assert isinstance(hairline, HairlineGuide)
    assert isinstance(heel, HeelLine)
    assert isinstance(deeper, HeelLine)
    assert (hairline.angle, heel.depth, deeper.depth) == (25, pytest.approx(28.575), 35)


def test_the_same_line_typed_twice_is_drawn_once() -> None:
    assert (
        len(beside(("heel", "1 1/8 in"), ("heel", "28.575 mm"), ("hairline", "30°"), ("hairline", "30"))) == 2
    )


def test_a_value_that_makes_no_sense_is_one_sentence_and_the_rest_is_drawn() -> None:
    wrong, right = beside(("hairline", "steep"), ("heel", "1 1/8 in"))
    assert wrong.line is None
    assert wrong.problem
    assert wrong.problem.kind == "guide-angle"
    assert "“steep”" in wrong.problem.message
    assert "30°" in wrong.problem.hint
    assert right.line
    assert right.problem is None


def test_nothing_typed_asks_for_nothing_and_no_other_view_has_lines() -> None:
    assert beside(("hairline", " "), ("heel", ""), ("sole", "3 in")) == []
    assert beside(("hairline", "30"), marking=Marking("lf.jpg", "front", points=SIDE)) == []


def test_a_line_that_the_points_do_not_allow_says_what_it_needs() -> None:
    bare = Marking("lf.jpg", "side", points={"heel_hairline": SIDE["heel_hairline"]})
    for each in beside(("hairline", "30"), ("heel", "35 mm"), marking=bare):
        assert (each.line, each.problem) == (None, None)
        assert "needs" in line_needs(each.kind)


def test_it_is_told_as_typed_for_each_marked_point_and_never_says_what_to_do() -> None:
    ends = {"line1_lower": (1900.0, 1550.0), "line1_upper": (1930.0, 1500.0)}
    marking = Marking("lf.jpg", "side", points=SIDE | ends, scale="100 mm", card="85.60 x 53.98 mm")
    found = beside(("hairline", "25"), ("heel", "1 3/8 in"), ("heel", "35 mm"), marking=marking)
    hairline, heel, other = (line_in_words(each.line, each.said) for each in found if each.line)
    assert "than a line at 25°" in hairline[0]
    assert hairline[1] == []
    assert heel[0] == "Beside the line 1 3/8 in (34.9 mm) below the heel's hairline:"
    assert other[0] == "Beside the line 35 mm below the heel's hairline:"
    assert [point.partition(" reaches ")[0] for point in heel[1]] == ["Heel ground", "Line 1, lower end"]
    told = [hairline[0], *heel[1], *other[1]]
    assert not {"cut", "trim", "should", "must"} & set(" ".join(told).lower().split())
    assert "Common practice, no published source" in LINE_CAUTION
    assert "live foot decides" in LINE_CAUTION
