"""Every point has its place in a drawing, and the drawing marks that place and no other."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from dashboards.point_drawings import HEIGHT, PLACES, WIDTH, drawing_of
from tracker.derive.photo.points import FRONT, SIDE, SOLE

VIEWS = {"side": SIDE, "front": FRONT, "sole": SOLE}
ALL = [(view, point) for view, points in VIEWS.items() for point in points]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("view", VIEWS)
def test_every_point_of_a_view_has_its_place(view: str) -> None:
    assert set(PLACES[view]) == set(VIEWS[view])


@pytest.mark.parametrize(("view", "point"), ALL)
def test_the_drawing_marks_the_point(view: str, point: str) -> None:
    drawn = ElementTree.fromstring(drawing_of(view, point))
    (asked,) = drawn.findall(f"{SVG}g[@class='asked']")
    for circle in asked:
        x, y, reach = (float(circle.attrib[name]) for name in ("cx", "cy", "r"))
        assert (x, y) == pytest.approx(PLACES[view][point], abs=0.05)
        assert reach < x < WIDTH - reach
        assert reach < y < HEIGHT - reach


def test_no_two_points_of_a_view_share_a_place() -> None:
    for view in VIEWS:
        assert len(set(PLACES[view].values())) == len(PLACES[view])


def test_the_drawings_are_read_on_any_page() -> None:
    """Their colours are their own: an image knows nothing of the page's."""
    for view, point in ALL:
        text = drawing_of(view, point)
        assert not re.search(r"currentColor|var\(|<style|class=\"(?!asked)", text)
        assert len(text) < 6000


def test_the_side_view_stands_as_a_foot_does() -> None:
    """The order along the hairline and along the ground; toe on the left."""
    at = PLACES["side"]
    uppers = [at["toe_hairline"], *(at[f"line{n}_upper"] for n in range(1, 10)), at["heel_hairline"]]
    lowers = [at["toe_ground"], *(at[f"line{n}_lower"] for n in range(1, 10)), at["heel_ground"]]
    for row in (uppers, lowers):
        assert [x for x, _ in row] == sorted(x for x, _ in row)
    third = [
        a + (b - a) / 3 for a, b in zip(at["toe_hairline"], at["toe_ground"], strict=True)
    ]  # the definition of wall_third
    assert at["wall_third"] == pytest.approx(third)
