"""Lengths, temperatures, scores and their scales, cell errors: column by column."""

from __future__ import annotations

import time

import pytest
from books import checked, told
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.check.book import Checked


def hooves(heading: str, *cells: str) -> Checked:
    lines = "\n".join(f"@2026-03-{day:02} | LF | {cell}" for day, cell in enumerate(cells, start=1))
    return checked(Horses="Horse\nBramble", Hooves=f"Date | Foot | {heading}\n{lines}")


@pytest.mark.parametrize(
    ("heading", "cell", "millimetres"),
    [
        ("Toe length", "89", 89), ("Toe length", "89mm", 89), ("Toe length", "8.9 cm", 89), ("Toe length", "3 1/2", 88.9),
        ("Toe length", "3½", 88.9), ("Toe length", "3-1/2", 88.9), ("Toe length", "'3,5 in", 88.9), ("Toe length", '3.5"', 88.9),
        ("Toe length (in)", "3.5", 88.9), ("Toe length (in)", "89 mm", 89), ("TOE LENGTH [cm]", "8.9", 89), ("toe length (mm)", "89", 89),
        ("Heel length", "38", 38), ("Groove depth at heel", "12", 12),
    ],
)  # fmt: skip
def test_a_length_is_read_in_millimetres_and_in_no_doubt(heading: str, cell: str, millimetres: float) -> None:
    result = hooves(heading, cell)
    key = heading.lower().split(" (")[0].split(" [")[0].replace(" ", "_")
    assert result.tables["Hooves"].frame[key].iloc[0] == pytest.approx(millimetres)
    assert told(result) == []


def lengths(heading: str, *cells: str) -> tuple[list[float | None], list[str]]:
    """What the cells of one column of lengths are read as, and the kinds of problem told."""
    result = hooves(heading, *cells)
    values = result.tables["Hooves"].frame[heading.lower().split(" (")[0].replace(" ", "_")]
    return [None if value != value else value for value in values], [k for _, k in told(result)]


@pytest.mark.parametrize(
    ("heading", "cell"),
    [
        ("Heel length", "3 1/2 cm"), ("Heel length", "3½ cm"), ("Groove depth at heel", "1/2 mm"), ("Heel length", "30½mm"), ("Heel length (cm)", "3 1/2"),
        ("Heel length (mm)", "1/2"), ("Heel length", "45/50"), ("Toe length", "89/90"), ("Toe length", "89/90 mm"), ("Heel length", "30/32"),
        ("Heel length", "1 2/3 in"), ("Heel length", "31/32"), ("Toe length", "3 5/4 in"), ("Heel length", "1/2-3/4 cm"),
    ],
)  # fmt: skip
def test_a_fraction_that_may_not_be_one_of_an_inch_is_left_out(heading: str, cell: str) -> None:
    """An inch is parted by halving; common practice, no published source."""
    assert lengths(heading, cell) == ([None], ["fraction-unclear"])


@pytest.mark.parametrize(
    ("heading", "cells", "read"),
    [
        ("Heel length", ("1¹⁄₄",), [31.8]), ("Heel length", ("1¹/₄ in",), [31.8]), ("Heel length", ("1 1/4",), [31.8]), ("Heel length", ("3/4",), [19.1]),
        ("Heel length", ("30/32 in",), [23.8]), ("Heel length (in)", ("30/32",), [23.8]), ("Heel length", ("three quarters of an inch",), [19.1]),
        ("Toe length", ("three and a half inches",), [88.9]), ("Toe length", ("three and a half",), [88.9]),
        # 7/8 may be 7 or 8 mm, but not where the column is in inches
        ("Groove depth at heel", ("1 1/8", "7/8"), [28.6, 22.2]), ("Groove depth at heel", ("0.9 in", "7/8"), [22.9, 22.2]),
    ],
)  # fmt: skip
def test_a_fraction_of_an_inch_is_in_no_doubt(
    heading: str, cells: tuple[str, ...], read: list[float]
) -> None:
    assert lengths(heading, *cells) == (pytest.approx(read, abs=0.06), [])


