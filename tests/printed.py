"""A printed file as another program sees it."""

from __future__ import annotations

import io

from pypdf import PdfReader
from pypdf.generic import DictionaryObject


def read(content: bytes) -> PdfReader:
    """The PDF by pypdf."""
    return PdfReader(io.BytesIO(content))


def elements(reader: PdfReader) -> list[DictionaryObject]:
    """Every element of the structure tree, in reading order."""
    found: list[DictionaryObject] = []

    def walk(node: object) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for each in node:
                walk(each)
        elif isinstance(node, DictionaryObject):
            if "/S" in node:
                found.append(node)
            walk(node.get("/K"))

    walk(reader.trailer["/Root"]["/StructTreeRoot"])
    return found
