"""The foot drawn from its measures: what is measured back from the picture is what was measured on the foot."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tracker import open_book
from tracker.derive.photo.growth import GrowthLine
from tracker.derive.uncertainty import Measure
from tracker.show.foot import HOW_DRAWN, foot_pictures
from tracker.show.foot_shape import Profile, shape_of
from tracker.show.foot_svg import foot_svg, foot_words

SVG = "{http://www.w3.org/2000/svg}"
SAMPLES = Path(__file__).parents[1] / "sample_workbooks"
Point = tuple[float, float]


def deg(value: float, sd: float = 1.0) -> Measure:
    return Measure(value, sd, "deg", "gauge")


def mm(value: float, sd: float = 1.0) -> Measure:
    return Measure(value, sd, "mm", "ruler")


WHOLE = {"toe_angle": deg(50), "toe_length": mm(85), "heel_angle": deg(42), "heel_length": mm(38),
         "support_length": mm(118)}  # fmt: skip


def profile(when: str = "1 Mar 2026, after trim", **other: object) -> Profile:
    return Profile(when, **(WHOLE | other))  # type: ignore[arg-type]


class Drawing:
    """A picture read with an XML parser, in pixels as they stand there."""

    def __init__(self, svg: str) -> None:
        self.root = ElementTree.fromstring(svg)
        self.left, self.top, self.width, self.height = map(float, self.root.attrib["viewBox"].split())
        bar = self.points(self.root.find(f"{SVG}g[@class='scale']/{SVG}path"))  # type: ignore[arg-type]
        self.scale = (bar[2][0] - bar[1][0]) / 50  # the bar says that it is 50 mm

    def points(self, path: ElementTree.Element) -> list[Point]:
        """The corners of a path."""
        numbers = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", path.attrib["d"])]
        return list(zip(numbers[::2], numbers[1::2], strict=True))

    def lines(self, group: str, name: str) -> list[list[Point]]:
        """All paths of one name of the latest (now) or of the first."""
        found = self.root.find(f"{SVG}g[@class='{group}']")
        paths = [] if found is None else found.findall(f"{SVG}path")
        return [self.points(path) for path in paths if path.attrib["class"].split()[0] == name]

    def line(self, group: str, name: str) -> tuple[Point, Point]:
        """The one straight measured line of that name: the first of its paths."""
        start, end = self.lines(group, name)[0]
        return start, end

    def length(self, group: str, name: str) -> float:
        """In mm by the scale bar."""
        return math.dist(*self.line(group, name)) / self.scale

    def angle(self, group: str, name: str) -> float:
        """Above the ground, as seen from the toe: 0 to 180 from the way towards the heel."""
        (x1, y1), (x2, y2) = self.line(group, name)
        return math.degrees(math.atan2(y1 - y2, x2 - x1))

    @property
    def texts(self) -> list[str]:
        """All that is written."""
        return ["".join(text.itertext()) for text in self.root.iter(f"{SVG}text")]

    @property
    def names(self) -> set[str]:
        """What all paths are called."""
        return {path.attrib["class"].split()[0] for path in self.root.iter(f"{SVG}path")}


# Two decimals of a pixel are kept, and a millimetre is at least 1.5 pixels.
CLOSE_MM, CLOSE_DEG = 0.03, 0.05


@given(
    st.floats(30, 75), st.floats(60, 120), st.floats(15, 75), st.floats(20, 60), st.floats(80, 160), st.booleans()
)  # fmt: skip
def test_what_is_measured_back_from_the_picture_is_what_was_measured(
    toe: float, long: float, heel: float, short: float, support: float, toe_left: bool
) -> None:
    # Independent: a ruler and a protractor laid on the coordinates in the file.
    own = Profile("", deg(toe), mm(long), deg(heel), mm(short), support_length=mm(support))
    assume(shape_of(own).closed)
    drawing = Drawing(foot_svg("Left fore", own, toe_left=toe_left))
    turned = (lambda angle: angle) if toe_left else (lambda angle: 180 - angle)
    assert turned(drawing.angle("now", "toe-wall")) == pytest.approx(toe, abs=CLOSE_DEG)
    assert turned(drawing.angle("now", "heel-wall")) == pytest.approx(heel, abs=CLOSE_DEG)
    assert drawing.length("now", "toe-wall") == pytest.approx(long, abs=CLOSE_MM)
    assert drawing.length("now", "heel-wall") == pytest.approx(short, abs=CLOSE_MM)
    assert drawing.length("now", "support") == pytest.approx(support, abs=CLOSE_MM)
    everything_lies_inside(drawing)


def everything_lies_inside(drawing: Drawing) -> None:
    assert (drawing.left, drawing.top, drawing.width) == (0, 0, 360)
    assert 100 < drawing.height < 700
    for path in drawing.root.iter(f"{SVG}path"):
        for x, y in drawing.points(path):
            assert -0.5 <= x <= drawing.width + 0.5, path.attrib["class"]
            assert -0.5 <= y <= drawing.height + 0.5, path.attrib["class"]


def test_the_first_is_drawn_to_the_same_scale_on_the_same_ground() -> None:
    first = Profile("1 Mar 2024", deg(38), mm(105), deg(25), mm(45), support_length=mm(135))
    drawing = Drawing(foot_svg("Left fore", profile(), first))
    assert drawing.angle("first", "toe-wall") == pytest.approx(38, abs=CLOSE_DEG)
    assert drawing.angle("first", "heel-wall") == pytest.approx(25, abs=CLOSE_DEG)
    assert drawing.length("first", "toe-wall") == pytest.approx(105, abs=CLOSE_MM)
    assert drawing.length("first", "support") == pytest.approx(135, abs=CLOSE_MM)
    now, then = (drawing.line(group, "toe-wall") for group in ("now", "first"))
    assert now[0][1] == then[0][1]  # one ground
    assert now[1][0] == pytest.approx(then[1][0], abs=0.01)  # the hairline at the toe above itself
    everything_lies_inside(drawing)


def test_the_first_can_be_told_without_colour() -> None:
    first = profile("1 Mar 2024", toe_angle=deg(45))
    root = Drawing(foot_svg("Left fore", profile(), first)).root
    widths = {
        name: {
            float(path.attrib["stroke-width"])
            for path in root.findall(f"{SVG}g[@class='{name}']/{SVG}path")
            if path.attrib["class"].split()[0] in ("toe-side", "heel-side", "bearing", "hairline-side")
        }
        for name in ("now", "first")
    }
    assert len(widths["now"]) == len(widths["first"]) == 1
    assert min(widths["now"]) >= 1.5 * max(widths["first"])


def test_the_pasterns_front_is_as_measured_and_else_has_no_line() -> None:
    with_it = Drawing(foot_svg("Left fore", profile(pastern_angle=deg(55))))
    assert with_it.angle("now", "pastern") == pytest.approx(55, abs=CLOSE_DEG)
    assert any(text.startswith("pastern 55.0° ± 2.0°") for text in with_it.texts)
    without = Drawing(foot_svg("Left fore", profile()))
    assert not without.lines("now", "pastern")
    assert "pastern not measured" in without.texts
    assert "pastern angle was not measured" in " ".join(foot_words(profile()))


def test_what_is_only_drawn_has_no_line_of_its_own() -> None:
    for own in (profile(), profile(pastern_angle=deg(55))):
        fields = [
            path
            for path in Drawing(foot_svg("x", own)).root.iter(f"{SVG}path")
            if path.attrib["class"] == "limb"
        ]
        assert len(fields) == 1
        assert "stroke" not in fields[0].attrib
    assert "pale pastern and heel bulb are only drawn" in HOW_DRAWN


def test_a_growth_line_starts_as_far_below_the_hairline_as_was_measured() -> None:
    own = profile(marks={"ring": mm(20), "event": mm(45), "gone": mm(90)})
    drawing = Drawing(foot_svg("Left fore", own))
    top = drawing.line("now", "toe-wall")[1]
    lines = drawing.lines("now", "mark")
    below = sorted(math.dist(line[0], top) / drawing.scale for line in lines)
    assert below == pytest.approx([20, 45], abs=CLOSE_MM)  # 90 mm is past the ground: no line
    ground = drawing.line("now", "toe-wall")[0][1]
    assert all(y <= ground + 0.02 for line in lines for _, y in line)
    assert "growth mark gone 90" in " ".join(foot_words(own))  # it is told all the same


def growth(angle: float, middle: complex, length: float) -> GrowthLine:
    return GrowthLine(Measure(angle, 2.0, "deg", "photo"), middle, length)


@pytest.mark.parametrize("toe_left", [True, False])
def test_a_marked_growth_line_stands_where_and_as_it_was_measured(toe_left: bool) -> None:
    # Independent: the ruler and the protractor laid on the coordinates in the file.
    own = profile(lines={"line1": growth(47, 35 + 20j, 40), "line3": growth(44, 70 + 15j, 25)})
    drawing = Drawing(foot_svg("Left fore", own, toe_left=toe_left))
    lines = drawing.lines("now", "growth")
    way = 1 if toe_left else -1
    toe = drawing.line("now", "toe-wall")[0]
    for ((x1, y1), (x2, y2)), wanted in zip(lines, own.lines.values(), strict=True):
        assert math.degrees(math.atan2(y1 - y2, way * (x2 - x1))) == pytest.approx(
            wanted.angle.value, abs=0.05
        )
        assert math.dist((x1, y1), (x2, y2)) / drawing.scale == pytest.approx(wanted.length, abs=CLOSE_MM)
        assert way * ((x1 + x2) / 2 - toe[0]) / drawing.scale == pytest.approx(
            wanted.middle.real, abs=CLOSE_MM
        )
        assert (toe[1] - (y1 + y2) / 2) / drawing.scale == pytest.approx(wanted.middle.imag, abs=CLOSE_MM)
    assert {"1", "3"} <= set(drawing.texts)
    assert "2" not in drawing.texts
    said = " ".join(foot_words(own))
    assert "growth line 1 angle 47° ± 4° (photo, not yet checked on the live foot)" in said
    assert "dashed: from a photo, not yet checked" in drawing.texts


def test_growth_lines_of_both_days_lie_over_each_other_on_their_own_toes() -> None:
    one = {"line1": growth(47, 35 + 20j, 40)}
    first = profile("1 Mar 2024", toe_angle=deg(40), lines=one)
    drawing = Drawing(foot_svg("Left fore", profile(lines=one), first))
    for group in ("now", "first"):
        (line,) = drawing.lines(group, "growth")
        toe = drawing.line(group, "toe-wall")[0]
        middle = (line[0][0] + line[1][0]) / 2
        assert (middle - toe[0]) / drawing.scale == pytest.approx(35, abs=CLOSE_MM)
    assert drawing.texts.count("1") == 1  # the number stands at the latest only
    everything_lies_inside(drawing)


def test_no_growth_line_is_drawn_that_was_not_marked_or_has_no_toe_to_stand_behind() -> None:
    assert not Drawing(foot_svg("Left fore", profile())).lines("now", "growth")
    heel_only = Profile("1 Mar 2026", heel_angle=deg(40), lines={"line1": growth(47, 35 + 20j, 40)})
    assert not Drawing(foot_svg("Left fore", heel_only)).lines("now", "growth")


def test_a_long_name_is_shortened_and_its_figure_never() -> None:
    long = "the abscess of the wet spring that came out at the hairline"
    for below in (8, 45):
        texts = Drawing(foot_svg("Left fore", profile(marks={long: mm(below)}))).texts
        assert [text for text in texts if text.endswith(f"{below}.0 mm") and "…" in text]


# What is missing is not drawn


@pytest.mark.parametrize(
    ("own", "drawn"),
    [
        ({}, set()),
        ({"toe_length": mm(80)}, set()),
        ({"pastern_angle": deg(50)}, set()),
        ({"toe_angle": deg(50)}, {"toe-wall", "toe-wall-open", "toe-fan"}),
        ({"toe_angle": deg(50), "toe_length": mm(80)}, {"toe-wall", "toe-side", "toe-fan"}),
        ({"heel_angle": deg(40)}, {"heel-wall", "heel-wall-open", "heel-fan"}),
    ],
)
def test_nothing_is_drawn_for_what_is_missing(own: dict[str, Measure], drawn: set[str]) -> None:
    drawing = Drawing(foot_svg("Left fore", Profile("1 Mar 2026", **own)))  # type: ignore[arg-type]
    assert drawing.names - {"s", "i"} == drawn
    assert ("no wall's angle measured: nothing to draw" in drawing.texts) == (not drawn)
    for key, word in (("toe_angle", "toe"), ("heel_angle", "heel")):
        assert any(text.startswith(f"{word} ") for text in drawing.texts) == (key in own)
    everything_lies_inside(drawing)


def test_a_heel_whose_place_is_not_known_stands_behind_broken_ground() -> None:
    own = profile(support_length=None, pastern_angle=deg(50))
    drawing = Drawing(foot_svg("Left fore", own))
    assert not {"support", "bearing", "hairline", "body", "limb"} & drawing.names
    y = drawing.line("now", "toe-wall")[0][1]
    level = [p for p in map(drawing.points, drawing.root.findall(f"{SVG}path")) if p[0][1] == p[-1][1] == y]
    assert len(level) == 2
    assert "support length" in " ".join(shape_of(own).notes)


@pytest.mark.parametrize(
    "own",
    [
        profile(toe_angle=deg(30), toe_length=mm(120), heel_angle=deg(20), heel_length=mm(60)),
        profile(toe_angle=deg(75), toe_length=mm(70), heel_angle=deg(80)),
        profile(toe_length=mm(60), heel_length=mm(75), heel_angle=deg(60)),
        profile(toe_angle=deg(88, 30), pastern_angle=deg(88)),
        profile(toe_angle=deg(50, 0), support_length=mm(1)),
    ],
)
def test_measures_at_their_limits_still_give_a_picture(own: Profile) -> None:
    everything_lies_inside(Drawing(foot_svg("Left fore", own, profile("1 Mar 2020"))))


def test_a_hairline_that_is_higher_at_the_heel_is_doubted() -> None:
    notes = " ".join(shape_of(profile(toe_length=mm(60), heel_length=mm(75), heel_angle=deg(60))).notes)
    assert "higher at the heel than at the toe" in notes


# Words


def test_a_name_is_shown_and_never_obeyed() -> None:
    evil = '</text><script>alert("x")</script>&\x00\x1b\ud800'
    own = profile(evil, marks={evil: mm(45)})
    svg = foot_svg(f"{evil} fore", own)
    drawing = Drawing(svg)
    assert not list(drawing.root.iter(f"{SVG}script"))
    assert not [
        one
        for one in drawing.root.iter()
        if one.tag.rpartition("}")[2] in ("a", "image", "use", "foreignObject")
    ]
    assert evil[:20] in "".join(drawing.root.find(f"{SVG}title").itertext())  # type: ignore[union-attr]
    svg.encode("utf-8")


def test_the_picture_tells_itself_to_those_who_cannot_see_it() -> None:
    first = profile("1 Mar 2024, after trim", toe_angle=deg(45))
    root = Drawing(foot_svg("Left fore", profile(), first)).root
    assert root.attrib["role"] == "img"
    told = {one.attrib["id"]: "".join(one.itertext()) for one in root if "id" in one.attrib}
    said = " ".join(told[name] for name in root.attrib["aria-labelledby"].split())
    for word in ("Left fore", "1 Mar 2026", "toe angle 50.0°", "heel length 38", "1 Mar 2024", "45.0°", "±"):
        assert word in said


def test_unchecked_measures_are_dashed_slanted_and_said() -> None:
    own = profile(unchecked=frozenset({"toe_angle"}))
    drawing = Drawing(foot_svg("Left fore", own))
    assert "dashed: from a photo, not yet checked" in drawing.texts
    slanted = [text for text in drawing.root.iter(f"{SVG}text") if text.attrib.get("font-style") == "italic"]
    assert [text.text[:4] for text in slanted if text.text] == ["toe "]
    assert "not yet checked" in " ".join(foot_words(own))
    assert "dashed: from a photo, not yet checked" not in Drawing(foot_svg("Left fore", profile())).texts


# From a workbook


def test_the_pictures_of_a_horse_are_of_one_scale_and_hold_their_own_measures() -> None:
    book = open_book(SAMPLES / "a-year-barefoot.xlsx")
    pictures = foot_pictures(book.horses[0])
    assert set(pictures) == {"LF", "RF", "LH", "RH"}
    drawings = {foot: Drawing(picture.svg) for foot, picture in pictures.items()}
    assert len({round(drawing.scale, 3) for drawing in drawings.values()}) == 1
    for foot, drawing in drawings.items():
        last = max((r for r, _ in book.horses[0].feet if r.foot == foot and "support_length" in r.measures),
                   key=lambda record: (record.date, record.stage == "after trim"))  # fmt: skip
        angle = drawing.angle("now", "toe-wall")
        toe = angle if foot[0] == "L" else 180 - angle  # left feet look to the left
        assert toe == pytest.approx(last.measures["toe_angle"].value, abs=CLOSE_DEG)
        assert drawing.length("now", "toe-wall") == pytest.approx(
            last.measures["toe_length"].value, abs=CLOSE_MM
        )
        assert pictures[foot].alt.startswith(
            {"LF": "Left front", "RF": "Right front", "LH": "Left hind", "RH": "Right hind"}[foot]
        )


def test_labels_do_not_lie_over_each_other() -> None:
    first = profile("21 Nov 2025, before trim", toe_angle=deg(45), pastern_angle=deg(48))
    own = profile("30 Sep 2026, before trim", pastern_angle=deg(52), marks={"ring": mm(20), "abscess exit": mm(37)},
                  unchecked=frozenset({"toe_angle", "pastern_angle"}))  # fmt: skip
    for toe_left in (True, False):
        drawing = Drawing(foot_svg("Left fore", own, first, toe_left=toe_left))
        boxes = [box(text) for text in drawing.root.iter(f"{SVG}text")]
        for number, (left, right, y, said) in enumerate(boxes):
            assert left >= 0, said
            assert right <= 360, said
            for other_left, other_right, other_y, other in boxes[number + 1 :]:
                apart = abs(y - other_y) >= 12 or right <= other_left or other_right <= left
                assert apart, (said, other)


def box(text: ElementTree.Element) -> tuple[float, float, float, str]:
    """Where a text lies: its letters are at most 0.6 of their size of 13 px wide on average, in a wide font."""
    said = "".join(text.itertext())
    wide, x = len(said) * 13 * 0.6, float(text.attrib["x"])
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.attrib["text-anchor"]]
    return left, left + wide, float(text.attrib["y"]), said
