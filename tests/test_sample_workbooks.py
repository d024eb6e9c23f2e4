"""The sample workbooks: they are what their script builds, other programs open them, and the stories hold."""

from __future__ import annotations

import datetime as dt
import math
import re
import shutil
import subprocess
import zipfile
from itertools import pairwise
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet
from openxml_audit import OpenXmlValidator
from python_calamine import CalamineWorkbook

from sample_workbooks.build import END, FOLDER, NAMES, build_all, build_year
from sample_workbooks.mistakes import PLANTED
from tracker.problem import KINDS
from tracker.sheets import BY_NAME

YEAR, WEEK, YARD, MISTAKES = (FOLDER / name for name in NAMES)
Record = dict[str, object]


def records(path: Path, sheet: str) -> list[Record]:
    """Each row by its headings without their units; empty cells are left out."""
    head, *rows = openpyxl.load_workbook(path)[sheet].iter_rows(values_only=True)
    names = [re.sub(r" \(.*\)", "", str(name)) for name in head]
    return [{n: v for n, v in zip(names, row, strict=True) if v is not None} for row in rows]


def day(value: object) -> dt.date:
    """A true date, or one in words such as 4 Mar 2026."""
    return (
        value.date()
        if isinstance(value, dt.datetime)
        else dt.datetime.strptime(str(value), "%d %b %Y").date()
    )


def number(value: object) -> float:
    return float(str(value).split("/")[0])


@pytest.fixture(scope="module")
def year() -> dict[str, list[Record]]:
    names = openpyxl.load_workbook(YEAR, read_only=True).sheetnames[1:]
    return {name: records(YEAR, name) for name in names}


@pytest.fixture(scope="module")
def yard() -> dict[str, list[Record]]:
    return {name: records(YARD, name) for name in openpyxl.load_workbook(YARD, read_only=True).sheetnames}


def test_they_are_what_the_script_builds(tmp_path: Path) -> None:
    build_all(tmp_path)
    for name in NAMES:
        with zipfile.ZipFile(FOLDER / name) as kept, zipfile.ZipFile(tmp_path / name) as built:
            assert kept.namelist() == built.namelist()
            for part in kept.namelist():
                assert kept.read(part) == built.read(part), f"{name}: {part}"


@pytest.mark.parametrize("name", NAMES)
def test_the_standard_finds_nothing_to_say(name: str) -> None:
    assert OpenXmlValidator().validate(FOLDER / name).errors == []


