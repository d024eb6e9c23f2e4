"""Getting worse, shown: silent where nothing is to be said, exact where something is, and never a verdict."""

from __future__ import annotations

import datetime as dt
import html
import json
import re
from pathlib import Path
from typing import Any

import pytest
from dash import html as parts
from diaries import day, series

from dashboards.pages.horse import layout
from dashboards.pages.worsening import worsening_section
from tracker import Book, open_book
from tracker.derive.referral.rules import RULES
from tracker.derive.soundness import Point, Series
from tracker.derive.worsening.alternating import Alternating
from tracker.derive.worsening.comparable import WORST
from tracker.derive.worsening.record import Watch, watches
from tracker.show.charts import Chart, time_chart
from tracker.show.worsening import ASKING, NOTE, WorseningView, worsening_view
from tracker.show.worsening_text import worsening_data, worsening_lines
from tracker.workbook.new.blank import write_workbook

CALM = [(number, 1) for number in range(60)]
STEP = [*CALM, *((number, 2.5) for number in range(60, 74))]
ASKED = [*CALM, (62, 2), (64, 2)]
CHANGING = Alternating(day(10), {"LF": 3, "RF": 1}, (2, 3, 52, 5))
NEVER = ("diagnos", "is sound", "normal", "nothing to worry", "healthy", "dose", "treat ", "certain")


def of(found: Series, *, on: int, late: tuple[int, ...] = ()) -> tuple[Watch, ...]:
    return watches([found], late, (), day(on))


def view(grades: list[tuple[int, float]], on: int, **more: Any) -> WorseningView:
    return worsening_view(of(series(grades, **more), on=on), None)


def test_a_calm_record_shows_nothing_anywhere() -> None:
    calm = view(CALM, 59)
    assert not calm
    assert worsening_lines(calm, 80) == []
    assert worsening_section(calm) == []


def test_a_signal_in_words() -> None:
    (told,) = view(STEP, 73).watches
    assert told.looked == "Left front, trot, hard, straight; scale 0-5"
    assert re.fullmatch(
        r"Likely worse by half a grade or more since about \d+ Mar 2026 \(more than 19 in 20\); "
        r"by a whole grade or more: (\d in 10|more than 19 in 20)\.",
        told.told[0],
    )
    assert re.fullmatch(
        r"It likely began between \d+ \w{3} 2026 and \d+ \w{3} 2026 \(8 in 10\)\.", told.told[1]
    )
    assert len(told.told) == 2


def test_a_signal_in_steps_of_ten() -> None:
    (told,) = view([(number, 2 * grade) for number, grade in STEP], 73, scale="0-10").watches
    assert told.told[0].startswith("Likely worse by one of ten or more since about ")
    assert "; by two of ten or more: " in told.told[0]


def test_the_grades_behind_it_say_what_was_noted() -> None:
    found = of(series(STEP, masked=(70,)), on=73, late=(73,))
    (told,) = worsening_view(found, None).watches
    assert [grade.row for grade in told.grades] == [*found[0].rows]
    assert told.grades[-1].grade == "2.5"
    assert told.grades[-1].day == "19 Mar 2026"
    said = {grade.row: grade.told for grade in told.grades}
    assert said[75] == "by owner"
    assert said[72] == "by owner, under pain relief"
    assert said[73] == "by owner, written days later"


def test_where_more_notes_would_help_that_is_said_without_a_since() -> None:
    found = of(series(ASKED), on=65)
    assert (found[0].asks, found[0].signal) == (True, "none")
    shown = worsening_view(found, None)
    assert ASKING in shown.watches[0].told
    assert (
        shown.watches[0].told[0].startswith("The grades raise a suspicion that it is worse by half a grade")
    )
    assert shown.watches[0].grades == ()


def test_what_was_assumed_is_said() -> None:
    blank = Series("Juno", "0-5", "", "", "LF", series([(61, 2), (62, 2)]).points)
    moved = tuple(
        type(point)(point.date, point.score, False, "", 500 + at) for at, point in enumerate(blank.points)
    )
    found = watches([series(STEP), Series("Juno", "0-5", "", "", "LF", moved)], (), (), day(73))
    (told,) = worsening_view(found, None).watches
    assert told.told[-1] == "2 notes do not say how the horse was looked at and count as its usual look."


