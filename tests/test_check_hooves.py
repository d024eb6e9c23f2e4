"""What the measurements of one foot say against each other."""

from __future__ import annotations

import pytest
from books import checked, told

from tracker.check.book import Checked


def hooves(text: str) -> Checked:
    return checked(Horses="Horse\nBramble", Hooves=text)


ANGLES = "Date | Foot | Stage | Measured with | Toe angle"


@pytest.mark.parametrize(
    ("first", "second", "doubted"),
    [
        ("@2026-03-01 | LF | after trim | gauge | 48", "@2026-03-01 | LF | after trim | gauge | 58", True),
        ("@2026-03-01 | LF | after trim | gauge | 48", "@2026-03-01 | LF | after trim | gauge | 49", False),
        ("@2026-03-01 | LF | after trim | gauge | 48", "@2026-03-01 | LF | after trim | gauge | 49.1", True),
        ("@2026-03-01 | LF | after trim | photo | 48", "@2026-03-01 | LF | after trim | photo | 51", False),
        ("@2026-03-01 | LF | after trim | gauge | 48", "@2026-03-01 | LF | after trim | photo | 58", False),
        ("@2026-03-01 | LF | before trim | gauge | 48", "@2026-03-01 | LF | after trim | gauge | 58", False),
        ("@2026-03-01 | LF | after trim | gauge | 48", "@2026-03-01 | RF | after trim | gauge | 58", False),
        ("@2026-03-01 | LF | after trim | gauge | 48", "@2026-03-02 | LF | after trim | gauge | 58", False),
        ("@2026-03-01 | LF | | | 48", "@2026-03-01 | left front | | | 58", True),
        ("@2026-03-01 | LF | after trim | gauge | 48", "@2026-03-01 | LF | after trim | gauge | ", False),
    ],
)
def test_readings_further_apart_than_measuring_error_are_doubted(
    first: str, second: str, doubted: bool
) -> None:
    """The errors are those of tracker/reference/measuring.py: a toe angle within 1° by gauge, 3° by photograph."""
    result = hooves(f"{ANGLES} | Heel angle\n{first} | 40\n{second} | 40")
    assert told(result) == ([("Hooves!E3", "measured-twice")] if doubted else [])


def test_each_reading_is_held_against_the_first_and_the_message_names_it() -> None:
    lines = "\n".join(f"@2026-03-01 | LF | | gauge | {angle}" for angle in (48, 48.5, 58, 38))
    result = hooves(f"{ANGLES}\n{lines}")
    assert told(result) == [("Hooves!E4", "measured-twice"), ("Hooves!E5", "measured-twice")]
    assert "Row 2 gives 48 " in result.problems[0].message
    assert result.tables["Hooves"].frame["toe_angle"].tolist() == [48, 48.5, 58, 38]


def test_two_growth_marks_of_one_foot_are_two_things() -> None:
    head = "Date | Foot | Growth mark | Growth mark below hairline"
    assert told(hooves(f"{head}\n@2026-03-01 | LF | ring | 20\n@2026-03-01 | LF | crack | 60")) == []
    assert told(hooves(f"{head}\n@2026-03-01 | LF | ring | 20\n@2026-03-01 | LF | ring | 60")) == [
        ("Hooves!D3", "measured-twice")
    ]


def test_a_row_set_aside_is_held_against_nothing() -> None:
    assert told(hooves("Date | Foot | Toe angle\n@2026-03-01 | LF | 48\nsoon | LF | 58")) == [
        ("Hooves!A3", "date-unreadable")
    ]


@pytest.mark.parametrize(
    ("length", "height", "doubted"),
    [
        ("38", "48", True),
        ("38", "38", False),
        ("38", "30", False),
        ("1.5 in", "40 mm", True),
        ("", "48", False),
    ],
)
def test_a_heel_higher_than_it_is_long_is_doubted(length: str, height: str, doubted: bool) -> None:
    """Geometry: the height is the length times the sine of the heel angle, so it is never greater."""
    result = hooves(f"Date | Foot | Heel length | Heel height\n@2026-03-01 | LF | {length} | {height}")
    assert told(result) == ([("Hooves!D2", "heel-height-greater")] if doubted else [])
    assert result.rows["Hooves"] == (1, 0)


MARKS = "Date | Foot | Measured with | Growth mark | Growth mark below hairline"


@pytest.mark.parametrize(
    ("first", "second", "doubted"),
    [
        ("@2026-03-01 | LF | ruler | ring | 40", "@2026-04-01 | LF | ruler | Ring  | 36.9", True),
        ("@2026-03-01 | LF | ruler | ring | 40", "@2026-04-01 | LF | ruler | ring | 37", False),
        ("@2026-03-01 | LF | photo | ring | 40", "@2026-04-01 | LF | photo | ring | 36", False),
        ("@2026-03-01 | LF | ruler | ring | 40", "@2026-04-01 | LF | ruler | crack | 10", False),
        ("@2026-03-01 | LF | ruler | ring | 40", "@2026-04-01 | RF | ruler | ring | 10", False),
        ("@2026-04-01 | LF | ruler | ring | 40", "@2026-03-01 | LF | ruler | ring | 10", False),
        ("@2026-03-01 | LF | ruler | | 40", "@2026-04-01 | LF | ruler | | 10", True),
    ],
)
def test_a_mark_that_goes_up_is_doubted_at_its_cell(first: str, second: str, doubted: bool) -> None:
    """By ruler two readings differ by 3 mm at most, by photograph by 5: tracker/reference/measuring.py."""
    assert told(hooves(f"{MARKS}\n{first}\n{second}")) == ([("Hooves!E3", "mark-went-up")] if doubted else [])


def test_a_mark_is_held_against_the_lowest_it_ever_stood() -> None:
    readings = (("03-01", 10), ("04-01", 60), ("05-01", 22), ("06-01", 30))
    lines = "\n".join(f"@2026-{day} | LF | ruler | ring | {below}" for day, below in readings)
    result = hooves(f"{MARKS}\n{lines}")
    assert told(result) == [("Hooves!E4", "mark-went-up"), ("Hooves!E5", "mark-went-up")]
    assert result.problems[0].message.startswith(
        "Row 3 has the mark “ring” lower on an earlier day, at 60 mm,"
    )
    assert result.tables["Hooves"].frame["growth_mark_below_hairline"].tolist() == [10, 60, 22, 30]
