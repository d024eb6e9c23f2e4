"""What a photograph says of itself, and what of it reaches a screen."""

from __future__ import annotations

import datetime as dt
import io
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pictures import CAPTION, drawn, exif, packed, picture, telling
from PIL import Image, ImageCms, ImageOps
from PIL.TiffImagePlugin import IFDRational

from tracker import Unreadable, look_at_photo, shown_photo

TODAY = dt.date(2026, 3, 20)
FORMATS = ("JPEG", "PNG", "WEBP", "HEIC")

# CIPA DC-008, Orientation: which side of the scene the stored picture's first row and first column are.
SIDES = {
    1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
    5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
}  # fmt: skip


def stored(scene: np.ndarray, orientation: int) -> np.ndarray:
    """The scene as a camera stores it, straight from the standard's words."""
    row, column = SIDES[orientation]
    rows_first = row in ("top", "bottom")
    turned = scene if rows_first else scene.swapaxes(0, 1)
    if row in ("bottom", "right"):
        turned = turned[::-1]
    if column in ("bottom", "right"):
        turned = turned[:, ::-1]
    return turned


def seen(jpeg: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(jpeg)).convert("RGB")).astype(int)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("orientation", SIDES)
def test_every_orientation_stands_upright_as_the_standard_and_pillow_have_it(
    orientation: int, kind: str
) -> None:
    scene = np.asarray(drawn(64, 40))
    image = Image.fromarray(np.ascontiguousarray(stored(scene, orientation)))
    content = packed(image, kind, exif=exif(orientation))
    photo = look_at_photo(content)
    assert (photo.width, photo.height) == (64, 40)
    shown = seen(shown_photo(content, 64))
    assert np.abs(shown - scene).mean() < 12
    theirs = ImageOps.exif_transpose(Image.open(io.BytesIO(content))).convert("RGB")
    assert np.abs(shown - np.asarray(theirs)).mean() < 12
    assert seen(shown_photo(content, 32)).shape == (20, 32, 3)


def test_a_heic_picture_is_turned_once_only() -> None:
    # ISO/IEC 23008-12: its own turn (irot, imir) counts, and the Exif orientation does not turn it again.
    content = packed(drawn(64, 40), "HEIC", exif=exif(6).tobytes())
    with_turn = look_at_photo(content)
    assert sorted((with_turn.width, with_turn.height)) == [40, 64]
    assert seen(shown_photo(content, 64)).shape[:2] == (with_turn.height, with_turn.width)


@pytest.mark.parametrize("odd", [0, 9, 65_535])
def test_an_orientation_that_the_standard_does_not_know_turns_nothing(odd: int) -> None:
    content = packed(drawn(64, 40), exif=exif(odd))
    assert (look_at_photo(content).width, look_at_photo(content).height) == (64, 40)


@pytest.mark.parametrize("kind", FORMATS)
def test_nothing_but_the_picture_reaches_a_screen(kind: str) -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    content = telling(kind, profile)
    assert CAPTION.encode() in content or kind == "PNG"  # the search would find it
    for side in (20, 60, 4000):
        shown = shown_photo(content, side)
        assert not [
            word for word in (CAPTION.encode(), b"Exif", b"adobe", b"ICC_PROFILE", b"GPS") if word in shown
        ]
        assert segments(shown) <= {
            0xE0,
            0xDB,
            0xC0,
            0xC4,
            0xDA,
        }  # JFIF, tables, frame, scan (ITU-T T.81 annex B)
        assert shown.count(b"\xff\xd8\xff") == 1  # no thumbnail within