def test_the_worst_limb_is_left_out_where_a_limb_says_as_much() -> None:
    def of_limb(limb: str, first: int, grades: list[tuple[int, float]]) -> Series:
        return Series(
            "Juno", "0-5", "trot", "hard", limb, tuple(
                Point(day(number), grade, False, "", first + at) for at, (number, grade) in enumerate(grades)
            ), "straight",
        )  # fmt: skip

    quiet = of_limb("RF", 500, [(number, 0) for number in range(74)])
    found = watches([of_limb("LF", 2, STEP), quiet], (), (), day(73))
    assert [one.series.limb for one in found if one.signal == "act"] == [WORST, "LF"]
    (told,) = worsening_view(found, None).watches
    assert told.looked.startswith("Left front")
    changing = [of_limb(limb, 1000 * (at + 1), STEP[at::2]) for at, limb in enumerate(("LH", "RH"))]
    alone = tuple(one for one in watches(changing, (), (), day(73)) if one.series.limb == WORST)
    assert [one.looked[:14] for one in worsening_view(alone, None).watches] == ["The worst limb"]


def test_a_leg_that_changes_is_told_of_once_and_without_the_note_on_grades() -> None:
    shown = worsening_view((), CHANGING)
    assert shown
    text = " ".join(worsening_lines(shown, 1000))
    assert (
        "The lame leg has changed there and back since 15 Jan 2026: left front on 3 days, right front on 1 day. "
        "Tell the vet that it changes."
    ) in text
    assert NOTE not in text


def test_the_lines_keep_their_width_and_say_how_it_is_worked_out() -> None:
    lines = worsening_lines(view(STEP, 73), 60)
    assert lines[:3] == ["", "Is it getting worse?", "  Left front, trot, hard, straight; scale 0-5"]
    assert max(len(line) for text in lines for line in text.splitlines()) <= 60
    assert NOTE in " ".join(" ".join(lines).split())


def test_no_word_is_a_verdict_or_reassures() -> None:
    shown = [view(STEP, 73), view(ASKED, 63), worsening_view((), CHANGING)]
    told = " ".join(" ".join(worsening_lines(one, 80)) for one in shown).lower()
    rules = " ".join(f"{rule.words} {rule.threshold}" for rule in RULES if "worse" in rule.slug).lower()
    for word in NEVER:
        assert word not in told
        assert word not in rules


# A whole workbook

LATE, MASKED, BOTH = 20, 40, 42


def book(tmp_path: Path, grades: list[tuple[int, float]]) -> Book:
    """A workbook in which one note was written late, two under pain relief, and one of these late."""
    rows: list[dict[str, object]] = [
        {
            "Date": day(number), "Gait": "trot", "Ground": "hard", "Line": "straight", "Limb": "LF", "Scale": "0-5",
            "Score": grade, "Seen by": "Ann",
            "Written": dt.datetime.combine(day(number + (5 if number in (LATE, BOTH) else 0)), dt.time(19)),
        }
        for number, grade in grades
    ]  # fmt: skip
    relief = {"Product": "Bute", "First given": day(MASKED), "Last given": day(BOTH)}
    file = tmp_path / "barn.xlsx"
    write_workbook(file, {"Horses": [{"Horse": "Juno"}], "Soundness": rows, "Pain relief": [relief]})
    return open_book(file, on=day(grades[-1][0]))


