"""What the abscesses of one horse tell together; each expectation counted by hand on the calendar."""

from __future__ import annotations

import datetime as dt

import pytest
from dateutil.relativedelta import relativedelta
from tables import table

from tracker.derive.abscess import episodes
from tracker.derive.abscesses.crack import Pace, at_ground, grown, paces_of
from tracker.derive.abscesses.horse import AbscessRecord, abscess_record
from tracker.derive.abscesses.often import compare, time_to_comfortable
from tracker.derive.abscesses.place import same_spot, spot_of
from tracker.derive.hooves import hoof_records
from tracker.derive.trims import trims
from tracker.sheets import ABSCESSES, CHANGES, HOOVES, SHEETS, SOUNDNESS, VISITS

ON = dt.date(2026, 12, 31)
OFF = {"front": dt.date(2026, 1, 1), "hind": None}
BOOK = """
    foot | first_seen | where      | opened     | opened_at | comfortable_again
    LF   | 2026-03-10 | inner heel | 2026-03-14 | hairline  | 2026-03-20
    RF   | 2026-05-01 | toe        | 2026-05-02 | sole      | 2026-05-06
    LF   | 2026-08-01 | inside heel|            |           |
"""
NOTES = "date | score | scale\n 2026-01-02 | 2 | 0-5\n 2026-03-06 | 2 | 0-5\n 2026-04-30 | 1 | 0-5"


def of(
    book=BOOK, notes=NOTES, hooves="", changes="", visits="", on=ON, off=OFF, growth=None
) -> AbscessRecord:
    given = {
        ABSCESSES.name: book,
        SOUNDNESS.name: notes,
        HOOVES.name: hooves,
        CHANGES.name: changes,
        VISITS.name: visits,
    }
    tables = {sheet.name: table(sheet, given.get(sheet.name, "")) for sheet in SHEETS}
    own, feet = episodes(tables[ABSCESSES.name], on), hoof_records(tables[HOOVES.name])
    return abscess_record("Juno", own, tables, off, trims(tables[VISITS.name], on), feet, on, growth)


def test_it_began_between_the_last_note_and_the_day_it_was_seen() -> None:
    first, second, third = of().stories
    assert (first.noted_before, first.earlier_days) == (dt.date(2026, 3, 6), 3)
    assert first.opened_after == (4, 7)
    assert (second.earlier_days, second.opened_after) == (0, (1, 1))
    assert third.earlier_days == 92
    (unknown, *_) = of(notes="").stories
    assert (unknown.noted_before, unknown.earlier_days, unknown.opened_after) == (None, None, (4, None))


def test_it_began_after_the_one_before_it_in_the_same_foot_was_over() -> None:
    """Over on 20 March, which is later than the only note, of 6 March; 31 July is the last day before it was seen."""
    third = of(notes="date | score | scale\n 2026-03-06 | 2 | 0-5").stories[-1]
    other = of(notes="date | score | scale\n 2026-03-06 | 2 | 0-5").stories[1]
    assert (third.noted_before, third.earlier_days) == (dt.date(2026, 3, 20), 133)
    assert other.noted_before == dt.date(2026, 3, 6)


def test_days_from_opening_to_comfortable() -> None:
    first, second, third = of().stories
    assert (first.eased_after, second.eased_after, third.eased_after) == (6, 4, None)


def test_comfortable_before_opened_gives_no_days_between() -> None:
    (one,) = of(
        "foot | first_seen | opened | comfortable_again\n LF | 2026-03-10 | 2026-03-14 | 2026-03-12"
    ).stories
    assert (one.episode.days, one.opened_after, one.eased_after) == (2, (4, 7), None)


def test_again_in_the_same_foot_and_the_same_place() -> None:
    first, second, third = of().stories
    assert first.again is None
    assert second.again is None
    assert third.again is not None
    assert (third.again.number, third.again.free_days, third.again.same_place) == (2, 134, True)


