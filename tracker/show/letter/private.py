"""What is private in typed words: the people whom the workbook names, and what looks like a number to ring."""

from __future__ import annotations

import calendar
import re
import unicodedata
from collections.abc import Iterable, Iterator

from tracker.book import Book
from tracker.cells.text import fold
from tracker.sheets import FOLLOW_UP, HORSES, PAIN_RELIEF, PLAN, SHEETS, SOUNDNESS, VISITS

NAME, NUMBER = "[name left out]", "[number left out]"
_PEOPLE = (
    (HORSES, "trimmer"), (HORSES, "vet"), (SOUNDNESS, "seen_by"), (VISITS, "name"),
    (PAIN_RELIEF, "given_by_order_of"), (PLAN, "set_by"), (FOLLOW_UP, "by"),
)  # fmt: skip
_PHONE = re.compile(r"\+?\(?\d(?:[\s()/.-]{0,3}\d){6,}")
_DATE = re.compile(r"(?<![\d./-])(\d{4}-\d\d-\d\d|[0-3]?\d[./][0-3]?\d[./](?:\d{4}|\d\d))(?![\d/]|[.-]\d)")
_SMALL = "a an and at by for from he her him his i in is it me my myself no of on or our she the their they to us we"
# What stands in a column for people and is nobody's name: the sheets' own words, days and months, and these.
_NOBODY = {
    *(word for sheet in SHEETS for column in sheet.columns for said in column.choices for word in fold(said).split()),
    *map(str.casefold, (*calendar.month_name, *calendar.month_abbr, *calendar.day_name, *calendar.day_abbr)),
    *_SMALL.split(),
}  # fmt: skip
# Names that are everyday words too: in small letters they are taken for the word.
_EVERYDAY = """
    amber art ash autumn bay best bill black brown buck bush carter chase church clay cliff clover cook dale dawn day
    dean drew dusty faith farmer farrier fern field fisher foot frank gene ginger glen good grace grant gray green
    grey guy hale hardy hay heath heel hill holly honey hope horn house hunter ivy jack joy king lance lane large
    little long love low mark marsh may miller moor nick noble olive page pain park pat penny pierce price rain ray
    reed rice rich rob robin rocky rose ruby rush rusty sandy savage sharp shoe short skip small smith sole stall
    stern stone storm straw strong sue summer sunny swift toe trotter walker ward wells white wild will wise wood young
    """
_WORDS = frozenset(_EVERYDAY.split())


def without_people(text: str, names: re.Pattern[str] | None) -> str:
    """The text without the names of `names_in`, and without telephone numbers."""
    return without_numbers(without_names(text, names))


def without_names(text: str, names: re.Pattern[str] | None) -> str:
    """The text without the names of `names_in`."""
    return names.sub(NAME, unicodedata.normalize("NFC", text)) if names else text


def without_numbers(text: str) -> str:
    """The text without what looks like a telephone number; dates are none, nor are single figures in a row."""
    between = (
        _PHONE.sub(_number, piece) if place % 2 == 0 else piece
        for place, piece in enumerate(_DATE.split(text))
    )
    return "".join(between)


def _number(found: re.Match[str]) -> str:
    return NUMBER if re.search(r"\d\d", found[0]) else found[0]


def names_in(book: Book) -> re.Pattern[str] | None:
    """What finds every person whom the workbook names, by the whole name or one word of it; None where it names none.

    Names are found in any case, but in small letters not where they are everyday words too.
    """
    typed = {
        unicodedata.normalize("NFC", " ".join(str(name).split()))
        for sheet, key in _PEOPLE
        for name in book.tables[sheet.name].frame[key].unique()
    }
    horses = {fold(part) for horse in book.horses for part in horse.name.split()}
    kept = _NOBODY | horses
    whole = {name for name in typed if any(fold(word) not in _NOBODY for word in _words_of(name))}
    parts = {word for name in whole for word in _words_of(name) if len(word) > 1 and fold(word) not in kept}
    found = sorted({form for name in whole | parts for form in _forms(name)}, key=len, reverse=True)
    return re.compile("|".join(found)) if found else None


def _words_of(name: str) -> Iterable[str]:
    return re.findall(r"\w+", name)


def _forms(name: str) -> Iterator[str]:
    """The patterns that find a name; one that is written without capitals may have a word before or after it."""
    if name.upper() == name.lower():
        yield re.escape(name) if len(name) > 1 else rf"\b{re.escape(name)}\b"
        return
    plain = "".join(sign for sign in unicodedata.normalize("NFKD", name) if not unicodedata.combining(sign))
    for form in {name, plain}:
        if len(form) < 2 or form.casefold() in _WORDS:
            yield rf"\b(?:{'|'.join(map(re.escape, (form.title(), form.upper())))})\b"
        else:
            yield rf"\b(?i:{re.escape(form)}){'s?' if len(form) > 2 else ''}\b"