def test_a_fraction_that_may_be_two_readings_is_settled_by_its_row() -> None:
    text = """Date | Foot | Toe length | Groove depth at heel
    @2026-03-01 | LF | 3 1/2 | 7/8
    @2026-03-02 | LF | 89 | 7/8"""
    result = checked(Horses="Horse\nBramble", Hooves=text)
    assert told(result) == [("Hooves!D3", "fraction-unclear")]
    assert result.tables["Hooves"].frame["groove_depth_at_heel"].iloc[0] == pytest.approx(22.225)


@pytest.mark.parametrize(
    ("heading", "row", "mark", "kinds"),
    [
        ("Toe length", '3.5" | 3.25', 82.55, ["unit-by-size"]), ("Toe length", "3 1/2 | 3.25", 82.55, ["unit-by-size"]),
        ("Toe length (in)", "3.5 | 3.25", 82.55, ["unit-by-size"]), ("Toe length", "89 | 3.25", 3.25, []), ("Toe length", "8.9 cm | 3.25", 32.5, ["unit-by-size"]),
        ("Toe length", " | 3.25", None, ["unit-unclear"]), ("Toe length", " | 8", 8, []), ("Toe length (in)", "3.5 | 12", 12, []),
    ],
)  # fmt: skip
def test_a_length_of_several_possible_units_is_settled_by_its_row(
    heading: str, row: str, mark: float | None, kinds: list[str]
) -> None:
    text = f"Date | Foot | {heading} | Growth mark below hairline\n@2026-03-01 | LF | {row}"
    result = checked(Horses="Horse\nBramble", Hooves=text)
    value = result.tables["Hooves"].frame["growth_mark_below_hairline"].iloc[0]
    assert (None if value != value else value) == (mark and pytest.approx(mark))
    assert [
        problem.kind for problem in result.problems if problem.column == "Growth mark below hairline"
    ] == kinds


def test_a_row_in_other_units_than_its_column_settles_nothing() -> None:
    text = """Date | Foot | Toe length | Growth mark below hairline
    @2026-03-01 | LF | 89 | 30
    @2026-03-02 | LF | 89 | 28
    @2026-03-03 | LF | 3 1/2 | 3.25"""
    assert told(checked(Horses="Horse\nBramble", Hooves=text)) == [("Hooves!D4", "unit-unclear")]


@pytest.mark.parametrize(
    ("heading", "cells", "read", "kinds"),
    [
        ("Weight", ("1100",), [None], ["unit-unclear"]), ("Weight", ("1100 lb",), [499], []), ("Weight (kg)", ("1100",), [1100], []),
        ("Weight (lb)", ("1100",), [499], []), ("Weight", ("1100 kg",), [1100], []), ("Weight", ("1700",), [None], ["unit-unclear"]), ("Weight", ("480",), [480], []), ("Weight", ("950",), [950], []),
        ("Weight", ("1,100",), [None], ["unit-unclear"]), ("Weight", ("990", "1005", "480"), [None, None, 480], ["unit-unclear"] * 2),
    ],
)  # fmt: skip
def test_a_weight_beyond_most_horses_may_be_in_pounds(
    heading: str, cells: tuple[str, ...], read: list[float | None], kinds: list[str]
) -> None:
    """More than 1000 kg is rare, 1000 lb is an ordinary horse; common practice, no published source."""
    lines = "\n".join(f"@2026-03-{day:02} | {cell}" for day, cell in enumerate(cells, start=1))
    result = checked(Horses="Horse\nBramble", Body=f"Date | {heading}\n{lines}")
    values = result.tables["Body"].frame["weight"]
    assert [None if value != value else round(value) for value in values] == read
    assert [kind for _, kind in told(result)] == kinds
    assert all("(lb)" in problem.hint for problem in result.problems)