def test_one_that_began_before_the_last_ended_is_not_again() -> None:
    found = of(
        "foot | first_seen | comfortable_again\n LF | 2026-03-10 | 2026-03-20\n LF | 2026-03-15 | 2026-03-25"
    )
    assert [story.again for story in found.stories] == [None, None]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("inner heel", "Inside heel", True), ("medial heel", "inner heel", True), ("inner heel", "outer heel", False),
        ("heel", "outer heel", True), ("toe", "toe", True), ("toe", "sole", False), ("toe quarter", "toe", False),
        ("", "", False), ("at the old scar", "At the old  scar", True), ("heel bulb", "heel", False),
    ],
)  # fmt: skip
def test_the_same_place_in_other_words(one: str, other: str, same: bool) -> None:
    assert same_spot(one, other) is same


def test_two_parts_in_one_cell_are_no_part() -> None:
    assert spot_of("toe and outer quarter").part == ""
    assert spot_of("both heels").part == "heel"
    assert (spot_of("inner heel bulb").part, spot_of("bulb of the heel").part) == ("bulb", "bulb")


def test_trims_of_the_foot_and_changes_of_four_weeks_stand_beside_it() -> None:
    (first, *_) = of(
        changes="date | kind | what\n 2026-03-09 | weather | first rain\n 2026-02-10 | feed | new hay\n 2026-03-11 | feed | later",
        visits="date | purpose | feet\n 2026-02-10 | trim | LF, RF\n 2026-02-20 | trim | LH, RH\n 2026-03-01 | check |",
    ).stories
    assert [(found.kind, found.what, found.days_before) for found in first.beside] == [
        ("feed", "new hay", 28),
        ("trim", "", 28),
        ("weather", "first rain", 1),
    ]


def test_two_rows_of_one_trim_stand_beside_it_once() -> None:
    visits = "date | purpose | feet\n 2026-03-01 | trim | LF\n 2026-03-01 | trim | LF, RF"
    (first, *_) = of(visits=visits).stories
    assert [(found.kind, found.days_before) for found in first.beside] == [("trim", 9)]


def test_how_often_since_the_shoes_came_off() -> None:
    """Two events, 0.242 to 7.225 by Garwood 1936; from 2 January, the first note, 363 days."""
    found = of("foot | first_seen\n LF | 2026-03-10\n RF | 2026-05-01\n RF | 2025-12-24").often
    assert found is not None
    assert (found.since, found.days, found.episodes) == (dt.date(2026, 1, 2), 363, 2)
    assert found.per_100_days.value == pytest.approx(200 / 363)
    assert (found.per_100_days.low, found.per_100_days.high) == pytest.approx(
        (24.22 / 363, 722.5 / 363), rel=1e-3
    )
    assert found.per_year.value == pytest.approx(2 * 365.25 / 363)


def test_without_a_day_shoes_off_there_is_no_rate() -> None:
    assert of(off={"front": None, "hind": None}).often is None
    assert of(off={"front": ON, "hind": None}).often is None
    assert of(notes="").often is None


def test_before_and_after() -> None:
    found = of(changes="date | kind | what\n 2026-06-02 | boots | boots\n 2026-12-01 | feed | too late").often
    assert found is not None
    halves, boots = found.compared
    assert (halves.what, halves.split, halves.before, halves.after) == ("halves", dt.date(2026, 7, 2), 2, 1)
    assert (boots.what, boots.before, boots.days_before, boots.after, boots.days_after) == (
        "boots",
        2,
        151,
        1,
        212,
    )
    assert boots.ratio is not None
    assert boots.ratio.value == pytest.approx((1 / 212) / (2 / 151))
    assert boots.ratio.low < 0.1 < 3 < boots.ratio.high


def test_before_and_after_the_shoes_came_off_where_the_record_is_older() -> None:
    found = of(notes="date | score | scale\n 2025-06-01 | 1 | 0-5").often
    assert found is not None
    assert (found.since, found.compared[0].what) == (OFF["front"], "shoes off")
    assert (found.compared[0].days_before, found.compared[0].days_after) == (214, 364)


