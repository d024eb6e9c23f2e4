"""Before and after: the pictures level and to one scale, and no difference without its error."""

from __future__ import annotations

import datetime as dt
import io
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from test_dashboards_photos import said

from dashboards.desk import Desk
from dashboards.frame import find_page
from dashboards.library import Library
from dashboards.pages import before_after
from dashboards.photo_desk import PER_MM, WINDOW, PhotoDesk
from tracker import Measure, markings_of, open_book, read_marking, window_of
from tracker.show.before_after import change_rows

SAMPLE = Path(__file__).parents[1] / "sample_workbooks" / "a-year-barefoot.xlsx"
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
    shown = page(place, "/before-after/0/1")
    assert shown.title == "Before and after"
    words = words_of(shown.body)
    assert "beyond the error of" in words
    assert "likely that it is real" in words
    assert "provisional until somebody has checked the live foot" in words


@pytest.mark.parametrize(
    "path", ["/before-after/0/99", "/before-after/a/b", "/before-after/0", "/before-after/²/1"]
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
    then = Measure(50.0, 1.0, "deg", "photo")
    within, beyond = (
        change_rows({"toe_angle": then}, {"toe_angle": Measure(50 + by, 1.0, "deg", "photo")}, SINCE)[0]
        for by in (2.7, 2.8)  # 1.96·√2 = 2.77
    )
    assert (within.beyond_error, beyond.beyond_error) == (False, True)
    assert within.told == "within the error of 3°"
    assert beyond.told == "beyond the error of 3°; 98 % likely that it is real"


def test_what_only_one_day_has_is_no_change() -> None:
    assert change_rows({}, {"toe_angle": Measure(50.0, 1.0, "deg", "photo")}, SINCE) == []


def test_days_are_of_one_foot(place: PhotoDesk) -> None:
    book = open_book(place._file)
    (group,) = before_after.days_of(book)
    assert [day.marking.foot for day in group] == ["LF", "LF"]