@pytest.mark.parametrize(
    ("cell", "minutes", "kinds"),
    [
        ("20/30", None, ["fraction-unclear"]), ("1/2", None, ["fraction-unclear"]), ("½", None, ["fraction-unclear"]), ("1/2 h", 30, []), ("½ hour", 30, []),
        ("half an hour", 30, []), ("1½ h", 90, []), ("1h30", 90, []), ("1 hr 30 min", 90, []), ("20m", 20, []), ("20 min", 20, []), ("20-30", 25, ["number-range"]),
        ("12 1/2", 12.5, []), ("about 1h30", 90, ["number-about"]), ("20+", 20, ["number-or-more"]), ("ten", 10, []),
        ("1½", None, ["unit-unclear"]), ("1 1/2", None, ["unit-unclear"]), ("1.30", None, ["unit-unclear"]), ("0.5", None, ["unit-unclear"]), ("'1,5", None, ["unit-unclear"]),
        ("0.5-1", None, ["unit-unclear"]), ("one and a half", None, ["unit-unclear"]), ("1½ min", 1.5, []), ("0.5 h", 30, []), ("1-2", 1.5, ["number-range"]), ("5", 5, []),
        ("2", 2, []), ("0", 0, []), ("5.5", 5.5, []),
    ],
)  # fmt: skip
def test_minutes_are_no_fractions_but_may_be_hours(
    cell: str, minutes: float | None, kinds: list[str]
) -> None:
    result = checked(Horses="Horse\nBramble", Work=f"Date | Minutes\n@2026-03-04 | {cell}")
    value = result.tables["Work"].frame["minutes"].iloc[0]
    assert (None if value != value else value, [kind for _, kind in told(result)]) == (minutes, kinds)


@pytest.mark.parametrize(
    ("heading", "cell", "minutes"), [("Minutes (h)", "1.5", 90), ("Minutes (min)", "1½", 1.5)]
)
def test_a_heading_that_names_hours_or_minutes_settles_them(heading: str, cell: str, minutes: float) -> None:
    result = checked(Horses="Horse\nBramble", Work=f"Date | {heading}\n@2026-03-04 | {cell}")
    assert (result.tables["Work"].frame["minutes"].tolist(), told(result)) == ([minutes], [])


def test_a_few_minutes_with_a_part_say_how_their_unit_is_written() -> None:
    (problem,) = checked(Horses="Horse\nBramble", Work="Date | Minutes\n@2026-03-04 | 1.5").problems
    assert (problem.severity, "Minutes (min)" in problem.hint) == ("doubt", True)


@pytest.mark.parametrize(("cells", "unit"), [(("3.5", "3.25", "3.75"), 25.4), (("8.9", "8.8"), 10)])
def test_bare_numbers_are_read_by_size_with_one_doubt_a_column(cells: tuple[str, ...], unit: float) -> None:
    result = hooves("Toe length", *cells)
    assert result.tables["Hooves"].frame["toe_length"].tolist() == pytest.approx(
        [float(cell) * unit for cell in cells]
    )
    assert told(result) == [("Hooves!C2", "unit-by-size")]


def test_the_columns_other_numbers_settle_one_that_could_be_either() -> None:
    """2.5 for a heel fits 63.5 mm in inches and 25 mm in centimetres; 1.25 and 1.4 fit only inches."""
    assert hooves("Heel length", "1.25", "1.4", "2.5").tables["Hooves"].frame["heel_length"].iloc[
        2
    ] == pytest.approx(63.5)


def test_a_number_that_could_be_either_alone_is_left_out() -> None:
    result = hooves("Heel length", "30", "32", "2.5")
    assert told(result) == [("Hooves!C4", "unit-unclear")]
    assert result.tables["Hooves"].frame["heel_length"].isna().iloc[2]
    assert result.rows["Hooves"] == (3, 0)


