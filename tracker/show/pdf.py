"""A page description and its data, as a PDF: tagged after PDF/UA-1, its typefaces inside, whatever was typed.

The data never become part of the description: they go in as JSON, so that no sign in them is obeyed.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import unicodedata
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

import typst

from tracker.show.pdf_rows import with_row_heads

PAPERS = ("a4", "us-letter")
_TRIES = 8
_PICTURE = "svg"  # drawn by us, and no words to be broken
# What the typefaces lack, or the standard forbids, stands so in the compiler's findings.
_REFUSED = re.compile(r'(?:the text|codepoint) `"((?:[^"\\]|\\.)+)"`')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")
_LONG = re.compile(r"(\S{30})(?=\S)")  # a word that no line holds may be broken
_ODD = ("So", "Sk", "Cf", "Mn", "Me", "Co", "Cn")
_UNSEEN = ("Cc", "Cf", "Mn", "Me", "Cs")


def pdf_of(description: str, data: Mapping[str, Any], day: dt.date, *, paper: str = PAPERS[0]) -> bytes:
    """The PDF of a description beside this file, such as "letter/letter.typ", with its data and `paper`; dated `day`.

    Data are what JSON holds, and bytes, which arrive as their numbers.

    The same data give the same bytes on every computer, but for signs that the compiler's own typefaces lack:
    these are looked for in the computer's own, and a sign that none of them has is written out by its name in
    square brackets. Raises ValueError for a paper that is none of `PAPERS`.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper {paper!r}: one of {', '.join(PAPERS)}")
    source = files("tracker.show").joinpath(description).read_bytes()
    text = json.dumps(_printable({**data, "paper": paper}), ensure_ascii=False)
    whole_computer, lacking = False, frozenset[str]()
    for _ in range(_TRIES):
        try:
            return _compiled(source, _named(text, lacking), day, whole_computer)
        except typst.TypstError as failure:
            if "PDF/UA" not in str(failure):
                raise
            if whole_computer:
                lacking |= _refused(failure) or _odd(text)
            whole_computer = True
    return _compiled(source, _named(text, frozenset(sign for sign in text if not sign.isascii())), day, False)


def pages_of(description: str, data: Mapping[str, Any], *, paper: str = PAPERS[0]) -> int:
    """How many pages that takes; the description has the label `pages` at a number that says so."""
    text = json.dumps(_printable({**data, "paper": paper}), ensure_ascii=False)
    source = files("tracker.show").joinpath(description).read_bytes()
    found = typst.query(
        source, "<pages>", field="value", one=True, sys_inputs={"data": text}, ignore_system_fonts=True
    )
    return int(json.loads(found))


def _compiled(source: bytes, text: str, day: dt.date, whole_computer: bool) -> bytes:
    content = typst.compile(
        source,
        output=None,
        format="pdf",
        sys_inputs={"data": text},
        pdf_standards=["ua-1"],
        ignore_system_fonts=not whole_computer,
        timestamp=dt.datetime.combine(day, dt.time(12), dt.UTC),
    )
    return with_row_heads(content)


def _printable(value: Any) -> Any:
    """The same without the controls that no page can show; a line's end and a tab stay."""
    if isinstance(value, str):
        kept = (sign for sign in value if sign in "\n\t" or unicodedata.category(sign) not in ("Cc", "Cs"))
        return _LONG.sub("\\1\u200b", "".join(kept))
    if isinstance(value, Mapping):
        return {key: each if key == _PICTURE else _printable(each) for key, each in value.items()}
    if isinstance(value, bytes):
        return list(value)
    return [_printable(each) for each in value] if isinstance(value, list | tuple) else value


def _refused(failure: typst.TypstError) -> frozenset[str]:
    """The signs that the compiler could not write."""
    found = "".join(_REFUSED.findall(f"{failure.diagnostic}"))
    plain = _ESCAPED.sub(lambda escaped: chr(int(escaped[1], 16)), found)
    return frozenset(sign for sign in plain if not sign.isascii())


def _odd(text: str) -> frozenset[str]:
    """The signs that are no letters, figures or common marks, for the findings that name none."""
    return frozenset(sign for sign in text if unicodedata.category(sign) in _ODD)


def _named(text: str, lacking: frozenset[str]) -> str:
    return text.translate({ord(sign): _name(sign) for sign in lacking})


def _name(sign: str) -> str:
    if unicodedata.category(sign) in _UNSEEN:
        return ""
    return f"[{unicodedata.name(sign, f'sign {ord(sign):X}').lower()}]"
