"""Before and after: the pictures level and to one scale, and no difference without its error."""

from __future__ import annotations

import datetime as dt
import io
import shutil
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from PIL import Image
from test_dashboards_photos import said

from dashboards import photo_post
from dashboards.app import make_app
from dashboards.desk import Desk
from dashboards.frame import find_page
from dashboards.growth import lines_from
from dashboards.library import Library, Trouble
from dashboards.pages import before_after
from dashboards.photo_desk import PER_MM, WINDOW, PhotoDesk
from tracker import Marking, Measure, markings_of, open_book, read_marking, window_of
from tracker.reference.measuring import detectable
from tracker.show.before_after import change_rows, outlines
from tracker.show.foot import foot_pictures

SAMPLE = Path(__file__).parents[1] / "sample_workbooks" / "a-year-barefoot.xlsx"
DEMO = "/before-after/LF%20side%20day%2014.jpg/LF/LF%20side%20day%20330.jpg/LF"
SINCE = dt.date(2026, 3, 4)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> PhotoDesk:
    folder = tmp_path_factory.mktemp("barn")
    file = Path(shutil.copy(SAMPLE, folder))
    shutil.copytree(SAMPLE.with_name(f"{SAMPLE.name} photos"), folder / f"{SAMPLE.name} photos")
    return PhotoDesk(file, Desk(file, Library(file)))


def page(place: PhotoDesk, path: str) -> Any:
    book = place.desk.library.read().book
    assert book is not None
    return find_page(path, book, narrow=False, desk=place)


def words_of(body: Any) -> str:
    return said([part.to_plotly_json() if hasattr(part, "to_plotly_json") else part for part in _flat(body)])


def _flat(body: Any) -> list[Any]:
    if isinstance(body, list | tuple):
        return [part for each in body for part in _flat(each)]
    children = getattr(body, "children", None)
    return _flat(children) if children is not None else [body]


def test_the_first_and_the_latest_photograph_of_a_foot_are_offered(place: PhotoDesk) -> None:
    assert "left front: 5 Dec 2025 and 17 Oct 2026" in words_of(page(place, "/photos").body)


def test_the_page_says_every_difference_with_its_error(place: PhotoDesk) -> None:
    shown = page(place, DEMO)
    assert shown.title == "Before and after"
    words = words_of(shown.body)
    assert "within the error of" in words
    assert "The error holds how well points are placed on a photograph, and how the horse stood" in words
    assert "provisional until somebody has checked the live foot" in words


@pytest.mark.parametrize(
    "path",
    [
        "/before-after/0/1",
        "/before-after/a/b",
        "/before-after/²/1",
        f"{DEMO}/LF",
        DEMO.replace("330", "331"),
        DEMO.replace("LF/LF", "LF/RF"),
        DEMO.replace("day%20330", "day%2014"),  # one photograph twice
        DEMO.removesuffix("LF") + "RF",
    ],
)
def test_an_address_without_two_photographs_says_so(place: PhotoDesk, path: str) -> None:
    assert page(place, path).title == "There is no such page"


def test_a_levelled_picture_has_its_ground_level_and_its_millimetres_true(place: PhotoDesk) -> None:
    """The points that were marked, sent through OpenCV's homography of the window's corners, lie at their level places."""
    import cv2

    for marking in markings_of(open_book(place._file)):
        photo: Any = place.look(marking.photo)
        size = (float(photo.width), float(photo.height))
        seen = read_marking(marking, focal_px=photo.focal_px, image_size=size)
        corners = window_of(seen, *WINDOW)
        assert corners is not None
        left, right, low, high = WINDOW
        new = np.float32([(left, high), (left, low), (right, low), (right, high)])
        to_level = cv2.getPerspectiveTransform(np.float32(corners), new)
        names = [*marking.points]
        pixels = np.float32([marking.points[name] for name in names])[None]
        level = dict(zip(names, cv2.perspectiveTransform(pixels, to_level)[0], strict=True))
        toe, heel = level["toe_hairline"] - level["toe_ground"], level["ground_back"] - level["ground_front"]
        assert np.degrees(np.arctan2(heel[1], heel[0])) == pytest.approx(0, abs=0.1)
        assert np.degrees(np.arctan2(toe[1], toe[0])) == pytest.approx(seen["toe_angle"].value, abs=0.5)
        assert np.hypot(*toe) == pytest.approx(seen["toe_length"].value, rel=0.03)