@pytest.mark.parametrize(
    ("cell", "kind"),
    [
        ("890", "out-of-range"),
        ("long", "number-unreadable"),
        ("3 hands", "unit-unknown"),
        ("@2026-01-02", "number-became-date"),
        ("#REF!", "cell-error"),
        ("-4", "out-of-range"),
    ],
)
def test_a_length_that_cannot_be_meant_is_left_out_and_the_row_kept(cell: str, kind: str) -> None:
    result = hooves("Toe length", cell)
    assert told(result) == [("Hooves!C2", kind)]
    assert result.problems[0].severity == "doubt"
    assert result.rows["Hooves"] == (1, 0)


def test_temperatures_in_fahrenheit_are_recognised_and_said() -> None:
    result = checked(
        Horses="Horse\nBramble",
        Body="Date | Temperature\n@2026-03-01 | 100.4\n@2026-03-02 | 37.9\n@2026-03-03 | 101.3F",
    )
    assert result.tables["Body"].frame["temperature"].tolist() == pytest.approx([38, 37.9, 38.5])
    assert told(result) == [("Body!B2", "unit-by-size")]


def scores(text: str, **more: str) -> tuple[list[tuple[float, str]], list[tuple[str, str]]]:
    sheets = {"Horses": "Horse | Usual scale\nBramble | 0-5"} | more
    result = checked(**sheets, Soundness=text)
    frame = result.tables["Soundness"].kept
    return list(zip(frame["score"], frame["scale"], strict=True)), told(result)


def test_the_cells_own_scale_wins_then_the_rows_then_the_horses() -> None:
    text = """Date | Scale | Score
    @2026-03-01 | 0-5 | 7/10
    @2026-03-02 | 0-10 | 2
    @2026-03-03 | | 2"""
    assert scores(text) == ([(7, "0-10"), (2, "0-10"), (2, "0-5")], [("Soundness!C2", "scale-contradicts")])


def test_a_scale_that_nobody_gave_is_assumed_with_one_doubt_a_horse() -> None:
    text = "Date | Score\n@2026-03-01 | 2\n@2026-03-02 | 3"
    assert scores(text, Horses="Horse\nBramble") == (
        [(2, "0-5"), (3, "0-5")],
        [("Soundness!B2", "scale-assumed")],
    )
    high = "Date | Score\n@2026-03-01 | 2\n@2026-03-02 | 7"
    assert scores(high, Horses="Horse\nBramble")[0] == [(2, "0-10"), (7, "0-10")]


@pytest.mark.parametrize(
    ("cell", "score", "kinds"),
    [
        ("2-3", 2.5, ["score-range"]),
        ("2+", 2, ["score-plus"]),
        ("2.3", 2.3, ["score-between"]),
        ("2.5", 2.5, []),
        ("0", 0, []),
        ("0.0", 0, []),
        ("5", 5, []),
    ],
)
def test_how_a_score_was_typed_is_said_and_the_score_kept(cell: str, score: float, kinds: list[str]) -> None:
    read, problems = scores(f"Date | Score\n@2026-03-01 | {cell}")
    assert (read, [kind for _, kind in problems]) == ([(score, "0-5")], kinds)


