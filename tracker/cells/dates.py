"""Dates as people type them. What one cell cannot settle (which is the day, which year) is left open here.

The whole column settles it: see tracker.check.dates.
"""

from __future__ import annotations

import calendar
import datetime as dt
import re
from dataclasses import dataclass, replace

from dateutil.parser import parserinfo

from tracker.cells.text import fold

_INFO = parserinfo()
EARLIEST = dt.date(1980, 1, 1)
LATEST = dt.date(2100, 1, 1)


@dataclass(frozen=True, slots=True)
class WrittenDate:
    """The parts of a date as written. `first` and `second` stand where day and month do.

    `order` is "day", "month" (which of the two stands first) or "" where the text does not show it.
    `year` is None where it was left out. `tells` marks figures such as 25/3, which show the order
    that their whole column is written in; `numeric` marks all figures with the month among them.
    `weekday` counts from Monday, 0; None where none was typed. `between` is the sign between three times
    two figures, such as 26-06-01, of which the first may also be the year; "" in all other dates.
    """

    first: int
    second: int
    year: int | None
    order: str
    time: dt.time = dt.time()
    tells: bool = False
    numeric: bool = False
    weekday: int | None = None
    between: str = ""

    def parts(self, day_first: bool) -> tuple[int, int]:
        """(day, month) under the order given, unless the text itself shows its order."""
        first_is_day = day_first if not self.order else self.order == "day"
        return (self.first, self.second) if first_is_day else (self.second, self.first)

    def on(self, year: int, day_first: bool) -> dt.datetime | None:
        """The date in that year, or None where the calendar has no such day."""
        day, month = self.parts(day_first)
        if not (1 <= month <= 12 and 1 <= day <= calendar.monthrange(year, month)[1]):
            return None
        return dt.datetime.combine(dt.date(year, month, day), self.time)

    def year_first(self) -> WrittenDate | None:
        """The same figures with the year first, then month and day; None where they are no such date."""
        if not self.between or self.year is None:
            return None
        year = _year(f"{self.first:02}")
        other = WrittenDate(self.year % 100, self.second, year, "day", self.time, weekday=self.weekday)
        return other if year is not None and other.on(year, day_first=True) else None


def serial_to_datetime(serial: float, date1904: bool = False) -> dt.datetime | None:
    """A spreadsheet's day number as a date, or None where it stands for no day.

    References: ISO/IEC 29500-1 §18.17.4.1. In the 1900 system day 1 is 1 January 1900 and day 60 is a
    29 February 1900 that never was; in the 1904 system day 0 is 1 January 1904.
    """
    if date1904:
        if not 0 <= serial < 2957004:
            return None
        return _to_second(dt.datetime(1904, 1, 1) + dt.timedelta(days=serial))
    if not 1 <= serial < 2958466 or 60 <= serial < 61:
        return None
    start = dt.datetime(1899, 12, 30) if serial > 60 else dt.datetime(1899, 12, 31)
    return _to_second(start + dt.timedelta(days=serial))


def _to_second(moment: dt.datetime) -> dt.datetime:
    """A fraction of a day is seldom a whole number of seconds; nobody typed the rest."""
    return (moment + dt.timedelta(milliseconds=500)).replace(microsecond=0)


_TIME = re.compile(
    r"[\s,t]+(?:at\s+)?(?:(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*(am|pm)?|(\d{1,2})\s*(am|pm))z?$"
)
_TIME_BY_POINT = re.compile(r"[\s,t]+(?:at\s+)?(\d{1,2})[.h](\d{2})()\s*(am|pm)?()()h?$")
_WEEKDAY = re.compile(r"^([a-z]+)[.,]?\s+(?=\S)")
_ISO = re.compile(r"^(\d{4})\s*[-/. ]\s*(\d{1,2})\s*[-/. ]\s*(\d{1,2})\.?$|^(\d{4})(\d{2})(\d{2})$")
_YEAR = r"(?:'?(\d{2}|\d{4}))?"
_NUMERIC = re.compile(rf"^(\d{{1,2}})\s*([-/. ])\s*(\d{{1,2}})(?:\s*[-/. ]\s*{_YEAR})?\.?$")
_DAY_MONTH = re.compile(rf"^(\d{{1,2}})(?:st|nd|rd|th)?\.?\s*(?:of\s+)?[-\s./]*([a-z]+)[-\s,./]*{_YEAR}$")
_MONTH_DAY = re.compile(rf"^([a-z]+)[-\s./]*(\d{{1,2}})(?!\d)(?:st|nd|rd|th)?[-\s,./]*{_YEAR}$")


def read_date(value: object, date1904: bool = False) -> dt.datetime | WrittenDate | None:
    """A true date, the parts of a written one, or None where the cell holds no date.

    A number counts as a day number where it falls into the years 1980 to 2099.
    """
    if isinstance(value, dt.datetime):
        return value.replace(tzinfo=None)
    if isinstance(value, dt.date):
        return dt.datetime.combine(value, dt.time())
    if isinstance(value, float):
        return _number(value, date1904)
    if not isinstance(value, str):
        return None
    return _text(fold(value), date1904)