def test_a_day_too_near_an_end_is_not_compared() -> None:
    assert compare([], dt.date(2026, 1, 1), dt.date(2026, 2, 25), ON) is None
    assert compare([], dt.date(2026, 1, 1), dt.date(2026, 2, 26), ON) is not None


def test_a_new_episode_moves_no_earlier_one() -> None:
    early, late = of(on=dt.date(2026, 7, 1)), of()
    assert [story.opened_after for story in early.stories] == [
        story.opened_after for story in late.stories[:2]
    ]


def test_how_far_the_crack_has_grown_down() -> None:
    """From 14 March to 31 December are 292 days; 6 to 10 mm for each 30.4 of them."""
    (first, second, _) = of().stories
    assert second.crack is None
    assert first.crack is not None
    assert (first.crack.low, first.crack.high) == pytest.approx((57.63, 96.05), abs=0.01)
    assert first.crack.wall is None


@pytest.mark.parametrize(
    ("below", "rate", "months"),
    [(10, 6, 1.67), (10, 9, 1.11), (25, 8, 3.13), (25, 10, 2.5), (40, 6, 6.67), (40, 8, 5.0), (40, 9, 4.44)],
)
def test_the_age_of_a_defect_by_its_distance(below: float, rate: float, months: float) -> None:
    """Lungwitz: age is the distance below the hairline over the rate; so many mm at so many mm a month."""
    exit_day = dt.date(2026, 1, 1)
    found, _ = grown(exit_day, exit_day + dt.timedelta(days=round(months * 30.4)), Pace(rate, rate, ""))
    assert found == pytest.approx(below, abs=rate * 0.02)


@pytest.mark.parametrize(("wall", "months"), [(75, (7.5, 12.5)), (85, (8.5, 14.2)), (95, (9.5, 15.8))])
def test_an_exit_at_the_toe_reaches_the_ground(wall: float, months: tuple[float, float]) -> None:
    """At 6 to 10 mm a month; the months counted on the calendar by dateutil, over a leap day too."""
    for exit_day in (dt.date(2026, 3, 29), dt.date(2024, 2, 29), dt.date(2023, 12, 31)):
        for found, wanted in zip(at_ground(exit_day, (wall, wall), Pace(6, 10, "")), months, strict=True):
            near = exit_day + relativedelta(months=int(wanted), days=round(wanted % 1 * 30.4))
            assert abs((found - near).days) <= 4


HOOVES_OF = """
    date       | foot | stage       | measured_with | toe_length | heel_length | growth_mark  | growth_mark_below_hairline
    2026-02-01 | LF   | after trim  | ruler         | 84         | 40          | old nail     | 50
    2026-06-14 | LF   | before trim | ruler         | 84         | 40          | abscess exit | {below}
    2026-06-14 | RF   | before trim | ruler         | 84         | 60          | abscess exit | 99
"""


@pytest.mark.parametrize(
    ("below", "fits"), [(18, True), (25, True), (31, True), (10, False), (36, False), (15, False)]
)
def test_a_mark_fits_where_the_growth_and_the_reading_allow_it(below: int, fits: bool) -> None:
    """92 days at 6 to 10 mm a month are 18.2 to 30.3 mm; a ruler errs by 2.1 mm 19 times in 20."""
    (first, *_) = of(hooves=HOOVES_OF.format(below=below)).stories
    assert first.crack is not None
    assert first.crack.mark is not None
    assert (first.crack.mark.name, first.crack.mark.fits) == ("abscess exit", fits)
    assert (first.crack.mark.low, first.crack.mark.high) == pytest.approx((16.03, 32.39), abs=0.01)


def test_the_wall_at_the_heel_is_that_of_the_heel_with_its_error() -> None:
    (first, *_) = of(hooves=HOOVES_OF.format(below=20)).stories
    assert first.crack is not None
    assert first.crack.wall == pytest.approx((40 - 2.12, 40 + 2.12), abs=0.01)
    soonest, latest = first.crack.ground or (ON, ON)
    assert (soonest, latest) == (dt.date(2026, 7, 7), dt.date(2026, 10, 13))