@pytest.mark.parametrize(
    ("cell", "kind"),
    [
        ("6", "score-beyond-scale"),
        ("11/10", "score-beyond-scale"),
        ("lame", "score-unreadable"),
        ("@2026-05-02", "number-became-date"),
        ("46058", "number-became-date"),
        ("#DIV/0!", "cell-error"),
    ],
)
def test_a_note_of_nothing_but_a_score_that_cannot_be_read_is_set_aside(cell: str, kind: str) -> None:
    result = checked(
        Horses="Horse | Usual scale\nBramble | 0-5", Soundness=f"Date | Score\n@2026-03-01 | {cell}"
    )
    assert [(problem.kind, problem.severity) for problem in result.problems] == [(kind, "error")]
    with_more = checked(
        Horses="Horse | Usual scale\nBramble | 0-5",
        Soundness=f"Date | Score | Than last time\n@2026-03-01 | {cell} | worse",
    )
    assert [(problem.kind, problem.severity) for problem in with_more.problems] == [(kind, "doubt")]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.one_of(st.text(max_size=12), st.floats(allow_nan=False), st.datetimes(), st.booleans()),
        min_size=1,
        max_size=30,
    )
)
def test_whatever_is_typed_every_row_is_read_or_set_aside_with_a_problem(cells: list[object]) -> None:
    from pathlib import Path

    from books import TODAY, RawSheet, RawWorkbook

    from tracker.check.book import check_workbook

    body = [[cell, 1.0, "LF"] for cell in cells]
    sheet = RawSheet("Soundness", [["Date", "Score", "Limb"], *body])
    result = check_workbook(RawWorkbook(Path("x.xlsx"), (sheet,), False), TODAY, True)
    table = result.tables["Soundness"]
    assert result.rows["Soundness"][0] == len(cells)
    assert table.set_aside == set(table.frame.index[table.frame["date"].isna()])
    assert {f"Soundness!A{row}" for row in table.set_aside} <= {problem.cell for problem in result.problems}


def test_inches_and_centimetres_that_tie_are_settled_by_nobody() -> None:
    result = hooves("Heel length", "2.5", "2.4")
    assert told(result) == [("Hooves!C2", "unit-unclear"), ("Hooves!C3", "unit-unclear")]


def test_a_range_of_lengths_is_its_middle_with_a_doubt_and_both_ends_must_be_possible() -> None:
    result = hooves("Toe length", "88-90", "8.5 to 9 cm", "90-900", "3-1/2")
    assert result.tables["Hooves"].frame["toe_length"].tolist() == pytest.approx(
        [89, 87.5, float("nan"), 88.9], nan_ok=True
    )
    assert told(result) == [
        ("Hooves!C2", "number-range"),
        ("Hooves!C3", "number-range"),
        ("Hooves!C4", "out-of-range"),
    ]


@pytest.mark.parametrize(
    ("heading", "cell", "grade", "kinds"),
    [
        ("Condition score", "5/9", 5, []), ("Condition score", "6 out of 9", 6, []), ("Condition score", "BCS 5", 5, []), ("Condition score", "5½", 5.5, []),
        ("Condition score", "five", 5, []), ("Condition score", "5-6/9", 5.5, ["number-range"]), ("Condition score", "3/5", None, ["grade-other-scale"]),
        ("Condition score", "10/9", None, ["out-of-range"]), ("Condition score (1-9)", "5", 5, []), ("Condition score /9", "5", 5, []),
        ("Condition score (0-5)", "3", None, ["grade-other-scale"]), ("Condition score (0-5)", "5/9", 5, []), ("Condition score (Henneke)", "5", 5, []),
        ("Crest score", "3/5", 3, []), ("Crest score", "3 of 5", 3, []), ("Crest score", "0/5", 0, []), ("Crest score", "2.5", 2.5, []),
        ("Crest score", "4/9", None, ["grade-other-scale"]), ("Crest score", "high", None, ["number-unreadable"]),
    ],
)  # fmt: skip
def test_a_condition_or_crest_score_with_its_scale(
    heading: str, cell: str, grade: float | None, kinds: list[str]
) -> None:
    """The scales are Henneke's of 1 to 9 (1983) and Carter's of 0 to 5 (2009); no other is converted to them."""
    result = checked(Horses="Horse\nBramble", Body=f"Date | {heading}\n@2026-03-04 | {cell}")
    value = result.tables["Body"].frame["_".join(heading.lower().split()[:2])].iloc[0]
    assert (None if value != value else value, [kind for _, kind in told(result)]) == (grade, kinds)


