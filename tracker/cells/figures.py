"""Small numbers typed as words, and grades with the top of their scale behind them."""

from __future__ import annotations

import re

_WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_NUMBER = {word: str(number) for number, word in enumerate(_WORDS)} | {"nought": "0", "naught": "0"}
_WORD = re.compile(rf"\b(?:{'|'.join(_NUMBER)})\b")
_AND_A_HALF = re.compile(r"\b(\d+) and (?:a|1) half\b")
_HALF = re.compile(r"\b(?:(?:a|1) )?half\b")
_ABOUT = re.compile(
    r"^(?:~|≈|about|around|approx(?:imately|\.)?|roughly|est(?:imated|\.)?|circa|ca\.?|c\.)\s*(?=[\d.½])"
    r"|(?<=[\w½\"'.°])\s*(?:\(\?\)|\?|-?ish)\s*$"
    r"|(?<=[\w½\"'.°])\s*\(?(?<![^\W\d_])(?:approx(?:imately)?|est(?:imated?)?|or so)\.?\)?\s*$",
    re.IGNORECASE,
)
_OR_MORE = re.compile(
    r"^(?:>=?|≥|at least)\s*(?=[\d.½])|(?<=[\w½\"'.°])\s*\+(?=\s*[a-z\"'°]*\s*$)", re.IGNORECASE
)
_PART = re.compile(
    r"(?:\b(\d+)\s+and\s+|(?<![\d.,]\s)\b)(?:(an?|1|3)\s+)?(half|quarters?)\b(?:\s+(?:of\s+)?an?\b)?",
    re.IGNORECASE,
)
_ANY_WORD = re.compile(_WORD.pattern, re.IGNORECASE)
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


def or_more(text: str) -> str:
    """The text without a mark that says "or more": "89+", "89+ mm", ">89" and "at least 89" lose it."""
    return _OR_MORE.sub("", text) if _OR_MORE.search(text) else text


def with_fractions(text: str) -> str:
    """Number words as figures, halves and quarters as fractions: "three and a half inches" is "3 1/2 inches"."""
    figures = _ANY_WORD.sub(lambda found: _NUMBER[found[0].casefold()], text)
    return _PART.sub(_spelled_part, figures)


def _spelled_part(found: re.Match[str]) -> str:
    upper, lower = "3" if found[2] == "3" else "1", "2" if found[3].casefold() == "half" else "4"
    if (upper, lower) == ("3", "2"):  # "3 half" may be 3 1/2 or 3 halves
        return found[0]
    return f"{found[1]} {upper}/{lower}" if found[1] else f"{upper}/{lower}"