def test_the_wall_at_a_quarter_is_the_middle_third_of_the_way_from_toe_to_heel() -> None:
    """Toe 84 ± 2.12 and heel 40 ± 2.12 mm: a third of the way (54.7) to two thirds (69.3), and the error."""
    hooves = HOOVES_OF.format(below=20)
    (quarter, *_) = of(BOOK.replace("inner heel", "inner quarter"), hooves=hooves).stories
    (anywhere, *_) = of(BOOK.replace("inner heel", "          "), hooves=hooves).stories
    assert quarter.crack is not None
    assert anywhere.crack is not None
    assert quarter.crack.wall == pytest.approx(((84 + 80) / 3 - 2.12, (168 + 40) / 3 + 2.12), abs=0.01)
    assert anywhere.crack.wall == pytest.approx((40 - 2.12, 84 + 2.12), abs=0.01)
    assert quarter.crack.months is None


@pytest.mark.parametrize(
    ("place", "months"),
    [("toe", (9, 13)), ("outer quarter", (6, 8)), ("heel", (3, 6)), ("bulb", (3, 6)), ("", (3, 13))],
)
def test_without_a_measured_wall_its_published_months(place: str, months: tuple[int, int]) -> None:
    """Devereux p. 196; American Farriers Journal 564; Lungwitz and Adams. From a leap day, by dateutil."""
    leap = dt.date(2024, 2, 29)
    row = f"LF | 2024-02-28 | {place} | 2024-02-29 | hairline"
    (one,) = of(f"foot | first_seen | where | opened | opened_at\n {row}").stories
    assert one.crack is not None
    assert one.crack.months == months
    assert one.crack.ground == tuple(leap + relativedelta(months=number) for number in months)
    assert one.crack.is_at_ground


def test_a_horse_of_known_growth_is_reckoned_by_its_own() -> None:
    (first, *_) = of(growth={"LF": Pace(8.5, 9.5, "own")}).stories
    assert first.crack is not None
    assert (first.crack.low, first.crack.high) == pytest.approx((81.64, 91.25), abs=0.01)


def test_the_own_pace_comes_from_the_horses_marks() -> None:
    """A mark that went down 27 mm in 91 days grew 9.0 mm for each 30.4; without marks it is what is published."""
    marks = """
        date       | foot | stage   | measured_with | growth_mark | growth_mark_below_hairline
        2026-01-01 | LF   | between | ruler         | notch       | 5
        2026-04-02 | LF   | between | ruler         | notch       | 32
    """
    found = paces_of(hoof_records(table(HOOVES, marks)))
    assert found["LF"].low < 9.02 < found["LF"].high
    assert found["LF"].high - found["LF"].low < 4
    assert found["LF"].source == "by the horse's own marks"
    assert paces_of([]) == {}


def test_a_mark_belongs_to_the_latest_exit_before_it() -> None:
    book = BOOK + "    LF | 2026-06-20 | toe | 2026-06-22 | hairline | 2026-06-23\n"
    stories = of(book, hooves=HOOVES_OF.format(below=25)).stories
    marks = {
        story.episode.first_seen.month: story.crack and story.crack.mark for story in stories if story.crack
    }
    assert marks[3] is not None
    assert marks[6] is None


def test_an_exit_before_it_was_seen_has_no_crack() -> None:
    (one,) = of("foot | first_seen | opened | opened_at\n LF | 2026-03-10 | 2026-03-04 | hairline").stories
    assert one.crack is None


def test_how_long_those_of_many_horses_last() -> None:
    """Three episodes of 10 and 5 days and one of 152 so far: 2/3 and 1/3 go on after 5 and 10 days."""
    found = time_to_comfortable(story.episode for story in of().stories)
    assert [(step.time, round(step.share, 3)) for step in found.steps] == [(5, 0.667), (10, 0.333)]
    assert (found.median, found.count, found.still) == (10, 3, 1)
