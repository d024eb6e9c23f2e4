"""The whole journey of small workbooks, from cells to warnings."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from sample_workbooks.mistakes import PLANTED
from tracker import Book, check_book, open_book
from tracker.show.as_json import review_data
from tracker.show.shapes import book_view
from tracker.show.text import review_text
from tracker.workbook.new.blank import write_workbook

SAMPLES = Path(__file__).parents[1] / "sample_workbooks"
ON = dt.date(2026, 6, 30)


def book(tmp_path: Path, **sheets: list[dict[str, object]]) -> Book:
    file = tmp_path / "barn.xlsx"
    write_workbook(file, {name.replace("_", " "): rows for name, rows in sheets.items()})
    return open_book(file, on=ON)


HORSE: list[dict[str, object]] = [
    {"Horse": "Bramble", "Front shoes off": dt.date(2026, 3, 4), "Usual scale": "0-5"}
]


def test_the_mistakes_workbook_gives_exactly_its_planted_problems() -> None:
    found = [
        (problem.kind, problem.cell) for problem in check_book(SAMPLES / "thirty-mistakes.xlsx").problems
    ]
    assert len(PLANTED) == 30
    assert sorted(found) == sorted(PLANTED)


def test_from_typed_lengths_and_angles_to_derived_ones_with_their_error(tmp_path: Path) -> None:
    """Row 1 of the exact flat-hoof model: toe 85 mm at 50°, heel 40 mm at 45° (plain trigonometry)."""
    hooves: list[dict[str, object]] = [
        {
            "Date": "4 Mar 2026",
            "Foot": "LF",
            "Stage": "after trim",
            "Measured with": "gauge",
            "Toe angle": 50,
            "Heel angle": 45,
        },
        {
            "Date": "4 Mar 2026",
            "Foot": "left fore",
            "Stage": "after",
            "Measured with": "ruler",
            "Toe length": "8,5 cm",
            "Heel length": "40mm",
        },
    ]
    data = review_data(book(tmp_path, Horses=HORSE, Hooves=hooves))
    (hoof,) = data["horses"][0]["hooves"]
    measures = {name: measure["value"] for name, measure in hoof["measures"].items()}
    assert measures["heel_height"] == pytest.approx(28.28, abs=0.005)
    assert measures["toe_heel_ratio"] == pytest.approx(2.125)
    assert measures["heel_lag"] == pytest.approx(5)
    assert hoof["measures"]["heel_height"]["sd"] > 0


def test_pain_relief_parts_scores_and_quiets_no_red_flag(tmp_path: Path) -> None:
    notes: list[dict[str, object]] = [
        {"Date": "1 Jun 2026", "Gait": "walk", "Limb": "LF", "Score": 3},
        {"Date": "28 Jun 2026", "Gait": "walk", "Limb": "LF", "Score": 5},
    ]
    relief: list[dict[str, object]] = [{"Product": "phenylbutazone", "First given": "27 Jun 2026"}]
    data = review_data(book(tmp_path, Horses=HORSE, Soundness=notes, Pain_relief=relief))
    (horse,) = data["horses"]
    assert (horse["soundness"][0]["scores"], horse["soundness"][0]["masked"]) == (2, 1)
    assert "not-bearing-weight" in [warning["rule"] for warning in horse["warnings"]]


def test_a_sign_in_a_row_set_aside_for_want_of_its_horse_still_warns(tmp_path: Path) -> None:
    horses: list[dict[str, object]] = [{"Horse": "Bramble"}, {"Horse": "Moss"}]
    notes: list[dict[str, object]] = [{"Date": "28 Jun 2026", "Signs": "won't bear weight"}]
    view = book_view(book(tmp_path, Horses=horses, Soundness=notes))
    assert [horse.name for horse in view.horses] == ["Bramble", "Moss", "a horse not named"]
    assert view.horses[2].warnings[0].rule == "not-bearing-weight"


def test_two_scales_are_two_series_and_never_one(tmp_path: Path) -> None:
    notes: list[dict[str, object]] = [
        {"Date": "1 Jun 2026", "Gait": "trot", "Limb": "LF", "Score": "2/5"},
        {"Date": "2 Jun 2026", "Gait": "trot", "Limb": "LF", "Score": "4/10"},
    ]
    series = review_data(book(tmp_path, Horses=HORSE, Soundness=notes))["horses"][0]["soundness"]
    assert [(found["scale"], found["scores"]) for found in series] == [("0-10", 1), ("0-5", 1)]


def test_a_book_is_the_same_however_often_it_is_opened() -> None:
    def once() -> str:
        return json.dumps(review_data(open_book(SAMPLES / "a-yard-of-six.xlsx", on=ON)))

    assert once() == once()


def test_the_review_in_words(tmp_path: Path) -> None:
    notes: list[dict[str, object]] = [
        {
            "Date": "27 Jun 2026",
            "Gait": "trot",
            "Ground": "hard",
            "Line": "straight",
            "Limb": "LF",
            "Score": 2,
        },
        {"Date": "28 Jun 2026", "Limb": "LF", "Signs": "won't bear weight", "Gait": "dance"},
    ]
    hooves: list[dict[str, object]] = [
        {"Date": "4 Mar 2026", "Foot": "LF", "Measured with": "gauge", "Toe angle": 48, "Heel angle": 40},
        {"Date": "20 Jun 2026", "Foot": "LF", "Measured with": "gauge", "Toe angle": 50, "Heel angle": 41},
    ]
    visits: list[dict[str, object]] = [{"Date": "20 Jun 2026", "Purpose": "trim", "Feet": "all"}]
    text = review_text(book_view(book(tmp_path, Horses=HORSE, Soundness=notes, Hooves=hooves, Visits=visits)))
    assert (
        text
        == """barn.xlsx, as of 30 Jun 2026

