"""The size and the lens of a photograph, from its first bytes alone."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from pictures import drawn, exif, packed

from tracker import look_at_photo
from tracker.photos import camera, gate
from tracker.photos.camera import cameras_of

LENS = {"FocalLengthIn35mmFilm": 26}


def kept(workbook: Path, name: str, content: bytes) -> Path:
    """A file in the workbook's folder of photographs."""
    folder = workbook.with_name(f"{workbook.name} photos")
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(content)
    return folder / name


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    return tmp_path / "barn.xlsx"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIC"])
@pytest.mark.parametrize("orientation", [1, 6])
def test_the_camera_is_that_of_the_whole_look(workbook: Path, kind: str, orientation: int) -> None:
    content = packed(drawn(64, 40), kind, exif=exif(orientation, **LENS).tobytes())
    kept(workbook, f"lf.{kind.lower()}", content)
    photo = look_at_photo(content)
    wanted = (photo.focal_px, (float(photo.width), float(photo.height)))
    assert photo.focal_px is not None
    assert cameras_of(workbook, [f"lf.{kind.lower()}"]) == {f"lf.{kind.lower()}": wanted}


def test_a_picture_that_says_nothing_of_its_lens_has_its_size_alone(workbook: Path) -> None:
    kept(workbook, "lf.png", packed(drawn(64, 40), "PNG"))
    assert cameras_of(workbook, ["lf.png"]) == {"lf.png": (None, (64.0, 40.0))}


def test_no_more_of_a_jpeg_is_read_than_its_beginning(workbook: Path) -> None:
    whole = packed(drawn(640, 400), exif=exif(1, **LENS))
    start = whole.index(b"\xff\xda")  # SOS, ITU-T T.81 annex B: the picture itself begins
    kept(workbook, "lf.jpg", whole[: start + 20])
    assert cameras_of(workbook, ["lf.jpg"])["lf.jpg"][1] == (640.0, 400.0)


def test_a_png_is_not_unpacked_for_what_may_stand_behind_its_picture(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(workbook, "lf.png", packed(drawn(64, 40), "PNG"))

    def unpacked(_: object) -> None:
        raise AssertionError("the pixels were unpacked")

    monkeypatch.setattr(gate.PngImageFile, "load", unpacked)
    assert cameras_of(workbook, ["lf.png"])["lf.png"][1] == (64.0, 40.0)


@pytest.mark.parametrize("content", [b"", b"any", b"GIF89a", packed(drawn())[:30]])
def test_what_is_no_picture_has_no_camera(workbook: Path, content: bytes) -> None:
    kept(workbook, "lf.jpg", content)
    kept(workbook, "rf.jpg", packed(drawn()))
    assert [*cameras_of(workbook, ["lf.jpg", "rf.jpg", "gone.jpg"])] == ["rf.jpg"]


def test_a_picture_with_too_many_pixels_or_bytes_has_no_camera(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(workbook, "lf.jpg", packed(drawn(64, 40)))
    monkeypatch.setattr(gate, "MOST_PIXELS", 64 * 40 - 1)
    assert cameras_of(workbook, ["lf.jpg"]) == {}
    monkeypatch.undo()
    monkeypatch.setattr(gate, "MOST_BYTES", 10)
    assert cameras_of(workbook, ["lf.jpg"]) == {}


def test_without_a_folder_there_is_none(workbook: Path) -> None:
    assert cameras_of(workbook, ["lf.jpg"]) == {}


def test_a_photograph_is_looked_at_once_until_it_is_another_file(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = kept(workbook, "lf.jpg", packed(drawn(64, 40)))
    first = cameras_of(workbook, ["lf.jpg"])
    opened = []
    real = camera.beginning
    monkeypatch.setattr(camera, "beginning", lambda path: opened.append(path) or real(path))
    assert cameras_of(workbook, ["lf.jpg"]) == first
    assert opened == []
    file.write_bytes(packed(drawn(80, 40)))
    os.utime(file, ns=(1, 1))
    assert cameras_of(workbook, ["lf.jpg"])["lf.jpg"][1] == (80.0, 40.0)
    assert opened == [file]