def segments(jpeg: bytes) -> set[int]:
    """The markers up to the picture's data."""
    found, at = set(), 2
    while jpeg[at + 1] != 0xDA:
        found.add(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found | {0xDA}


def test_the_place_is_not_even_read(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []
    real = Image.Exif.get_ifd

    def watched(self: Image.Exif, tag: int) -> dict[int, Any]:
        asked.append(tag)
        return real(self, tag)

    content = telling("JPEG")
    monkeypatch.setattr(Image.Exif, "get_ifd", watched)
    photo = look_at_photo(content, today=TODAY)
    assert set(asked) == {0x8769}  # CIPA DC-008: the Exif IFD; that of the place is 8825 (hex)
    assert photo.taken == dt.date(2026, 3, 4)
    assert CAPTION not in repr(photo)


@pytest.mark.parametrize(
    ("written", "day"),
    [
        ("2026:03:04 23:59:59", dt.date(2026, 3, 4)),
        ("2026:03:21 00:10:00", dt.date(2026, 3, 21)),  # tomorrow already, further east
        ("2026:03:22 00:10:00", None),
        ("1980:01:01 00:00:00", None),
        ("0000:00:00 00:00:00", None),
        ("2026:02:31 10:00:00", None),
        ("    :  :     :  :  ", None),  # CIPA DC-008: blanks where it is not known
        ("soon", None),
    ],
)
def test_the_day_it_was_taken(written: str, day: dt.date | None) -> None:
    assert look_at_photo(packed(drawn(), exif=exif(DateTimeOriginal=written)), today=TODAY).taken == day


def focal(width: int, height: int, orientation: int | None = None, **shot: Any) -> float | None:
    small = Image.new("L", (width, height))
    return look_at_photo(packed(small, exif=exif(orientation, **shot))).focal_px


def test_the_focal_length_gives_the_angle_that_35_mm_film_has_over_its_diagonal() -> None:
    # CIPA DCG-001: equal angle of view over the diagonal. 50 mm on 36 × 24 mm sees 46.79° (2 atan(21.633/50)).
    found = focal(4000, 3000, FocalLengthIn35mmFilm=50)
    assert found is not None
    assert math.degrees(2 * math.atan(math.hypot(4000, 3000) / 2 / found)) == pytest.approx(46.79, abs=0.01)
    assert focal(3600, 2400, FocalLengthIn35mmFilm=36) == pytest.approx(
        3600
    )  # f = the width, on film's own shape
    assert focal(2400, 3600, FocalLengthIn35mmFilm=36) == pytest.approx(3600)
    assert focal(3600, 2400, 6, FocalLengthIn35mmFilm=36) == pytest.approx(3600)


def plane(focal_mm: float, per_unit: float, unit: int = 2, **more: Any) -> dict[str, Any]:
    return {
        "FocalLength": IFDRational(round(focal_mm * 100), 100),
        "FocalPlaneXResolution": IFDRational(round(per_unit * 1000), 1000),
        "FocalPlaneYResolution": IFDRational(round(per_unit * 1000), 1000),
        "FocalPlaneResolutionUnit": unit,
    } | more


@pytest.mark.parametrize(("unit", "per_unit"), [(2, 2540.0), (3, 1000.0), (4, 100.0)])
def test_the_focal_plane_gives_it_in_its_own_unit(unit: int, per_unit: float) -> None:
    # CIPA DC-008: pixels per unit on the focal plane; 2 = inch, 3 = centimetre. 100 px/mm × 35.4 mm = 3,540 px.
    assert focal(3600, 2400, **plane(35.4, per_unit, unit)) == pytest.approx(3540)


def test_the_finer_of_two_that_agree_is_used_and_the_usual_one_of_two_that_do_not() -> None:
    assert focal(3600, 2400, **plane(35.4, 100, 4, FocalLengthIn35mmFilm=35)) == pytest.approx(3540)
    assert focal(3600, 2400, **plane(3.54, 100, 4, FocalLengthIn35mmFilm=35)) == pytest.approx(3500)


def test_digital_zoom_lengthens_what_the_lens_says_and_is_in_the_equivalent_already() -> None:
    twice = IFDRational(2, 1)
    assert focal(3600, 2400, **plane(35.4, 100, 4, DigitalZoomRatio=twice)) == pytest.approx(7080)
    agreed = plane(35.4, 100, 4, DigitalZoomRatio=twice, FocalLengthIn35mmFilm=71)
    assert focal(3600, 2400, **agreed) == pytest.approx(7080)
    in_both_or_neither = plane(35.4, 100, 4, DigitalZoomRatio=twice, FocalLengthIn35mmFilm=35)
    assert focal(3600, 2400, **in_both_or_neither) is None
    unused = IFDRational(0, 1)  # CIPA DC-008: a numerator of 0 says that it was not used
    assert focal(3600, 2400, **plane(35.4, 100, 4, DigitalZoomRatio=unused)) == pytest.approx(3540)


def test_a_smaller_copy_keeps_its_angle_and_a_cropped_one_says_nothing() -> None:
    whole = {"ExifImageWidth": 3600, "ExifImageHeight": 2400, "FocalLengthIn35mmFilm": 36}
    assert focal(1800, 1200, **whole) == pytest.approx(1800)
    assert focal(1200, 1800, **whole) == pytest.approx(1800)
    assert focal(1800, 1200, **plane(36, 100, 4), ExifImageWidth=3600, ExifImageHeight=2400) == pytest.approx(
        1800
    )
    assert focal(2400, 2400, **whole) is None


@pytest.mark.parametrize(
    "shot",
    [
        {},
        {"FocalLengthIn35mmFilm": 0},  # CIPA DC-008: 0 where it is not known
        {"FocalLengthIn35mmFilm": 60_000},
        {"FocalLength": IFDRational(5, 1)},
        plane(0, 100, 4),
        plane(35, 0, 4),
        plane(35, 100, 1),  # no unit at all
        plane(35, 100, 4, FocalPlaneYResolution=IFDRational(50, 1)),
        plane(35, 100, 4, FocalLength=IFDRational(35, 0)),
    ],
)
def test_what_says_nothing_that_can_be_used_gives_no_focal_length(shot: dict[str, Any]) -> None:
    assert focal(3600, 2400, **shot) is None


@given(data=st.data())
def test_spoilt_exif_spoils_no_photograph(data: st.DataObject) -> None:
    plain = exif(6, place=True, FocalLengthIn35mmFilm=28, DateTimeOriginal="2026:03:04 10:11:12").tobytes()
    spoilt = bytearray(plain)
    for _ in range(data.draw(st.integers(1, 8))):
        spoilt[data.draw(st.integers(6, len(spoilt) - 1))] = data.draw(st.integers(0, 255))
    content = packed(drawn(8, 4), exif=bytes(spoilt[: data.draw(st.integers(6, len(spoilt)))]))
    photo = look_at_photo(content)
    assert {photo.width, photo.height} == {4, 8}
    assert photo.focal_px is None or photo.focal_px > 0
    assert seen(shown_photo(content, 8)).shape[:2] == (photo.height, photo.width)


# Colours


def test_a_profile_is_turned_into_srgb() -> None:
    lab = ImageCms.createProfile("LAB")
    srgb = ImageCms.createProfile("sRGB")
    image = Image.new("LAB", (4, 4), (128, 0, 0))
    grey = ImageCms.profileToProfile(image, lab, srgb, outputMode="RGB")
    assert grey is not None
    assert seen(shown_photo(packed(grey, "PNG"), 4))[0, 0] == pytest.approx(grey.getpixel((0, 0)), abs=2)
    # A grey profile with gamma 1: light of 0.2140 is 127.5 in sRGB (IEC 61966-2-1, its transfer curve).
    linear = Image.new("L", (8, 8), round(0.2140 * 255))
    shown = shown_photo(packed(linear, "PNG", icc_profile=grey_profile_without_gamma()), 8)
    assert seen(shown)[4, 4] == pytest.approx([127.5] * 3, abs=3)


def grey_profile_without_gamma() -> bytes:
    """The smallest grey display profile with a straight curve (ICC.1:2010 §7.2, §8.3.4, §10.5)."""
    white = b"XYZ \0\0\0\0" + b"".join(round(x * 65536).to_bytes(4, "big") for x in (0.9642, 1.0, 0.8249))
    curve = b"curv\0\0\0\0\0\0\0\0"
    text = b"desc\0\0\0\0\0\0\0\5grey\0" + bytes(78)
    right = b"text\0\0\0\0none\0"
    tags, body = b"", b""
    start = 128 + 4 + 4 * 12
    for name, value in ((b"desc", text), (b"cprt", right), (b"wtpt", white), (b"kTRC", curve)):
        tags += name + (start + len(body)).to_bytes(4, "big") + len(value).to_bytes(4, "big")
        body += value + bytes(-len(value) % 4)
    head = bytearray(128)
    head[0:4] = (start + len(body)).to_bytes(4, "big")
    head[8:12], head[12:24], head[36:40] = b"\2\x10\0\0", b"mntrGRAYXYZ ", b"acsp"
    head[68:80] = white[8:20]
    return bytes(head) + (4).to_bytes(4, "big") + tags + body


def test_a_profile_that_is_none_changes_nothing() -> None:
    image = drawn()
    with_it = shown_photo(packed(image, icc_profile=b"no profile at all"), 60)
    assert with_it == shown_photo(packed(image), 60)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16", "CMYK"])
@pytest.mark.parametrize("side", [12, 60])
def test_every_kind_of_colours_can_be_shown(mode: str, side: int) -> None:
    if mode == "I;16":
        grey = np.asarray(drawn().convert("L")).astype(np.uint16) * 257
        image, plain = Image.fromarray(grey), drawn().convert("L")
    else:
        image = drawn().convert(mode)
        plain = image
    content = packed(image, "JPEG" if mode == "CMYK" else "PNG")
    wanted = np.asarray(
        plain.convert("RGB").resize((side, round(side * 2 / 3)), Image.Resampling.BOX)
    ).astype(int)
    shown = seen(shown_photo(content, side))
    assert shown.shape == wanted.shape
    assert np.abs(shown - wanted).mean() < (60 if mode in ("1", "P") else 15)  # these two are dithered


def test_what_lets_the_ground_through_stands_on_white() -> None:
    assert seen(shown_photo(packed(Image.new("RGBA", (9, 9), (0, 0, 0, 0)), "PNG"), 9)).min() > 250


def test_a_picture_is_never_made_larger_and_a_long_one_keeps_a_pixel() -> None:
    assert seen(shown_photo(picture(), 4000)).shape == (40, 60, 3)
    assert seen(shown_photo(packed(Image.new("L", (3000, 2)), "PNG"), 100)).shape == (1, 100, 3)
    with pytest.raises(ValueError, match="at least one pixel"):
        shown_photo(picture(), 0)


def test_bytes_that_are_no_photograph_are_refused_here_too() -> None:
    for make in (look_at_photo, lambda content: shown_photo(content, 10)):
        with pytest.raises(Unreadable):
            make(b"no picture")
