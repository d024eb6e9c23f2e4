"""What a photograph says of itself, and the picture as a screen may show it."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageCms
from PIL.JpegImagePlugin import JpegImageFile

from tracker.photos.exif import day_of, focal_px, orientation_of, shot_of
from tracker.photos.gate import format_of, opened, read_photo

QUALITY = 90
LARGEST_SIDE = 65_500  # of a JPEG (libjpeg's jmorecfg.h)

_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Photo:
    """What a photograph says of itself.

    `width` and `height` are pixels of the upright picture, in which points are marked; `taken` is the day by
    the camera's clock, `focal_px` the focal length in pixels of the upright picture, both None where not known.
    """

    format: str
    width: int
    height: int
    taken: dt.date | None
    focal_px: float | None


def look_at_photo(photo: Path | str | bytes, *, today: dt.date | None = None) -> Photo:
    """Look at a photograph, or at its bytes; the pixels are not judged. Raises Unreadable.

    Where it was taken is never read. Reference for what is: CIPA DC-008 (Exif); see `focal_px`.
    """
    content, name = _bytes_of(photo)
    with opened(content, name) as image:
        size = image.size
        turned = orientation_of(image) >= 5
        shot = shot_of(image)
    width, height = size[::-1] if turned else size
    taken = day_of(shot, today or dt.date.today())
    return Photo(format_of(content), width, height, taken, focal_px(shot, width, height))


def shown_photo(photo: Path | str | bytes, longest_side: int) -> bytes:
    """The picture as JPEG for a screen: upright, in sRGB, no side longer than so many pixels, and nothing else.

    No metadata goes along: no place, no thumbnail, no comment. A smaller picture keeps its size. A large JPEG is
    unpacked no larger than it needs to be. Raises Unreadable, and ValueError for a side below 1.
    """
    if longest_side < 1:
        raise ValueError("a picture has at least one pixel")
    content, name = _bytes_of(photo)
    longest_side = min(longest_side, LARGEST_SIDE)
    with opened(content, name) as image:
        turn = _TURNS.get(orientation_of(image))
        small = _scaled(image, longest_side)
        small = _in_srgb(small, image.info.get("icc_profile"))
        return jpeg(small.transpose(turn) if turn is not None else small)


def upright(photo: Path | str | bytes) -> Image.Image:
    """The whole picture as it is to be seen, in sRGB. Raises Unreadable."""
    content, name = _bytes_of(photo)
    with opened(content, name) as image:
        turn = _TURNS.get(orientation_of(image))
        image.load()
        plain = _in_srgb(_plain(image), image.info.get("icc_profile"))
        return plain.transpose(turn) if turn is not None else plain.copy()


def _bytes_of(photo: Path | str | bytes) -> tuple[bytes, str]:
    if isinstance(photo, bytes):
        return photo, "The picture"
    return read_photo(Path(photo)), Path(photo).name


def _scaled(image: Image.Image, longest_side: int) -> Image.Image:
    """The picture, not larger than that, and with colours that can be mixed."""
    scale = min(1.0, longest_side / max(image.size))
    size = (max(1, round(image.width * scale)), max(1, round(image.height * scale)))
    if isinstance(image, JpegImageFile):
        image.draft(None, (2 * size[0], 2 * size[1]))  # twice, so that the last step still smooths
    image.load()
    if scale == 1:
        return _plain(image)
    factor = max(1, min(image.width // (2 * size[0]), image.height // (2 * size[1])))
    mixable = image if image.mode in ("L", "LA", "RGB", "RGBA", "CMYK") else _plain(image)
    return _plain((mixable.reduce(factor) if factor > 1 else mixable).resize(size, Image.Resampling.LANCZOS))


def _plain(image: Image.Image) -> Image.Image:
    """Grey, colour or print colours, eight bits each, on white where it lets the ground through."""
    if image.mode.startswith("I"):
        image = image.point(lambda value: value / 256).convert("L")
    if image.has_transparency_data:
        see_through = image.convert("RGBA")
        image = Image.new("RGB", image.size, "white")
        image.paste(see_through, mask=see_through.getchannel("A"))
    return image if image.mode in ("L", "RGB", "CMYK") else image.convert("RGB")


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """The colours as sRGB has them; a profile that cannot be used counts as none."""
    if profile:
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            turned = ImageCms.profileToProfile(image, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
            return turned or image
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            pass
    return image.convert("RGB") if image.mode == "CMYK" else image


def jpeg(image: Image.Image) -> bytes:
    """The picture as JPEG, and nothing else of what came with it."""
    image.info.clear()  # Pillow would write a comment that it finds here
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