def test_the_picture_is_that_large(place: PhotoDesk) -> None:
    found = place.levelled(markings_of(open_book(place._file))[0])
    assert isinstance(found, bytes)
    left, right, low, high = WINDOW
    assert Image.open(io.BytesIO(found)).size == ((right - left) * PER_MM, (high - low) * PER_MM)


def test_a_change_is_beyond_its_error_from_1_96_standard_deviations_on() -> None:
    """Bland and Altman 1996, BMJ 313:744: 1.96·√2·s for two readings of sd s."""
    then = Measure(50.0, 2.0, "deg", "photo")
    within, beyond = (
        change_rows({"toe_angle": then}, {"toe_angle": Measure(50 + by, 2.0, "deg", "photo")}, SINCE)[0]
        for by in (5.5, 5.6)  # 1.96·√2·2 = 5.54
    )
    assert (within.beyond_error, beyond.beyond_error) == (False, True)
    assert within.told == "within the error of 5.5°"
    assert beyond.told == "beyond the error of 5.5°; 98 % likely that it is real"


@pytest.mark.parametrize(
    ("key", "unit"),
    [("pastern_angle", "deg"), ("toe_angle", "deg"), ("heel_angle", "deg"), ("toe_length", "mm")],
)
def test_no_change_is_beyond_an_error_smaller_than_the_table_of_repeatability(key: str, unit: str) -> None:
    """The smallest detectable change by photograph, however well the points were placed."""
    least = detectable(key, "photo").value
    for by, expected in ((0.99 * least, False), (1.01 * least, True)):
        then, now = (Measure(value, 0.01, unit, "photo") for value in (50.0, 50.0 + by))
        assert change_rows({key: then}, {key: now}, SINCE)[0].beyond_error is expected


def test_a_break_of_the_axis_carries_the_stance() -> None:
    then, now = (
        {key: Measure(value, 0.3, "deg", "photo") for key, value in pair}
        for pair in (
            (("toe_angle", 50.0), ("pastern_angle", 54.0), ("axis_break", 4.0)),
            (("toe_angle", 50.0), ("pastern_angle", 51.8), ("axis_break", 1.8)),
        )
    )
    (row,) = (row for row in change_rows(then, now, SINCE) if row.name == "Axis break")
    assert row.moved == "-2.2°"
    assert row.told == "within the error of 6.7°"  # √(6² + 3²) = 6.7


def test_the_outlines_carry_the_same_error() -> None:
    sure = {"toe_angle": Measure(50.0, 0.1, "deg", "photo"), "toe_length": Measure(85.0, 0.1, "mm", "photo")}
    svg, told = outlines("LF", sure, sure, ("4 Mar 2026 (before trim)", "4 Mar 2026 (after trim)"))
    assert "toe angle 50° ± 2°" in told  # 3°/√2
    assert "toe length 85 mm ± 4 mm" in told  # 5 mm/√2
    assert "Before, drawn thin: 4 Mar 2026 (before trim)" in told
    assert "at the same stage" not in told + svg


@pytest.mark.parametrize(("by", "beyond"), [(5.9, False), (6.1, True)])
def test_each_growth_line_is_compared_with_its_error(by: float, beyond: bool) -> None:
    """Never surer than a wall as short: the heel's smallest detectable change by photograph, 6°."""
    assert detectable("heel_angle", "photo").value == 6
    then = {
        "line1_angle": Measure(44.0, 0.4, "deg", "photo"),
        "line2_angle": Measure(43.0, 0.4, "deg", "photo"),
    }
    now = {"line1_angle": Measure(44.0 + by, 0.4, "deg", "photo")}
    (row,) = change_rows(then, now, SINCE)
    assert (row.name, row.before, row.beyond_error) == ("Line 1 angle", "44° ± 4°", beyond)
    assert ("beyond" if beyond else "within") + " the error of 6.0°" in row.told