@pytest.mark.parametrize("cell", ["slight", "mild", "moderate", "severe", "a bit off"])
def test_no_grade_is_guessed_from_words_and_that_is_said(cell: str) -> None:
    result = checked(
        Horses="Horse | Usual scale\nBramble | 0-5",
        Soundness=f"Date | Score | Than last time\n@2026-03-04 | {cell} | same",
    )
    assert told(result) == [("Soundness!B2", "score-unreadable")]
    assert "No grade is guessed from words." in result.problems[0].message
    assert result.tables["Soundness"].frame["score"].isna().all()


def test_a_fraction_alone_is_no_score_but_may_have_been_its_worse_end() -> None:
    """3/4 may be three quarters or 3 to 4: what warns is the worse."""
    result = checked(
        Horses="Horse | Usual scale\nBramble | 0-5",
        Soundness="Date | Score | Than last time\n@2026-03-04 | 3/4 | same",
    )
    frame = result.tables["Soundness"].frame
    assert (told(result), frame["score_left_out"].tolist()) == ([("Soundness!B2", "score-unreadable")], [4])
    assert frame["score"].isna().all()


def test_a_sign_among_the_scores_counts_and_is_doubted() -> None:
    text = "Date | Score | Signs\n@2026-03-04 | non weight bearing | \n@2026-03-05 | 5/5 nwb | off feed"
    result = checked(Horses="Horse | Usual scale\nBramble | 0-5", Soundness=text)
    frame = result.tables["Soundness"].frame
    assert frame["signs"].tolist() == [("won't bear weight",), ("won't bear weight", "off feed")]
    assert frame["score"].tolist() == pytest.approx([float("nan"), 5], nan_ok=True)
    assert told(result) == [("Soundness!B2", "sign-in-score"), ("Soundness!B3", "sign-in-score")]
    assert result.rows["Soundness"] == (2, 0)


@pytest.mark.parametrize(
    "cell",
    ["2/5 lost nail", "2/5 loose nail", "2/5 healed puncture", "2/5 was nwb", "2/5 stopped sweating", "2/5 isn't nwb", "2 lost a nail"],
)  # fmt: skip
def test_a_grade_is_kept_though_words_that_are_no_sign_stand_behind_it(cell: str) -> None:
    assert scores(f"Date | Score\n@2026-03-01 | {cell}") == (
        [(2, "0-5")],
        [("Soundness!B2", "score-with-words")],
    )


@pytest.mark.parametrize("cell", ["removed nail", "better than nwb", ",", "/", "2/", "+"])
def test_words_that_end_like_a_sign_are_none(cell: str) -> None:
    result = checked(
        Horses="Horse | Usual scale\nBramble | 0-5",
        Soundness=f"Date | Score | Than last time\n@2026-03-01 | {cell} | same",
    )
    frame = result.tables["Soundness"].frame
    assert (told(result), frame["signs"].tolist()) == ([("Soundness!B2", "score-unreadable")], [()])


@pytest.mark.parametrize(
    ("cell", "scale"),
    [("4-6", "0-5"), ("3-6", "0-5"), ("4-5.5", "0-5"), ("9-11", "0-10"), ("9-11/10", "0-5")],
)
def test_a_range_whose_high_end_lies_beyond_its_scale_is_left_out(cell: str, scale: str) -> None:
    result = checked(
        Horses="Horse | Usual scale\nBramble | 0-5",
        Soundness=f"Date | Than last time | Score | Scale\n@2026-03-01 | same | {cell} | {scale if '/' not in cell else ''}",
    )
    assert told(result) == [("Soundness!C2", "score-beyond-scale")]
    assert result.tables["Soundness"].frame["score"].isna().all()


def test_a_range_above_five_shows_the_scale_to_be_0_to_10() -> None:
    read = scores("Date | Score\n@2026-03-01 | 4-6", Horses="Horse\nBramble")
    assert read == ([(5, "0-10")], [("Soundness!B2", "scale-assumed"), ("Soundness!B2", "score-range")])


