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
_TITLED = r"\b(?:Dr|Mr|Mrs|Ms)\.?\s+[A-Z\u00c0-\u00de]\w+(?:-\w+)?"  # whoever that is, the workbook need not name them
_SMALL = """
    a all an and at both by day days everyone for from he her him his i in is it me my myself new no nobody none of old on
    or our same self she someone the their they to today unknown us we with yesterday you
    """
_ROLES = """
    animal barn brother centre clinic dad daughter doctor dr equine family farm farrier father friend groom helper hospital
    husband livery miss mom mother mr mrs ms mum neighbour neighbor partner practice rider sister son stable stables vets
    veterinary wife yard
    """
# What stands in a column for people and is nobody's name: the sheets' own words, days and months, and these.
_NOBODY = {
    *(word for sheet in SHEETS for column in sheet.columns for said in column.choices for word in fold(said).split()),
    *map(str.casefold, (*calendar.month_name, *calendar.month_abbr, *calendar.day_name, *calendar.day_abbr)),
    *_SMALL.split(),
    *_ROLES.split(),
}  # fmt: skip
# Names that are everyday words too: in small letters they are taken for the word.
_EVERYDAY = """
    amber art ash autumn bay best bill black brown buck bush carter chase church clay cliff clover cook dale dawn
    day dean drew dusty faith farmer farrier fast fern field fisher flint foot frank frost gene ginger glen good
    grace grade grades grant gray green grey guy hale hand hardy hay heart heath heel hill holly honey hope horn
    house hunter ivy jack joy king lance lane large light little long love low mark marsh may miller moor moss nail
    nails nick noble olive page pain park pat penny pierce price quick rain ray read reed rice rich rob robin rocky
    root rose ruby rush rusty salt sandy savage sharp shoe short skip small smith snow sole spring stall stern stone
    storm straw strong sue summer sunny swift toe trotter walker wall walls ward water waters weeks wells white wild
    will winter wise wood young
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
    """What finds every person whom the workbook names, by the whole name or one word of it; None: nothing to find.

    Whoever has a title before the name is found too, unless a horse is called so. Names are found in any case, but in
    small letters not where they are everyday words too. Of "Moor practice, by the gate" the words in small letters
    are no names; of "wilma holm", where all are small, they are.
    """
    typed = {
        unicodedata.normalize("NFC", " ".join(str(name).split()))
        for sheet, key in _PEOPLE
        for name in book.tables[sheet.name].frame[key].unique()
    }
    horses = {fold(part) for horse in book.horses for part in horse.name.split()}
    kept = _NOBODY | horses
    whole = {name for name in typed if any(fold(word) not in _NOBODY for word in _words_of(name))}
    parts = {
        word for name in whole for word in _words_of(name)
        if len(word) > 1 and fold(word) not in kept and (name.islower() or not word.islower())
    }  # fmt: skip
    found = sorted({form for name in whole | parts for form in _forms(name)}, key=len, reverse=True)
    titled = [] if any(re.search(_TITLED, horse.name) for horse in book.horses) else [_TITLED]
    return re.compile("|".join([*titled, *found])) if titled or found else None


def _words_of(name: str) -> Iterable[str]:
    """Its words of letters alone: a figure beside a name, such as a day or a box, is no part of it."""
    return re.findall(r"\b[^\W\d_]+\b", name)


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