def test_libreoffice_opens_them_all(tmp_path: Path) -> None:
    office = shutil.which("soffice")
    assert office, "LibreOffice is not installed: apt install libreoffice-calc-nogui"
    own = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    samples = [str(FOLDER / name) for name in NAMES]
    done = subprocess.run(
        [office, own, "--headless", "--convert-to", "ods", "--outdir", str(tmp_path), *samples],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    for name in NAMES:
        opened = tmp_path / Path(name).with_suffix(".ods")
        assert opened.exists(), done.stderr
        again, kept = CalamineWorkbook.from_path(opened), openpyxl.load_workbook(FOLDER / name)
        assert again.sheet_names == kept.sheetnames
        for sheet in kept.sheetnames:
            assert len(again.get_sheet_by_name(sheet).to_python()) == last_filled_row(kept[sheet]), sheet


def test_an_existing_file_is_left_alone(tmp_path: Path) -> None:
    mine = tmp_path / "mine.xlsx"
    mine.write_bytes(b"mine")
    with pytest.raises(FileExistsError):
        build_year(mine, END)
    assert mine.read_bytes() == b"mine"


def last_filled_row(page: Worksheet) -> int:
    return max(cell.row for row in page.iter_rows() for cell in row if cell.value is not None)


def test_it_ends_on_the_day_asked_for_whatever_the_season(tmp_path: Path) -> None:
    path = tmp_path / "demo.xlsx"
    build_year(path, dt.date(2024, 2, 29))
    dates = [day(row["Date"]) for row in records(path, "Soundness")]
    assert dates == sorted(dates)
    assert (dates[0], dates[-1]) == (dt.date(2023, 3, 2), dt.date(2024, 2, 29))
    assert day(records(path, "Horses")[0]["Front shoes off"]) == dates[0]


def test_no_remark_names_a_month_or_a_season(year: dict[str, list[Record]]) -> None:
    named = re.compile(
        r"\b(jan|febr|march|april|june|july|august|sept|octob|novem|decem)\w*|\b(spring|summer|autumn|winter|"
        r"christmas|easter|snow|frost|fl(y|ies))\b",
        re.IGNORECASE,
    )
    for name, rows in year.items():
        for row in rows:
            words = " ".join(str(value) for key, value in row.items() if key not in ("Date", "First seen"))
            assert not named.search(words), (name, words)


def test_only_the_fronts_were_shod(year: dict[str, list[Record]]) -> None:
    (horse,) = year["Horses"]
    assert "Front shoes off" in horse
    assert "Hind shoes off" not in horse


def test_nothing_lies_after_the_last_day(year: dict[str, list[Record]]) -> None:
    for name in ("Soundness", "Visits", "Hooves", "Work", "Changes", "Body", "Follow-up"):
        assert max(day(row["Date"]) for row in year[name]) <= END, name


def test_trims_are_five_weeks_apart(year: dict[str, list[Record]]) -> None:
    trims = [day(row["Date"]) for row in year["Visits"] if row["Purpose"] == "trim"]
    assert len(trims) == 10
    assert all(33 <= (later - earlier).days <= 37 for earlier, later in pairwise(trims))


def test_two_abscesses_in_different_feet_neither_open_past_two_weeks(year: dict[str, list[Record]]) -> None:
    one, other = year["Abscesses"]
    assert one["Foot"] != other["Foot"]
    for row in (one, other):
        first, opened, over = (day(row[name]) for name in ("First seen", "Opened", "Comfortable again"))
        assert first <= opened <= over
        assert (over - first).days <= 14
        assert first <= day(row["Vet seen"]) <= first + dt.timedelta(days=2)


def test_pain_relief_is_by_order_of_the_vet_and_names_no_dose(year: dict[str, list[Record]]) -> None:
    (course,) = year["Pain relief"]
    assert (
        course["Given by order of"] == year["Abscesses"][0]["Vet seen"]
        or course["Given by order of"] == "Ruth"
    )
    assert not re.search(r"\d+\s*(mg|g|ml|sachet|scoop)", " ".join(str(value) for value in course.values()))


def test_two_people_look_the_trimmer_on_his_days_only(year: dict[str, list[Record]]) -> None:
    notes = year["Soundness"]
    assert {row["Seen by"] for row in notes} == {"owner", "trimmer"}
    trims = {day(row["Date"]) for row in year["Visits"] if row["Purpose"] == "trim"}
    assert {day(row["Date"]) for row in notes if row["Seen by"] == "trimmer"} == trims


def test_she_writes_often_but_not_daily(year: dict[str, list[Record]]) -> None:
    days = sorted({day(row["Date"]) for row in year["Soundness"]})
    gaps = [(later - earlier).days for earlier, later in pairwise(days)]
    assert 150 <= len(days) <= 300
    assert 10 <= max(gaps) <= 21


def test_grades_are_whole_or_half_and_within_the_scale(year: dict[str, list[Record]]) -> None:
    grades = [number(row["Score"]) for row in year["Soundness"]]
    assert all(0 <= grade <= 4 and (grade * 2).is_integer() for grade in grades)
    halves = sum(not grade.is_integer() for grade in grades) / len(grades)
    assert 0.05 < halves < 0.4


def test_the_stones_set_her_back_and_it_passes(year: dict[str, list[Record]]) -> None:
    moved = next(day(row["Date"]) for row in year["Changes"] if "stony" in str(row["What"]))

    def usual(first: int, last: int) -> float:
        within = [
            number(row["Score"])
            for row in year["Soundness"]
            if first <= (day(row["Date"]) - moved).days <= last
            and (row["Seen by"], row["Gait"], row["Ground"]) == ("owner", "trot", "hard")
        ]
        assert within
        return sum(within) / len(within)

    assert usual(5, 20) > usual(-20, 0) + 1
    assert usual(45, 65) < usual(5, 20) - 1


def test_some_notes_were_written_days_later_in_one_evening(year: dict[str, list[Record]]) -> None:
    late = [row for row in year["Soundness"] if "Written" in row and day(row["Written"]) > day(row["Date"])]
    assert len({day(row["Date"]) for row in late}) >= 3
    assert len({day(row["Written"]) for row in late}) == 1


def test_dates_are_mostly_true_and_sometimes_words(year: dict[str, list[Record]]) -> None:
    words = [row["Date"] for row in year["Soundness"] if isinstance(row["Date"], str)]
    assert 0 < len(words) < 0.1 * len(year["Soundness"])


def test_the_owner_has_a_column_and_a_sheet_of_her_own(year: dict[str, list[Record]]) -> None:
    assert all("Weather" in row for row in year["Soundness"])
    assert "Hay and bills" in year
    assert "Hay and bills" not in BY_NAME


def test_telephone_numbers_are_kept_for_drama(
    year: dict[str, list[Record]], yard: dict[str, list[Record]]
) -> None:
    # Ofcom, Telephone numbers for use in TV and radio drama programmes: 01632 960000 to 960999
    for row in (*year["Horses"], *yard["Horses"], *records(WEEK, "Horses")):
        assert re.fullmatch(r"01632 960\d{3}", str(row["Vet phone"]))


def after_trim(year: dict[str, list[Record]], foot: str, measure: str) -> list[float]:
    return [
        number(row[measure])
        for row in year["Hooves"]
        if (row["Foot"], row["Stage"]) == (foot, "after trim") and measure in row
    ]


def test_every_foot_is_measured_before_and_after_every_trim(year: dict[str, list[Record]]) -> None:
    for foot in ("LF", "RF", "LH", "RH"):
        assert len(after_trim(year, foot, "Heel angle")) == len(after_trim(year, foot, "Toe length")) == 10


@pytest.mark.parametrize("foot", ["LF", "RF"])
def test_the_front_heels_stand_up_slowly(year: dict[str, list[Record]], foot: str) -> None:
    # Clayton et al. 2011, Aust Vet J 89:305: change over four months, still measured at sixteen.
    # How many degrees in a year is our own story; what is asked is that no five weeks make a leap.
    angles = after_trim(year, foot, "Heel angle")
    assert 3.5 <= angles[-1] - angles[0] <= 5.5
    assert all(-1 <= later - earlier <= 2 for earlier, later in pairwise(angles))


def test_a_trim_shortens_the_toe_and_raises_the_angle(year: dict[str, list[Record]]) -> None:
    # After a trim of ten horses: angle +1.35°, wall -3.0 mm (Iran J Vet Surg, article 79374)
    before = [row for row in year["Hooves"] if row["Stage"] == "before trim"]
    after = [row for row in year["Hooves"] if row["Stage"] == "after trim"]
    for measure, low, high in (("Toe angle", 0.5, 2.5), ("Toe length", -9.0, -2.0)):
        changes = [
            number(b[measure]) - number(a[measure])
            for a, b in zip(before, after, strict=True)
            if measure in a
        ]
        assert low <= sum(changes) / len(changes) <= high, measure


def test_heel_height_is_its_length_times_the_sine_of_its_angle(year: dict[str, list[Record]]) -> None:
    angle = {}
    for row in year["Hooves"]:
        place = row["Date"], row["Foot"], row["Stage"]
        if row["Measured with"] == "gauge":
            angle[place[1:], day(row["Date"])] = number(row["Heel angle"])
        elif row["Measured with"] == "ruler":
            height = number(row["Heel length"]) * math.sin(math.radians(angle[place[1:], day(row["Date"])]))
            assert number(row["Heel height"]) == pytest.approx(height, abs=1.2)


@pytest.mark.parametrize("name", ["top nail hole", "abscess exit"])
def test_marks_grow_down_at_a_horses_pace(year: dict[str, list[Record]], name: str) -> None:
    # 6 to 10 mm a month: The Veterinary Care of the Horse, p. 196
    marks = [
        (day(row["Date"]), number(row["Growth mark below hairline"]))
        for row in year["Hooves"]
        if row.get("Growth mark") == name
    ]
    (first, high), (last, low) = marks[0], marks[-1]
    assert len(marks) >= 4
    assert 6 <= (low - high) / (last - first).days * 30.44 <= 10


def test_weight_follows_girth_and_length(year: dict[str, list[Record]]) -> None:
    # girth² · length / 11 900, Carroll and Huntington 1988, Equine Vet J 20:41 (as their abstract has it)
    weighed = [row for row in year["Body"] if "Weight" in row]
    assert len(weighed) >= 12
    for row in weighed:
        expected = number(row["Girth"]) ** 2 * number(row["Body length"]) / 11900
        assert number(row["Weight"]) == pytest.approx(expected, abs=2.6)


def test_readings_at_rest_stay_within_what_is_normal(year: dict[str, list[Record]]) -> None:
    # 37.2 to 38.6 °C: Virginia Tech clinician in US Eventing 2021; 28 to 44 beats: thehorse.com, Aug 2019, p. 17
    for row in year["Body"]:
        assert 37.2 <= number(row["Temperature"]) <= 38.6
        assert 28 <= number(row["Heart rate"]) <= 44


def test_a_first_week_is_a_week() -> None:
    book = openpyxl.load_workbook(WEEK)
    assert book.sheetnames == ["Read me first", "Horses", "Soundness", "Visits", "Hooves"]
    dates = [day(row["Date"]) for row in records(WEEK, "Soundness")]
    assert (dates[-1] - dates[0]).days == 7
    assert day(records(WEEK, "Horses")[0]["Front shoes off"]) == dates[0]


def test_the_yard_holds_six_horses_in_six_situations(yard: dict[str, list[Record]]) -> None:
    names = [row["Horse"] for row in yard["Horses"]]
    assert len(set(names)) == 6
    notes = {name: [row for row in yard["Soundness"] if row["Horse"] == name] for name in names}
    assert {row["Score"] for row in notes["Mabel"][-5:]} == {0}
    assert [row["Horse"] for row in yard["Abscesses"] if "Comfortable again" not in row] == ["Otter"]
    assert [row["Horse"] for row in yard["Pain relief"] if "Last given" not in row] == ["Rook"]
    last = {row["Horse"]: day(row["Date"]) for row in yard["Visits"] if row["Purpose"] == "trim"}
    every = {row["Horse"]: row.get("Trim every") for row in yard["Horses"]}
    overdue = [name for name in last if every[name] and (END - last[name]).days > 7 * number(every[name])]
    assert overdue == ["Biscuit"]
    told = [row for row in yard["Soundness"] if "won't bear weight" in str(row.get("Signs"))]
    assert [(row["Horse"], (END - day(row["Date"])).days) for row in told] == [("Thistle", 1)]
    assert len(notes["Juniper"]) == 2


def test_the_yard_never_mixes_the_scales_of_one_horse(yard: dict[str, list[Record]]) -> None:
    scales = {(row["Horse"], row["Scale"]) for row in yard["Soundness"]}
    assert len(scales) == 6
    assert [horse for horse, scale in scales if scale == "0-10"] == ["Rook"]


def test_the_yards_rows_are_interleaved_by_date(yard: dict[str, list[Record]]) -> None:
    dates = [day(row["Date"]) for row in yard["Soundness"]]
    assert dates == sorted(dates)
    assert 115 <= (dates[-1] - dates[0]).days <= 125


def test_thirty_of_thirty_kinds() -> None:
    assert len(PLANTED) == len({kind for kind, _ in PLANTED}) == len({cell for _, cell in PLANTED}) == 30
    assert {kind for kind, _ in PLANTED} <= KINDS.keys()


@pytest.mark.parametrize(("kind", "place"), PLANTED, ids=[kind for kind, _ in PLANTED])
def test_each_stands_at_its_cell(kind: str, place: str) -> None:
    sheet, _, ref = place.partition("!")
    page = openpyxl.load_workbook(MISTAKES)[sheet]
    empty = kind in ("which-horse", "required-empty", "nothing-observed")
    assert (page[ref].value is None) == empty
    assert any(cell.value is not None for cell in page[page[ref].row])
