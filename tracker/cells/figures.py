"""Small numbers typed as words, and grades with the top of their scale behind them."""

from __future__ import annotations

import re

_WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_NUMBER = {word: str(number) for number, word in enumerate(_WORDS)} | {"nought": "0", "naught": "0"}
_WORD = re.compile(rf"\b(?:{'|'.join(_NUMBER)})\b")
_AND_A_HALF = re.compile(r"\b(\d+) and (?:a|1) half\b")
_HALF = re.compile(r"\b(?:(?:a|1) )?half\b")
_ABOUT = re.compile(
    r"^(?:~|≈|about|around|approx\.?|circa|ca\.?|c\.)\s*(?=[\d.½])|(?<=[\d\w½\"'.])\s*(?:\?|approx\.?|-?ish)\s*$",
    re.IGNORECASE,
)
_OF = re.compile(r"^(.*?)\s*(?:/|\bout of\b|\bof\b)\s*(\d{1,2})$")


def in_figures(line: str) -> str:
    """Folded text in which number words stand as figures: "two and a half" is "2.5"."""
    if line.isdecimal():
        return line
    line = _WORD.sub(lambda found: _NUMBER[found[0]], line)
    return _HALF.sub("0.5", _AND_A_HALF.sub(r"\1.5", line))


def parted(line: str) -> tuple[str, str]:
    """A grade and the top of its scale: "5/9", "5 (of 9)" and "5 out of 9" give ("5", "9"); "" where none is named."""
    line = " ".join(line.replace("(", " ").replace(")", " ").split())
    found = _OF.match(line)
    return (found[1], found[2]) if found else (line, "")


def exact(text: str) -> str:
    """The text without a mark that it is not exact: "~89", "about 89", "89?" and "89 approx." all give "89"."""
    return _ABOUT.sub("", text) if _ABOUT.search(text) else text
