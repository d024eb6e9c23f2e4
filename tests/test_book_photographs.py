"""A workbook with marked photographs: their own errors stand in the record, in its JSON and in its changes."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from photo_points import SIDE_MM, shot
from pictures import exif, packed
from PIL import Image
from uncertainties import ufloat

from tracker import Book, check_book, markings_of, open_book, read_marking
from tracker.reference.measuring import COVERAGE, reading_sd
from tracker.reference.photo import POINT_SD
from tracker.show import words
from tracker.show.as_json import review_data
from tracker.show.shapes import book_view
from tracker.show.text import review_text
from tracker.workbook.new.blank import write_workbook

SIZE = (4000.0, 3000.0)
FOCAL = 3000.0
CARD = "85.60 x 53.98 mm"
# CIPA DCG-001: by the diagonals, 43.27 mm to 5,000 px, so that 26 mm is 3,005 px.
PICTURE = packed(Image.new("L", (4000, 3000)), exif=exif(FocalLengthIn35mmFilm=26))
BARN: list[dict[str, object]] = [{"Horse": "Bramble", "Usual scale": "0-5"}]


def points(photo: str, date: str, off: float = 0, foot: str = "LF") -> list[dict[str, object]]:
    return [
        {
            "Photo": photo, "Date": date, "Foot": foot, "View": "side", "Point": name, "X": round(x + off, 1),
            "Y": round(y, 1), "Size": CARD if name == "card_1" else "",
        }
        for name, (x, y) in shot(SIDE_MM).items()
        if not name.startswith("scale")
    ]  # fmt: skip


def hoof(photo: str, date: str, toe: float, **more: object) -> dict[str, object]:
    return {
        "Date": date, "Foot": "LF", "Stage": "after trim", "Measured with": "photo", "Photo": photo,
        "Toe angle": toe, "Heel angle": 45, "Pastern angle": 54, "Toe length": "85 mm", **more,
    }  # fmt: skip


def kept(file: Path, name: str, content: bytes = PICTURE) -> None:
    folder = file.with_name(f"{file.name} photos")
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(content)


def barn(folder: Path, hooves: list[dict[str, object]], *marked: list[dict[str, object]]) -> Path:
    file = folder / "barn.xlsx"
    rows = [row for sheet in marked for row in sheet]
    write_workbook(file, {"Horses": BARN, "Hooves": hooves, "Photo points": rows}, first_sheet=False)
    return file


def measures(book: Book) -> list[Any]:
    return [record.measures for record, _ in book.horses[0].feet]


def seen(book: Book, number: int = 0) -> Any:
    return read_marking(
        markings_of(book)[number], focal_px=26 * math.hypot(*SIZE) / math.hypot(36, 24), image_size=SIZE
    )


def test_the_larger_of_both_errors_stands_in_the_record_and_in_its_json(tmp_path: Path) -> None:
    file = barn(tmp_path, [hoof("a.jpg", "2026-03-01", 50)], points("a.jpg", "2026-03-01"))
    kept(file, "a.jpg")
    book = open_book(file)
    (found,), own = measures(book), seen(book)
    for name in ("toe_angle", "heel_angle", "pastern_angle", "toe_length"):
        assert found[name].sd == pytest.approx(max(own[name].sd, reading_sd(name, "photo"))), name
        assert found[name].how == "photo"
    assert found["toe_angle"].sd > reading_sd("toe_angle", "photo")
    (told,) = review_data(book)["horses"][0]["hooves"]
    assert told["measures"]["toe_angle"]["sd"] == pytest.approx(found["toe_angle"].sd, abs=1e-6)
    assert words.measure(found["toe_angle"]) in review_text(book_view(book))


def test_what_was_worked_out_has_at_least_the_error_that_the_uncertainties_library_gives_it(
    tmp_path: Path,
) -> None:
    file = barn(tmp_path, [hoof("a.jpg", "2026-03-01", 50)], points("a.jpg", "2026-03-01"))
    kept(file, "a.jpg")
    book = open_book(file)
    (found,) = measures(book)
    toe, heel = (ufloat(found[key].value, found[key].sd) for key in ("toe_angle", "heel_angle"))
    assert found["heel_lag"].sd == pytest.approx(max((toe - heel).s, seen(book)["heel_lag"].sd))


def test_a_change_is_more_than_error_only_by_the_photographs_own(tmp_path: Path) -> None:
    """The smallest detectable change is 1.96 × the sd of the difference (Bland and Altman 1996, BMJ 313:744)."""
    least = COVERAGE * math.sqrt(2) * reading_sd("toe_angle", "photo")
    rows = [hoof("a.jpg", "2026-03-01", 50), hoof("b.jpg", "2026-04-01", round(50 + 1.05 * least, 1))]
    file = barn(tmp_path, rows, points("a.jpg", "2026-03-01"), points("b.jpg", "2026-04-01"))
    (_, (_, changed)) = open_book(file).horses[0].feet
    assert changed["toe_angle"]["since_last"].beyond_error
    kept(file, "a.jpg")
    kept(file, "b.jpg")
    (_, (_, changed)) = open_book(file).horses[0].feet
    found = changed["toe_angle"]["since_last"]
    own = seen(open_book(file))["toe_angle"].sd
    assert found.detectable == pytest.approx(COVERAGE * math.sqrt(2) * own)
    assert not found.beyond_error


def test_two_photographs_of_one_occasion_are_one_record_with_their_average(tmp_path: Path) -> None:
    rows = [hoof("a.jpg", "2026-03-01", 50), hoof("b.jpg", "2026-03-01", 51)]
    file = barn(tmp_path, rows, points("a.jpg", "2026-03-01"), points("b.jpg", "2026-03-01", off=8))
    kept(file, "a.jpg")
    kept(file, "b.jpg")
    book = open_book(file)
    (found,) = measures(book)
    owns = [seen(book, number)["toe_length"].sd for number in (0, 1)]
    one, other = (ufloat(85, sd) for sd in owns)
    mean = (one / owns[0] ** 2 + other / owns[1] ** 2) / (owns[0] ** -2 + owns[1] ** -2)
    assert found["toe_length"].sd == pytest.approx(max(mean.s, reading_sd("toe_length", "photo")))
    assert mean.s > reading_sd("toe_length", "photo")  # else it would say nothing
    assert found["toe_angle"].sd == pytest.approx(
        reading_sd("toe_angle", "photo")
    )  # how the horse stood stays
    assert (found["toe_angle"].value, found["toe_angle"].how) == (
        pytest.approx(50.5, abs=0.01),
        "mean of 2 by photo",
    )


def told(file: Path) -> list[tuple[str | None, str]]:
    """The problems that the photographs make: where, and what was found."""
    return [(each.cell, each.found) for each in open_book(file).problems if each.kind == "photo-not-there"]


def test_a_photograph_that_is_gone_is_told_once_at_the_cell_that_names_it(tmp_path: Path) -> None:
    rows = [hoof(name, "2026-03-01", 50) for name in ("a.jpg", "b.jpg")]
    file = barn(tmp_path, rows, points("b.jpg", "2026-03-01"), points("A", "2026-03-01"))
    kept(file, "a.jpg")
    kept(file, "b.jpg")
    assert told(file) == []
    (file.with_name("barn.xlsx photos") / "b.jpg").unlink()
    assert told(file) == [("Photo points!A2", "b.jpg")]
    (problem,) = (each for each in check_book(file).problems if each.kind == "photo-not-there")
    assert "b.jpg is not in the folder barn.xlsx photos" in problem.message
    assert (problem.severity, problem.column) == ("doubt", "Photo")
    kept(file, "b.jpg", b"any")
    (problem,) = (each for each in open_book(file).problems if each.kind == "photo-not-there")
    assert "b.jpg cannot be read" in problem.message


def test_a_folder_that_is_gone_is_told_of_each_photograph_beside_what_else_is_wrong(tmp_path: Path) -> None:
    rows = [hoof("a.jpg", "2026-03-01", 50), hoof("c.jpg", "2026-03-01", 500)]
    file = barn(tmp_path, rows, points("a.jpg", "2026-03-01"), points("b.jpg", "2026-03-01", foot="RF"))
    assert [found for _, found in told(file)] == ["a.jpg", "b.jpg"]  # nothing is marked on c.jpg
    sheets = [str(each.sheet) for each in open_book(file).problems]
    assert sheets.index("Hooves") < sheets.index("Photo points")


@pytest.mark.parametrize("content", [None, b"", b"any", PICTURE[:40], b"GIF89a"])
def test_without_the_photograph_the_usual_error_stays_and_all_else_works(
    tmp_path: Path, content: bytes | None
) -> None:
    rows = [hoof("a.jpg", "2026-03-01", 50), hoof("b.jpg", "2026-04-01", 50)]
    file = barn(tmp_path, rows, points("a.jpg", "2026-03-01"), points("b.jpg", "2026-04-01"))
    kept(file, "b.jpg")
    if content is not None:
        kept(file, "a.jpg", content)
    first, second = measures(open_book(file))
    assert first["toe_angle"].sd == reading_sd("toe_angle", "photo")
    assert second["toe_angle"].sd > reading_sd("toe_angle", "photo")
    json.dumps(review_data(open_book(file)))


def test_a_folder_that_may_not_be_read_leaves_the_usual_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = barn(tmp_path, [hoof("a.jpg", "2026-03-01", 50)], points("a.jpg", "2026-03-01"))
    kept(file, "a.jpg")

    def refuses(_: Path) -> None:
        raise PermissionError

    monkeypatch.setattr(Path, "iterdir", refuses)
    (found,) = measures(open_book(file))
    assert found["toe_angle"].sd == reading_sd("toe_angle", "photo")


def test_a_photograph_is_found_by_its_name_without_its_ending_and_in_capitals(tmp_path: Path) -> None:
    file = barn(tmp_path, [hoof("A", "2026-03-01", 50)], points("a.JPG", "2026-03-01"))
    kept(file, "a.jpg")
    (found,) = measures(open_book(file))
    assert found["toe_angle"].sd > reading_sd("toe_angle", "photo")


def test_points_marked_again_replace_the_usual_error_of_a_point(tmp_path: Path) -> None:
    marked = points("a.jpg", "2026-03-01")
    off = [{**row, "X": float(str(row["X"])) + 12, "Size": ""} for row in marked]
    file = barn(tmp_path, [hoof("a.jpg", "2026-03-01", 50)], marked, off)
    kept(file, "a.jpg")
    book = open_book(file)
    # By hand: two places 12 px apart along x and 0 along y; (12²/2 + 0)/2 is the variance of one.
    assert book.point_part == pytest.approx(6 / 4000)
    own = read_marking(
        markings_of(book)[0],
        focal_px=26 * math.hypot(*SIZE) / math.hypot(36, 24), image_size=SIZE, point_part=book.point_part,
    )  # fmt: skip
    (found,) = measures(book)
    assert found["toe_angle"].sd == pytest.approx(own["toe_angle"].sd)
    assert own["toe_angle"].sd > 1.5 * seen(book)["toe_angle"].sd
    assert POINT_SD.value < book.point_part


def test_a_photograph_is_opened_only_where_the_points_name_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tracker.photos import camera

    opened = []
    real = camera.beginning
    monkeypatch.setattr(camera, "beginning", lambda path: opened.append(path.name) or real(path))
    file = barn(tmp_path, [hoof("b.jpg", "2026-03-01", 50)], points("a.jpg", "2026-03-01"))
    for name in ("a.jpg", "b.jpg", "c.jpg"):
        kept(file, name)
    open_book(file)
    open_book(file)
    assert opened == ["a.jpg"]


@settings(max_examples=10, deadline=None)
@given(st.data())
def test_whatever_points_are_typed_the_workbook_opens(tmp_path_factory: Any, data: st.DataObject) -> None:
    number = st.sampled_from([0, 1, 500, 2000.5, -100_000, 100_000])
    rows = [
        {**row, "X": data.draw(number), "Y": data.draw(number)} if data.draw(st.booleans()) else row
        for row in points("a.jpg", "2026-03-01")
    ]
    file = barn(tmp_path_factory.mktemp("typed"), [hoof("a.jpg", "2026-03-01", 50)], rows)
    kept(file, "a.jpg")
    (found,) = measures(open_book(file))
    assert found["toe_angle"].sd >= reading_sd("toe_angle", "photo")
