"""What is no photograph, or too much of one, is refused in one sentence, and nothing else ever happens."""

from __future__ import annotations

import io
import subprocess
import sys
import time
import warnings
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pictures import drawn, packed, picture
from PIL import Image

from tracker import Unreadable, look_at_photo, shown_photo
from tracker.photos.gate import MOST_SCANS, check_whole
from tracker.photos.sniff import scans

ROOT = Path(__file__).parents[1]
FORMATS = ("JPEG", "PNG", "WEBP", "HEIC")
PROGRESSIVE = packed(drawn(), progressive=True)


def reason(content: bytes, work: Callable[[bytes], object] | None = None) -> str:
    """Why it was refused, or nothing; any other failure goes through."""
    try:
        work(content) if work else check_whole(content, "hoof.jpg")
    except Unreadable as refused:
        return refused.problem.kind
    return ""


@pytest.mark.parametrize("kind", FORMATS)
def test_a_whole_picture_is_taken(kind: str) -> None:
    assert reason(picture(kind)) == ""
    assert look_at_photo(picture(kind)).format == {"WEBP": "WebP"}.get(kind, kind)


@pytest.mark.parametrize("kind", [*FORMATS, "progressive"])
def test_a_picture_that_was_cut_short_anywhere_is_refused(kind: str) -> None:
    content = PROGRESSIVE if kind == "progressive" else picture(kind)
    last = 4 if kind == "PNG" else 0  # the checksum of IEND, which itself holds nothing (W3C PNG §11.2.5)
    for length in range(len(content) - last):
        found = reason(content[:length])
        assert found == ("photo-damaged" if length >= 30 else found) != "", length
        assert found in ("photo-empty", "photo-other-type", "photo-damaged")


@pytest.mark.parametrize("kind", [*FORMATS, "progressive"])
@given(data=st.data())
@settings(max_examples=150, deadline=None)
def test_a_spoilt_picture_is_taken_or_refused_and_nothing_else_happens(
    kind: str, data: st.DataObject
) -> None:
    spoilt = bytearray(PROGRESSIVE if kind == "progressive" else picture(kind))
    for _ in range(data.draw(st.integers(1, 12))):
        spoilt[data.draw(st.integers(0, len(spoilt) - 1))] = data.draw(st.integers(0, 255))
    content = bytes(spoilt)
    for work in (None, look_at_photo, lambda picture: shown_photo(picture, 20)):
        reason(content, work)


@given(st.binary(max_size=200))
def test_any_bytes_are_refused(content: bytes) -> None:
    assert reason(content)


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (packed(drawn(), "GIF"), "a GIF picture"),
        (packed(drawn(), "BMP"), "a BMP picture"),
        (packed(drawn(), "TIFF"), "a TIFF picture"),
        (packed(drawn(), "PDF"), "a PDF"),
        (packed(drawn(), "AVIF"), "an AVIF picture"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0isommp42", "a film"),
        (b"Date,Score\n", "something that is no picture"),
    ],
)
def test_another_format_is_named(content: bytes, found: str) -> None:
    with pytest.raises(Unreadable, match=found) as refused:
        check_whole(content, "hoof.jpg")
    assert refused.value.problem.kind == "photo-other-type"


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_a_moving_picture_is_refused(kind: str) -> None:
    frames = [drawn(seed=seed) for seed in range(3)]
    assert reason(packed(frames[0], kind, save_all=True, append_images=frames[1:])) == "photo-moving"


def test_a_moving_heic_picture_is_refused() -> None:
    # ISO/IEC 23008-12 annex B: hevc and msf1 are the brands of image sequences.
    assert reason(b"\0\0\0\x18ftyphevc\0\0\0\0msf1hevc" + bytes(50)) == "photo-moving"