def test_the_growth_lines_of_both_photographs_are_drawn_and_compared(place: PhotoDesk) -> None:
    shown = page(place, DEMO)
    words = words_of(shown.body)
    for number in (1, 2, 3, 4):
        assert f"Line {number} angle" in words
    assert "Line 5 angle" not in words
    assert "look at the pictures whether it is the same line both times" in words
    book = open_book(place._file)
    days = before_after.chosen(book, DEMO)
    assert days
    seen = [measured.seen for day in days if not isinstance(measured := place.measure(day.marking), Trouble)]
    svg, told = outlines(
        "LF", seen[0], seen[1], ("then", "now"), (days[0].marking.points, days[1].marking.points)
    )
    assert svg.count('class="growth ') == 8
    assert "growth line 4 angle" in told
    assert 'class="growth ' not in outlines("LF", seen[0], seen[1], ("then", "now"))[0]


def test_the_horses_page_draws_the_growth_lines_of_the_records_own_photograph(place: PhotoDesk) -> None:
    book = place.desk.library.read().book
    assert book
    drawn = foot_pictures(book.horses[0], lines_from(book, place))
    assert drawn["LF"].svg.count('class="growth ') == 8  # four of the latest, four of the first
    assert 'class="growth ' not in drawn["RF"].svg  # nothing is marked of it
    assert "growth line 1 angle" in str(page(place, "/horse/Hazel/feet").body)
    gone = PhotoDesk(place._file.with_name("other.xlsx"), place.desk)  # its folder has no photographs
    assert 'class="growth ' not in foot_pictures(book.horses[0], lines_from(book, gone))["LF"].svg


def test_what_only_one_day_has_is_no_change() -> None:
    assert change_rows({}, {"toe_angle": Measure(50.0, 1.0, "deg", "photo")}, SINCE) == []


def test_days_are_of_one_foot(place: PhotoDesk) -> None:
    book = open_book(place._file)
    (group,) = before_after.days_of(book)
    assert [day.marking.foot for day in group] == ["LF", "LF"]


def book_of(monkeypatch: pytest.MonkeyPatch, *markings: tuple[str, ...], off: str = "2026-02-01") -> Any:
    """A book with these markings of Hazel's: photograph, foot, day, stage."""
    held = [
        Marking(photo, "side", foot=foot, horse="Hazel", date=day, stage=stage)
        for photo, foot, day, stage in markings
    ]
    monkeypatch.setattr(before_after, "markings_of", lambda book: held)
    day = dt.date.fromisoformat(off) if off else None
    hazel = SimpleNamespace(name="Hazel", shoes_off={"front": day, "hind": None})
    return SimpleNamespace(horses=(hazel,), horse=lambda name: hazel)


def offered(book: Any) -> list[tuple[str, Any]]:
    return [(item.children.href, item.children.children) for item in before_after.pairs_in(book)]