Not all that is typed could be used as it is: 1 doubt. `soundness check` names the cells.

Bramble
=======
Front shoes off 4 Mar 2026: 16 weeks (118 days) ago
Hind shoes: no day given (never shod, or still shod)

[now] Ring the vet now: not bearing weight
    Recorded on 28 Jun 2026: won't bear weight (LF).
    Ring the vet now, day or night. Keep the horse still where it is.
    until then: Keep the horse still where it is, with water and hay within reach. Do not
    walk or trot it up to grade it. Feel the pulse of the opposite foot.
    since 28 Jun 2026; cells Soundness!P3
    source: Devereux, The Veterinary Care of the Horse, pp. 146-147 (published)

[within a week] Ask the vet this week: opposite foot to feel
    The left front has been badly lame since 28 Jun 2026; the right front carries for it.
    Feel the warmth and the pulse of the opposite foot twice a day from today, and write
    them down. Ask the vet this week how to spare it.
    until then: Deep, soft ground underfoot asks nobody's leave. Look whether the horse
    still shifts its weight from foot to foot.
    since 30 Jun 2026; cells Soundness!P3
    source: Wylie et al. 2014, Vet Rec (onset 4 to 100 days after the first trouble, not
    only where no weight is borne); Virgin, American Association of Equine Practitioners
    2011; twice a day from day 3 is inferred (expert opinion)

Soundness notes
  LF; trot, hard, straight: 1 score, last 2 on 0-5, 27 Jun 2026

Left front (20 Jun 2026, the day of a trim)
  Toe angle        50.0° ± 0.7°     +2.0° since 4 Mar 2026, at least the measuring error
  Heel angle       41.0° ± 1.4°     no change beyond the measuring error since 4 Mar 2026
  Heel lag         9.0° ± 1.6°      no change beyond the measuring error since 4 Mar 2026

Growth
  No rate of the horse's own yet; published is 6 to 10 mm a month in grown horses (Devereux,
    The Veterinary Care of the Horse, p. 196). A mark on the wall gives its own: its
    distance below the hairline, read twice or more over six weeks and longer.
  New horn since shoes off           new           all new
  Both fronts, toe                   30 to 45 %    Dec 2026 to Apr 2027
  Both fronts, quarters              50 to 65 %    Sep to Nov 2026
  Both fronts, heels                 65 to 100 %   Jun to Sep 2026
  Published months until the wall is new: toe 9 to 13, quarters 6 to 8, heels 3 to 6
    (Devereux, The Veterinary Care of the Horse, p. 196; American Farriers Journal, article
    564; Lungwitz and Adams, A Text-Book of Horseshoeing (their own trials)).

Trims
  Next trim due 15 Aug 2026: eight weeks, since no other day is written down, counted from
    last trim 20 Jun 2026.
  All four feet: 1 trim; last trim 20 Jun 2026, 10 days ago.

± is the measuring error: the true value lies within it 19 times in 20. This record is no
substitute for an examination by a vet. It keeps and compares what people wrote down; who
may diagnose, treat or trim is for the law of your country to say."""
    )


def test_a_horse_entered_twice_is_one_horse(tmp_path: Path) -> None:
    twice: list[dict[str, object]] = [{"Horse": "Moss"}, {"Horse": "MOSS"}]
    assert [horse.name for horse in book(tmp_path, Horses=twice).horses] == ["Moss"]


def test_nameless_rows_are_shown_only_where_they_warn(tmp_path: Path) -> None:
    horses: list[dict[str, object]] = [{"Horse": "Bramble"}, {"Horse": "Moss"}]
    notes: list[dict[str, object]] = [{"Date": "28 Jun 2026", "Score": "1/5"}]
    assert [horse.name for horse in book(tmp_path, Horses=horses, Soundness=notes).horses] == [
        "Bramble",
        "Moss",
    ]