def test_a_telephone_may_put_a_second_picture_or_a_film_behind_the_first() -> None:
    several = io.BytesIO()
    drawn().save(several, "MPO", save_all=True, append_images=[drawn(seed=2)])  # CIPA DC-007
    assert reason(several.getvalue()) == ""
    film = np.random.default_rng(3).integers(0, 256, 3_000_000, np.uint8).tobytes()
    assert film.count(b"\xff\xda") > 10
    assert reason(picture() + film) == ""
    assert scans(picture() + film) == 1


# Too much


def png_of(width: int, height: int, body: bytes = b"") -> bytes:
    """A PNG that says it has that size (W3C PNG §5.3, §11.2.1)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return len(data).to_bytes(4, "big") + name + data + zlib.crc32(name + data).to_bytes(4, "big")

    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + b"\x08\x00\0\0\0"
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def jpeg_of(width: int, height: int) -> bytes:
    """A small JPEG whose frame says another size (ITU-T T.81 B.2.2)."""
    content = bytearray(packed(Image.new("L", (8, 8))))
    at = content.index(b"\xff\xc0") + 5
    content[at : at + 4] = height.to_bytes(2, "big") + width.to_bytes(2, "big")
    return bytes(content)


def heic_of(width: int, height: int) -> bytes:
    """A small HEIC whose container says another size (ISO/IEC 23008-12 §6.5.3, the box ispe)."""
    content = bytearray(packed(Image.new("RGB", (64, 64)), "HEIC"))
    assert content.count(b"ispe") == 1
    at = content.index(b"ispe") + 8
    content[at : at + 8] = width.to_bytes(4, "big") + height.to_bytes(4, "big")
    return bytes(content)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (png_of(10_001, 6_000), "61 megapixels"),
        (heic_of(10_001, 6_000), "61 megapixels"),
        (heic_of(32_000, 32_000), "1,024 megapixels"),
        (heic_of(100_000, 100_000), "10,000 megapixels"),
        (png_of(100_000, 100_000), "10,000 megapixels"),
        (jpeg_of(65_000, 65_000), "4,225 megapixels"),
        (packed(Image.new("L", (16_000, 4_000)), "WEBP", lossless=True, method=0), "64 megapixels"),
        (
            packed(Image.new("L", (16_000, 12_000)), "WEBP", lossless=True, method=0),
            "more than can be unpacked",
        ),
    ],
)
def test_more_than_60_megapixels_are_refused_before_any_are_unpacked(content: bytes, said: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        start = time.perf_counter()
        with pytest.raises(Unreadable, match=said) as refused:
            check_whole(content, "hoof.jpg")
    assert refused.value.problem.kind == "photo-too-large"
    assert time.perf_counter() - start < 1


@pytest.mark.parametrize("made", [png_of, heic_of])
def test_exactly_60_megapixels_are_taken_and_said_in_the_message(made: Callable[[int, int], bytes]) -> None:
    assert look_at_photo(made(10_000, 6_000)).width == 10_000
    with pytest.raises(Unreadable, match="60 megapixels are the most"):
        look_at_photo(made(10_000, 6_001))


@pytest.mark.parametrize(("width", "height"), [(8, 8), (32, 64), (10_000, 6_000)])
def test_a_heic_picture_of_another_size_than_it_says_is_refused(width: int, height: int) -> None:
    for work in (None, lambda content: shown_photo(content, 1600)):
        assert reason(heic_of(width, height), work) == "photo-damaged"


def test_a_text_that_unpacks_without_end_is_refused() -> None:
    bomb = zlib.compress(bytes(80_000_000), 9)
    text = b"zTXtComment\0\0" + bomb
    chunk = (len(text) - 4).to_bytes(4, "big") + text + zlib.crc32(text).to_bytes(4, "big")
    plain = picture("PNG")
    assert len(bomb) < 100_000
    assert reason(plain[:33] + chunk + plain[33:]) == "photo-damaged"


def test_a_jpeg_that_goes_over_its_picture_without_end_is_refused() -> None:
    start = PROGRESSIVE.rindex(b"\xff\xda")
    scan = PROGRESSIVE[start:-2]
    endless = PROGRESSIVE[:start] + scan * 5_000 + b"\xff\xd9"
    assert scans(PROGRESSIVE) == 10  # libjpeg's usual script for colour pictures (jpeg_simple_progression)
    assert scans(endless) > MOST_SCANS
    assert reason(endless) == "photo-too-large"


def test_a_file_of_more_bytes_than_a_photograph_has_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "hoof.jpg"
    with path.open("wb") as file:
        file.write(picture())
        file.truncate(5_000_000_000)
    assert reason(b"", lambda _: look_at_photo(path)) == "photo-too-large"


# HEIC where it cannot be opened


def test_heic_without_its_library_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    content = picture("HEIC")
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    with pytest.raises(Unreadable, match="HEIC photograph, and nothing is installed here") as refused:
        check_whole(content, "hoof.heic")
    assert refused.value.problem.kind == "photo-heic"


# Files


def test_a_file_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    for path in (tmp_path / "gone.jpg", tmp_path, tmp_path / "nul\0.jpg", tmp_path / ("x" * 5000)):
        with pytest.raises(Unreadable) as refused:
            look_at_photo(path)
        assert refused.value.problem.kind == "photo-missing"
        assert str(tmp_path.parent) in str(refused.value)


# Memory

LARGEST = (9_000, 6_666)


def largest(kind: str) -> bytes:
    """A picture of 60 megapixels."""
    rough = drawn(*LARGEST)
    how = {
        "JPEG": {"quality": 90},
        "progressive": {"quality": 90, "progressive": True},
        "PNG": {"compress_level": 1},
        "WEBP": {"quality": 80, "method": 0},
    }
    return packed(rough, "JPEG" if kind == "progressive" else kind, **how[kind])


MEASURE = """
import sys, time
from pathlib import Path
from tracker.photos.gate import check_whole
from tracker.photos.look import look_at_photo, shown_photo

