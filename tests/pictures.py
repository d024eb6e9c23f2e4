"""Drawn pictures of every format and manner, small or large; no photograph is among them."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from PIL import Image, PngImagePlugin
from PIL.ExifTags import GPS, IFD, Base

CAPTION = "told to nobody"
"""Stands in every kind of metadata of `telling`, so that a search of the bytes finds any that went along."""


def drawn(width: int = 60, height: int = 40, seed: int = 1) -> Image.Image:
    """Four corners of different colours and a little noise, so that every turn of it is another picture."""
    pixels = np.zeros((height, width, 3), np.uint8)
    half_down, half_across = height // 2, width // 2
    pixels[:half_down, :half_across] = (220, 30, 30)
    pixels[:half_down, half_across:] = (30, 200, 40)
    pixels[half_down:, :half_across] = (30, 40, 210)
    pixels[half_down:, half_across:] = (230, 220, 60)
    noise = np.random.default_rng(seed).integers(-9, 10, pixels.shape)
    return Image.fromarray(np.clip(pixels + noise, 0, 255).astype(np.uint8))


def packed(image: Image.Image, kind: str = "JPEG", **how: Any) -> bytes:
    """The picture as a file of that format."""
    if kind == "HEIC":
        import pillow_heif

        out = io.BytesIO()
        pillow_heif.from_pillow(image).save(out, **how)
        return out.getvalue()
    out = io.BytesIO()
    image.save(out, kind, **({"quality": 95} | how if kind == "JPEG" else how))
    return out.getvalue()


def picture(kind: str = "JPEG", seed: int = 1) -> bytes:
    """A small picture of that format."""
    return packed(drawn(seed=seed), kind)


def exif(orientation: int | None = None, place: bool = False, **shot: Any) -> Image.Exif:
    """Exif data with tags of the shot by their names in the standard, and with a made-up place where wanted."""
    data = Image.Exif()
    if orientation is not None:
        data[Base.Orientation] = orientation
    data.get_ifd(IFD.Exif).update({Base[name].value: value for name, value in shot.items()})
    if place:
        data[Base.ImageDescription] = CAPTION
        data.get_ifd(IFD.GPSInfo).update(
            {GPS.GPSLatitudeRef: "N", GPS.GPSLatitude: (51.0, 12.0, 3.0), GPS.GPSAreaInformation: CAPTION}
        )
    return data


def telling(kind: str, profile: bytes | None = None) -> bytes:
    """A picture that tells a place, a caption, a comment and a packet of XMP."""
    how: dict[str, Any] = {"exif": exif(6, place=True, DateTimeOriginal="2026:03:04 10:11:12")}
    xmp = f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>{CAPTION}</x:xmpmeta>".encode()
    if kind == "PNG":
        text = PngImagePlugin.PngInfo()
        text.add_text("Comment", CAPTION)
        text.add_itxt("XML:com.adobe.xmp", xmp.decode())
        how["pnginfo"] = text
    else:
        how["xmp"] = xmp
    if kind == "JPEG":
        how["comment"] = CAPTION
    if profile and kind != "HEIC":
        how["icc_profile"] = profile
    if kind == "HEIC":
        how["exif"] = how["exif"].tobytes()
    return packed(drawn(), kind, **how)