def run_together(value: object) -> set[dt.date]:
    """The days that five figures stand for where they are a day, a month and a year run together: 40326."""
    text = fold(value) if isinstance(value, str) else f"{value:.0f}" if _is_whole(value) else ""
    if not re.fullmatch(r"\d{5}", text):
        return set()
    pairs = ((int(text[:1]), int(text[1:3])), (int(text[:2]), int(text[2:3])))
    written = [WrittenDate(*pair, _year(text[3:]), "") for pair in pairs]
    dates = [date.on(date.year or 0, order) for date in written for order in (True, False)]
    return {date.date() for date in dates if date is not None}


def _is_whole(value: object) -> bool:
    return isinstance(value, float) and value.is_integer() and value < 1e9


def heading_order(unit: str) -> str:
    """The order that a heading such as Date (dd/mm/yyyy) names: "day", "month", or "" where it names none."""
    letters = re.sub("[^a-z]", "", unit)
    return "day" if re.match("d+m+", letters) else "month" if re.match("m+d+", letters) else ""


def _number(number: float, date1904: bool) -> dt.datetime | WrittenDate | None:
    if number.is_integer() and (found := _ISO.match(str(int(number)))):
        return WrittenDate(int(found[6]), int(found[5]), int(found[4]), "day")
    moment = serial_to_datetime(number, date1904)
    return moment if moment and EARLIEST <= moment.date() < LATEST else None


def _text(line: str, date1904: bool) -> dt.datetime | WrittenDate | None:
    return _by_clock(line, date1904, _TIME) or (
        _by_clock(line, date1904, _TIME_BY_POINT) if _TIME_BY_POINT.search(line) else None
    )


def _by_clock(line: str, date1904: bool, clock: re.Pattern[str]) -> dt.datetime | WrittenDate | None:
    line, time = _split_time(line, clock)
    if time is None:
        return None
    if (found := _WEEKDAY.match(line)) and (weekday := _INFO.weekday(found[1])) is not None:
        date = _day(line[found.end() :], date1904, time)
        return replace(date, weekday=weekday) if isinstance(date, WrittenDate) else date
    return _day(line, date1904, time)


def _day(line: str, date1904: bool, time: dt.time) -> dt.datetime | WrittenDate | None:
    if found := _ISO.match(line):
        parts = [int(part) for part in found.groups() if part]
        return WrittenDate(parts[2], parts[1], parts[0], "day", time)
    if found := _NUMERIC.match(line):
        date = _numeric(int(found[1]), int(found[3]), found[2], _year(found[4]), time)
        two_each = [len(part or "") for part in found.group(1, 3, 4)] == [2, 2, 2]
        return replace(date, between=found[2]) if two_each else date
    if (found := _DAY_MONTH.match(line)) and (named := _month(found[2])):
        return WrittenDate(int(found[1]), named, _year(found[3]), "day", time)
    if (found := _MONTH_DAY.match(line)) and (named := _month(found[1])):
        return WrittenDate(named, int(found[2]), _year(found[3]), "month", time)
    if re.fullmatch(r"\d{5}(?:\.\d+)?", line):
        return _number(float(line), date1904)
    return None


def _split_time(line: str, clock: re.Pattern[str]) -> tuple[str, dt.time | None]:
    """The text without its time of day, and that time; midnight where none is given, None for an impossible one."""
    found = clock.search(line)
    if not found:
        return line, dt.time()
    hour, minute = int(found[1] or found[5]), int(found[2] or 0)
    half = found[4] or found[6]
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        return line, None
    return line[: found.start()].rstrip(" ,"), dt.time(hour, minute)


def _numeric(first: int, second: int, between: str, year: int | None, time: dt.time) -> WrittenDate:
    order = "day" if first > 12 or between == "." else "month" if second > 12 else ""
    return WrittenDate(first, second, year, order, time, tells=max(first, second) > 12, numeric=True)


def _month(word: str) -> int | None:
    return _INFO.month(word.rstrip("."))


def _year(text: str | None) -> int | None:
    """Two figures mean 1969 to 2068, as POSIX strptime reads them."""
    if not text:
        return None
    number = int(text)
    if len(text) == 4:
        return number
    return number + (1900 if number >= 69 else 2000)


def born_year(value: object, date1904: bool = False) -> float | None:
    """The year of birth, from a year alone or a full date."""
    line = fold(value) if isinstance(value, str) else value
    if isinstance(line, str) and re.fullmatch(r"\d{4}", line):
        return float(line)
    if isinstance(value, float) and value.is_integer() and 1900 < value < 2200:
        return value
    written = read_date(value, date1904)
    if isinstance(written, dt.datetime):
        return float(written.year)
    return float(written.year) if written is not None and written.year else None