def test_before_and_after_a_trim_of_one_day_are_offered_in_that_order(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    book = book_of(
        monkeypatch, ("b.jpg", "LF", "2026-03-04", "after trim"), ("a.jpg", "LF", "2026-03-04", "before trim")
    )
    assert offered(book) == [
        (
            "/before-after/a.jpg/LF/b.jpg/LF",
            "left front: 4 Mar 2026 (before trim) and 4 Mar 2026 (after trim)",
        )
    ]
    turned = before_after.chosen(book, "/before-after/b.jpg/LF/a.jpg/LF")
    assert turned
    assert [day.marking.photo for day in turned] == ["a.jpg", "b.jpg"]


def test_the_latest_is_offered_beside_the_first_since_the_shoes_came_off(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    markings = [
        ("shod.jpg", "LF", "2026-01-02", "after trim"),
        ("bare before.jpg", "LF", "2026-02-01", "before trim"),
        ("bare after.jpg", "LF", "2026-02-01", "after trim"),
        ("now before.jpg", "LF", "2026-06-01", "before trim"),
        ("now after.jpg", "LF", "2026-06-01", "after trim"),
    ]
    late = "now%20after.jpg/LF"
    assert [href for href, _ in offered(book_of(monkeypatch, *markings))] == [
        f"/before-after/bare%20after.jpg/LF/{late}",
        f"/before-after/now%20before.jpg/LF/{late}",
    ]
    unknown = offered(book_of(monkeypatch, *markings, off=""))
    assert unknown[0][0] == f"/before-after/shod.jpg/LF/{late}"
    still_shod = offered(book_of(monkeypatch, *markings, off="2026-06-01"))
    assert still_shod[0][0] == f"/before-after/now%20before.jpg/LF/{late}"


def test_an_address_means_the_same_when_rows_are_sorted(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [
        ("50%.jpg", "LF", "2026-03-04", ""),
        ("b/c d.jpg", "LF", "2026-04-04", ""),
        ("b/c d.jpg", "RF", "2026-04-05", ""),
        ("e.jpg", "RF", "2026-04-06", ""),
    ]
    hrefs = [href for href, _ in offered(book_of(monkeypatch, *rows))]
    assert len(hrefs) == 2
    for turned in (rows, rows[::-1], rows[1:] + rows[:1]):
        book = book_of(monkeypatch, *turned)
        for href, expected in zip(hrefs, (rows[:2], rows[2:]), strict=True):
            days = before_after.chosen(book, href)
            assert days
            assert [(day.marking.photo, day.marking.foot) for day in days] == [row[:2] for row in expected]


def two_horses(monkeypatch: pytest.MonkeyPatch, *names: str) -> Any:
    """A book in which one photograph shows the same foot of each of these horses, on two days."""
    held = [
        Marking(photo, "side", foot="LF", horse=horse, date=day, points={"toe_ground": (number, 0.0)})
        for number, horse in enumerate(names)
        for photo, day in (("a.jpg", "2026-03-04"), ("b.jpg", "2026-06-04"))
    ]
    monkeypatch.setattr(before_after, "markings_of", lambda book: held)
    horses = {name: SimpleNamespace(name=name, shoes_off={"front": None, "hind": None}) for name in names}
    return SimpleNamespace(horses=tuple(horses.values()), horse=lambda name: horses.get(name))


@pytest.mark.parametrize("names", [("Hazel", "Moss"), ("Hazel", "Ash/50% ü"), ("Hazel", "")])
def test_the_same_foot_of_two_horses_on_one_photograph_can_both_be_reached(
    monkeypatch: pytest.MonkeyPatch, names: tuple[str, ...]
) -> None:
    book = two_horses(monkeypatch, *names)
    hrefs = [href for href, _ in offered(book)]
    assert len(set(hrefs)) == 2
    for name, href in zip(names, hrefs, strict=True):
        days = before_after.chosen(book, href)
        assert days
        assert {day.marking.horse for day in days} == {name}
    old = before_after.chosen(
        book, "/before-after/a.jpg/LF/b.jpg/LF"
    )  # as it was, and kept, before names stood there
    assert old
    assert {day.marking.horse for day in old} == {"Hazel"}
    assert before_after.chosen(book, "/before-after/a.jpg/LF/b.jpg/LF/Nobody") is None


def test_an_address_that_one_horse_alone_can_have_names_none(monkeypatch: pytest.MonkeyPatch) -> None:
    assert [href for href, _ in offered(two_horses(monkeypatch, "Hazel"))] == [
        "/before-after/a.jpg/LF/b.jpg/LF"
    ]
    book = two_horses(monkeypatch, "Hazel")
    assert before_after.chosen(book, "/before-after/a.jpg/LF/b.jpg/LF/hazel")


def test_the_levelled_picture_is_of_the_horse_that_is_asked_for(
    place: PhotoDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = [Marking("lf.jpg", "side", foot="LF", horse=horse) for horse in ("Hazel", "Moss", "")]
    asked: list[Marking] = []
    monkeypatch.setattr(photo_post, "markings_of", lambda book: held)
    monkeypatch.setattr(PhotoDesk, "levelled", lambda desk, marking: asked.append(marking) or b"picture")
    client = make_app(place._file).server.test_client()
    for query in ("", "?horse=Moss", "?horse=Hazel", "?horse="):
        assert client.get(f"/levelled/side/LF/lf.jpg{query}").status_code == 200
    assert [marking.horse for marking in asked] == ["Hazel", "Moss", "Hazel", ""]
    assert client.get("/levelled/side/LF/lf.jpg?horse=Nobody").status_code == 404


@pytest.mark.parametrize(
    ("foot", "day"), [("LF", ""), ("LF", "NaT"), ("LF", "2026-02-30"), ("LF", "soon"), ("", "2026-03-04"),
                      ("both fronts", "2026-03-04"), ("not sure", "2026-03-04")],
)  # fmt: skip
def test_what_has_no_day_or_is_of_no_foot_is_no_day_here(
    monkeypatch: pytest.MonkeyPatch, foot: str, day: str
) -> None:
    book = book_of(monkeypatch, ("a.jpg", foot, day, ""), ("b.jpg", foot, "2026-05-04", "between"))
    assert offered(book) == []
    assert before_after.chosen(book, f"/before-after/a.jpg/{foot}/b.jpg/{foot}") is None


def test_a_stage_that_is_none_counts_as_not_given(monkeypatch: pytest.MonkeyPatch) -> None:
    book = book_of(
        monkeypatch, ("a.jpg", "LF", "2026-03-04", "nan"), ("b.jpg", "LF", "2026-05-04", "between")
    )
    assert offered(book)[0][1] == "left front: 4 Mar 2026 and 4 May 2026 (between)"


def test_a_foot_that_points_right_is_not_shown_mirrored(place: PhotoDesk) -> None:
    """The window of a picture and of its mirror image are each other's mirror image."""
    marking = markings_of(open_book(place._file))[0]
    photo: Any = place.look(marking.photo)
    size = (float(photo.width), float(photo.height))
    turned = replace(marking, points={name: (size[0] - x, y) for name, (x, y) in marking.points.items()})
    plain, mirror = (
        window_of(read_marking(each, focal_px=photo.focal_px, image_size=size), *WINDOW)
        for each in (marking, turned)
    )
    assert plain
    assert mirror
    upper_left, lower_left, lower_right, upper_right = mirror
    expected = [(size[0] - x, y) for x, y in (upper_right, lower_right, lower_left, upper_left)]
    assert np.allclose(plain, expected, atol=0.5)


def test_two_photographs_that_face_different_ways_say_so(place: PhotoDesk) -> None:
    book = open_book(place._file)
    days = before_after.chosen(book, DEMO)
    assert days
    seen = []
    for day in days:
        found = place.measure(day.marking)
        assert not isinstance(found, Trouble)
        seen.append(found.seen)
    mirrored = {name: (4000 - x, y) for name, (x, y) in days[1].marking.points.items()}
    photo: Any = place.look(days[1].marking.photo)
    other = read_marking(
        replace(days[1].marking, points=mirrored), focal_px=photo.focal_px, image_size=(4000.0, 3000.0)
    )
    same = words_of(before_after.layout(book, days, (seen[0], seen[1])).body)
    differ = words_of(before_after.layout(book, days, (seen[0], other)).body)
    assert "toe points" not in same
    assert "The toe points left here, in the other photograph the other way" in differ
    assert "The toe points right here, in the other photograph the other way" in differ


def test_a_levelled_picture_is_asked_for_by_its_name(place: PhotoDesk) -> None:
    client = make_app(place._file).server.test_client()
    (source,) = {image.src for image in _images(page(place, DEMO).body) if "330" in image.src}
    found = client.get(source)
    assert (found.status_code, found.mimetype) == (200, "image/jpeg")
    for path in ("/levelled/0", "/levelled/front/LF/LF%20side%20day%2014.jpg", "/levelled/side/RF/LF%20side%20day%2014.jpg",
                 "/levelled/side/LF/other.jpg"):  # fmt: skip
        answer = client.get(path)
        assert answer.mimetype != "image/jpeg", path


def _images(body: Any) -> list[Any]:
    if isinstance(body, list | tuple):
        return [image for part in body for image in _images(part)]
    if type(body).__name__ == "Img":
        return [body]
    return _images(getattr(body, "children", None) or [])