def test_a_score_on_another_scale_than_its_row_says_is_doubted() -> None:
    read, problems = scores("Date | Scale | Score\n@2026-03-01 | 0-5 | 4/10\n@2026-03-02 | 0-5 | 4/5")
    assert read == [(4, "0-10"), (4, "0-5")]
    assert problems == [("Soundness!C2", "scale-contradicts")]


def test_degrees_alone_leave_the_temperatures_scale_to_its_size() -> None:
    result = checked(
        Horses="Horse\nBramble", Body="Date | Temperature\n@2026-03-01 | 38.1°\n@2026-03-02 | 37.9 C."
    )
    assert (result.tables["Body"].frame["temperature"].tolist(), told(result)) == ([38.1, 37.9], [])


def test_no_warm_foot_is_an_answer() -> None:
    result = checked(
        Horses="Horse | Usual scale\nBramble | 0-5", Soundness="Date | Score | Warm\n@2026-03-01 | 2 | no"
    )
    assert (result.tables["Soundness"].frame["warm"].tolist(), told(result)) == ([()], [])


@pytest.mark.parametrize(
    "cell",
    [
        "~89",
        "about 89",
        "89?",
        "89 approx.",
        "approx 89mm",
        "c. 8.9 cm",
        "89ish",
        "Around 89 mm",
        "3½ in?",
        "≈ 89",
        "89mm (est)",
        "89 est.",
        "about three and a half inches",
    ],
)
def test_a_length_that_is_not_exact_is_used_and_doubted(cell: str) -> None:
    result = hooves("Toe length", cell)
    assert result.tables["Hooves"].frame["toe_length"].tolist() == pytest.approx([89], abs=0.2)
    assert told(result) == [("Hooves!C2", "number-about")]


def test_a_score_that_is_not_exact_is_used_and_doubted_but_not_one_beyond_its_scale() -> None:
    assert scores("Date | Score\n@2026-03-01 | 2/5?") == ([(2, "0-5")], [("Soundness!B2", "number-about")])
    assert scores("Date | Score\n@2026-03-01 | ~9/5")[1] == [("Soundness!B2", "score-beyond-scale")]


@pytest.mark.parametrize("cell", ["89+", "89+ mm", ">89", "at least 89"])
def test_a_length_that_is_at_least_so_much_is_used_and_doubted(cell: str) -> None:
    assert lengths("Toe length", cell) == ([89], ["number-or-more"])


@pytest.mark.parametrize(
    ("cell", "kinds"), [("26-06-01", ["date-year-first"]), ("1 Jun 2001", []), ("1/6/01", [])]
)
def test_a_birth_that_may_have_its_year_first_is_doubted(cell: str, kinds: list[str]) -> None:
    result = checked(Horses=f"Horse | Born\nBramble | {cell}")
    assert (result.tables["Horses"].frame["born"].tolist(), [kind for _, kind in told(result)]) == (
        [2001],
        kinds,
    )


def test_a_birth_of_five_figures_that_may_be_a_date_run_together_is_left_out() -> None:
    result = checked(Horses="Horse | Born\nBramble | 40326\nMoss | 43999")
    assert told(result) == [("Horses!B2", "date-run-together")]
    assert result.tables["Horses"].frame["born"].iloc[1] == 2020


@pytest.mark.parametrize("part", ["5 ", "5/5, ", "not 5 or ", "- ", "nwb or ", "no nail, "])
def test_a_cell_as_long_as_a_cell_can_be_is_looked_through_at_once(part: str) -> None:
    """32 767 signs are the most that a cell holds (Microsoft, Excel specifications and limits)."""
    text = (part * 32767)[:32767]
    start = time.perf_counter()
    checked(
        Horses="Horse | Usual scale\nBramble | 0-5",
        Soundness=f"Date | Score | Signs | Pulse LF\n@2026-03-01 | {text} | {text} | {text}",
    )
    assert time.perf_counter() - start < 10