@pytest.fixture(scope="module")
def worse(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return book(tmp_path_factory.mktemp("worse"), STEP)


@pytest.fixture(scope="module")
def calm(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return book(tmp_path_factory.mktemp("calm"), [one for one in CALM if one[0] not in (LATE, BOTH)])


def test_the_plain_data_have_their_shape(worse: Book) -> None:
    data = json.loads(json.dumps(worsening_data(worse.horses[0])))
    assert set(data) == {"watched", "changing_leg"}
    (watched,) = data["watched"]
    assert set(watched) == {
        "scale", "gait", "ground", "line", "limb", "signal", "p_worse", "p_any", "evidence", "severity", "since",
        "asks_for_notes", "rows",
    }  # fmt: skip
    assert (watched["limb"], watched["signal"]) == ("LF", "act")
    assert set(watched["severity"]) == {"value", "low", "high"}
    assert set(watched["since"]) == {"likely", "earliest", "latest"}
    assert dt.date.fromisoformat(watched["since"]["likely"])
    assert data["changing_leg"] is None


def test_the_plain_data_of_a_calm_record_have_no_since(calm: Book) -> None:
    (watched,) = worsening_data(calm.horses[0])["watched"]
    assert (watched["signal"], watched["since"], watched["rows"]) == ("none", None, [])


def chart(book: Book) -> Chart:
    found = time_chart(book, book.horses[0])
    assert found is not None
    return found


def hover(trace: Any) -> list[str]:
    return [html.unescape(re.sub("<br>", " ", text)) for text in trace.hovertext]


def labels(found: Chart) -> list[str]:
    return [" ".join(re.sub(r"<.*?>", " ", note.text).split()) for note in found.figure.layout.annotations]


def test_two_lanes_show_the_level_and_the_chance_and_say_what_made_it_rise(worse: Book) -> None:
    found = chart(worse)
    assert "Lasting level, scale 0-5 left front trot, hard, straight" in labels(found)
    assert "Chance it is worse in 10; by half a grade or more" in labels(found)
    (bars,) = (
        trace for trace in found.figure.data if trace.type == "bar" and trace.width == 0.9 * 86_400_000
    )
    told = worse.horses[0].watches[0].days
    assert list(bars.x) == [one.date for one in told]
    assert list(bars.y) == [max(one.p_any, 0.01) for one in told]
    texts = hover(bars)
    assert any(
        "Noted: 2.5, where the level was " in text and "; the chance rose" in text for text in texts[60:64]
    )
    assert "Worse by half a grade or more: more than 19 in 20; by a whole grade: " in texts[-1]
    assert "Likely worse" in texts[-1]
    assert "Likely worse" not in texts[LATE]
    assert "Noted: 1, written down days later, where" in texts[LATE]
    assert "Noted: 1, under pain relief, where" in texts[MASKED]


def test_the_band_holds_its_level(worse: Book) -> None:
    low, high, middle = [
        trace for trace in chart(worse).figure.data
        if trace.type == "scatter" and trace.mode == "lines" and len(trace.y) == len(STEP) and trace.line.shape is None
    ]  # fmt: skip
    assert all(a <= b <= c for a, b, c in zip(low.y, middle.y, high.y, strict=True))
    assert high.fill == "tonexty"


def test_without_enough_grades_there_are_no_such_lanes(tmp_path: Path) -> None:
    assert not [label for label in labels(chart(book(tmp_path, CALM[:4]))) if "Chance" in label]


def test_over_a_long_silence_no_level_is_drawn(tmp_path: Path) -> None:
    found = chart(book(tmp_path, [*CALM, *((number + 60, grade) for number, grade in STEP[60:])]))
    lines = [trace for trace in found.figure.data if getattr(trace, "fill", None) == "tonexty"]
    assert [place for place, y in enumerate(lines[0].y) if y is None] == [60]


# Notes that were written down days later


def test_the_record_names_the_grades_that_were_written_late(worse: Book, calm: Book) -> None:
    assert worse.horses[0].late_rows == {LATE + 2, BOTH + 2}
    assert calm.horses[0].late_rows == frozenset()


def marks(book: Book) -> Any:
    (trace,) = (
        trace
        for trace in chart(book).figure.data
        if getattr(trace, "mode", "") == "markers" and trace.hovertext and "Grade" in trace.hovertext[0]
    )
    return trace


def test_a_late_grade_has_a_dot_that_is_seen_and_says_so(worse: Book) -> None:
    found = marks(worse)
    symbols = dict(zip(found.x, found.marker.symbol, strict=True))
    assert symbols[day(LATE)] == "circle-dot"
    assert symbols[day(BOTH)] == "circle-open-dot"
    assert symbols[day(MASKED)] == "circle-open"
    assert {symbols[day(number)] for number in range(LATE)} == {"circle"}
    edge = dict(zip(found.x, found.marker.line.color, strict=True))
    assert edge[day(LATE)] != found.marker.color
    assert edge[day(BOTH)] == edge[day(0)] == found.marker.color
    late = {
        date for date, text in zip(found.x, hover(found), strict=True) if "written down days later" in text
    }
    assert late == {day(LATE), day(BOTH)}


DOT = "With a dot: written down days later, from memory."


def page(book: Book, part: str = "", *, narrow: bool = False) -> str:
    return str(layout(book, "Juno", narrow, part=part).body)


def test_the_legend_explains_the_dot_only_where_there_is_one(worse: Book, calm: Book) -> None:
    assert DOT in page(worse)
    assert DOT not in page(calm)


@pytest.mark.parametrize("narrow", [False, True])
def test_the_page_has_the_section_only_where_there_is_something_to_say(
    worse: Book, calm: Book, narrow: bool
) -> None:
    assert "Is it getting worse?" in page(worse, "soundness", narrow=narrow)
    assert NOTE in page(worse, "soundness", narrow=narrow)
    assert "Is it getting worse?" not in page(calm, "soundness", narrow=narrow)


def test_the_section_folds_the_grades_behind_it_away(worse: Book) -> None:
    (section,) = worsening_section(worsening_view(worse.horses[0].watches, None))
    assert isinstance(section, parts.Section)
    text = str(section)
    assert "The grades since then" in text
    assert "Details" in text
    assert "'grades'" not in text  # a class by which the form lays out its buttons