def high_water():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024

content = Path(sys.argv[1]).read_bytes()
works = {"check": lambda: check_whole(content, "x"), "look": lambda: look_at_photo(content)}
works["shown"] = lambda: shown_photo(content, 1600)
before, start = high_water(), time.perf_counter()
works[sys.argv[2]]()
print(high_water() - before, time.perf_counter() - start)
"""


def measured(path: Path, work: str) -> tuple[float, float]:
    """How many MB more, and how many seconds, a fresh process needs at the most for it (Linux: proc(5), VmHWM)."""
    command = [sys.executable, "-c", MEASURE, str(path), work]
    said = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    more, seconds = said.split()
    return float(more), float(seconds)


def test_a_heic_picture_stays_within_the_memory_of_the_others(tmp_path: Path) -> None:
    """At 12 megapixels, since it takes long to make one; 450 MB for 60 as for a progressive JPEG."""
    if not Path("/proc/self/status").exists():
        warnings.warn("only Linux tells how much memory was used at the most", stacklevel=1)
        return
    path = tmp_path / "large.heic"
    path.write_bytes(packed(Image.new("RGB", (4_000, 3_000), "tan"), "HEIC", quality=10))
    for work in ("check", "look", "shown"):
        more, seconds = measured(path, work)
        print(f"HEIC of 12 MP, {work}: {more:.0f} MB more, {seconds:.1f} s")
        assert more < 450 * 12 / 60 + 15, work


@pytest.mark.parametrize(
    ("kind", "most"), [("JPEG", 120), ("progressive", 450), ("PNG", 450), ("WEBP", 1000)]
)
def test_60_megapixels_stay_within_their_memory(kind: str, most: float, tmp_path: Path) -> None:
    if not Path("/proc/self/status").exists():
        warnings.warn("only Linux tells how much memory was used at the most", stacklevel=1)
        return
    path = tmp_path / "largest"
    path.write_bytes(largest(kind))
    for work in ("check", "look", "shown"):
        more, seconds = measured(path, work)
        print(
            f"{kind} of 60 MP, {path.stat().st_size / 1e6:.0f} MB, {work}: {more:.0f} MB more, {seconds:.1f} s"
        )
        assert more < most, work
