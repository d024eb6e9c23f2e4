"""The letter to the vet: what a vet asks for is in it, as it was written down, with what is missing."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from letters import ON, everything, of, of_year, part, told, year

from tracker.show.letter.blocks import Letter, Picture
from tracker.show.letter.choice import ALWAYS, EXTRAS, PARTS, Choice
from tracker.show.letter.message import MOST, message
from tracker.show.words import CAUTION

HAZEL: dict[str, object] = {"Horse": "Hazel", "Born": 2013, "Sex": "mare", "Front shoes off": "21 Nov 2025"}
NOTE: dict[str, object] = {
    "Date": "28 Jun 2026", "Seen by": "vet", "Gait": "trot", "Ground": "hard", "Line": "straight", "Limb": "LF",
    "Scale": "0-5", "Score": 2,
}  # fmt: skip

FITS = 4_000  # signs: two screens of a telephone's message


# A history as it is asked for: Devereux, The Veterinary Care of the Horse, pp. 147-149 (when it began, the feet,
# the pattern, what was seen, changes of management, treatment with when it was last given and the examination's
# figures); signalment: Adams and Stashak's Lameness in Horses, p. 71. Each with where the letter tells it.
HISTORY = {
    "age": ("who", r"Born: 2013"),
    "sex": ("who", r"Sex: mare"),
    "date the shoes came off": ("who", r"Front shoes off 21 Nov 2025"),
    "trim interval": ("who", r"Trim every: 5 weeks"),
    "last trim": ("trims", r"last trim 3 Oct 2026"),
    "which limb, how it moved, on what": ("course", r"Left front \| trot, hard, straight"),
    "the scale": ("course", r"\| 0-5 \|"),
    "earlier abscesses by foot, place, exit": (
        "abscesses",
        r"Left front, inner heel \| 27 May 2026 \| 1 Jun 2026, hairline",
    ),
    "days to comfort": ("abscesses", r"10 days"),
    "pulse and warmth": ("signs", r"pulse LF up to bounding; warm LF"),
    "stance": ("signs", r"points a foot"),
    "changes of management": ("changes", r"turnout: out again after the abscess"),
    "treatment, when last given": ("relief", r"phenylbutazone powder: first given .* last given 6 Jan 2026"),
    "work": ("work", r"hand-walk 20"),
    "temperature, heart, breathing": (
        "body",
        r"Temperature 37.5 °C, 20 Nov 2026 .*Heart rate 36.*Breathing rate 11",
    ),
    "weight and condition": ("body", r"Weight by tape: 450 kg ± 15 kg"),
    "what a vet found before": ("visits", r"vet, vet examination, LF\. Found: Sore to the testers"),
}


@pytest.mark.parametrize("asked", HISTORY)
def test_what_a_vet_asks_for_is_told(asked: str) -> None:
    key, said = HISTORY[asked]
    assert re.search(said, told(part(of_year(), key)))


def test_what_no_sheet_holds_is_named_as_lacking() -> None:
    said = told(part(of_year(), "lacks"))
    for item in (
        "use (intended and actual)",
        "how long owned",
        "last tetanus vaccination",
        "allergies",
        "insurance",
    ):
        assert item in said


def test_the_parts_stand_in_their_order_warnings_before_everything_that_happened() -> None:
    keys = [one.key for one in of_year().parts]
    assert keys == [key for key in PARTS if key in keys]
    assert keys[:4] == ["who", "question", "warnings", "course"]


def test_grades_stand_as_they_were_written_each_with_its_scale(tmp_path: Path) -> None:
    notes = [NOTE, {**NOTE, "Date": "29 Jun 2026", "Scale": "0-10", "Score": 5.5}]
    said = told(part(of(tmp_path, Horses=[HAZEL], Soundness=notes), "course"))
    assert "Left front | trot, hard, straight | 0-10 | 1 | 5.5 | 29 Jun 2026" in said
    assert "Left front | trot, hard, straight | 0-5 | 1 | 2 | 28 Jun 2026" in said


def test_a_grade_under_pain_relief_says_so(tmp_path: Path) -> None:
    relief = [{"Product": "phenylbutazone", "First given": "27 Jun 2026"}]
    letter = of(tmp_path, Horses=[HAZEL], Soundness=[NOTE], Pain_relief=relief)
    assert "1 (1 under pain relief) | 2 (under pain relief)" in told(part(letter, "course"))
    assert "no last day written down: taken as still given" in told(part(letter, "relief"))
    picture = next(block for block in part(letter, "course").blocks if block.kind == "picture")
    assert picture.svg.count('fill="#fff"') == 1  # type: ignore[union-attr]


def test_no_pain_relief_written_down_is_no_proof_of_none(tmp_path: Path) -> None:
    said = told(part(of(tmp_path, Horses=[HAZEL], Soundness=[NOTE]), "relief"))
    assert said == "No pain relief is written down. That does not show that none was given."


def test_every_open_warning_is_told_with_its_reason_and_none_that_is_answered_away() -> None:
    letter, view = of_year(), year().horses[0]
    shown = told(part(letter, "warnings")).splitlines()
    assert len(shown) == len([firing for firing in view.warnings if not firing.quiet]) > 0
    assert shown[0].startswith("within a week | Grades likely worse | Grades of left front")


def test_no_warning_calms_nobody(tmp_path: Path) -> None:
    letter = of(tmp_path, Horses=[{"Horse": "Hazel"}], Soundness=[{**NOTE, "Score": 0, "Limb": None}])
    assert "That does not mean that nothing is wrong" in told(part(letter, "warnings"))


def test_the_days_that_are_chosen_are_those_told_of_and_warnings_stay() -> None:
    summer = of_year(since=dt.date(2026, 5, 1), until=dt.date(2026, 8, 31))
    assert summer.dated == (
        "Record as of 20 Nov 2026; it tells of the time from 1 May 2026 to 31 Aug 2026 (warnings, what is made of "
        "the grades, growth, trims and body: up to the record's last day)"
    )
    assert "(" not in of_year(since=dt.date(2026, 5, 1)).dated
    assert "27 May 2026" in told(part(summer, "abscesses"))
    assert "1 Jan 2026" not in told(part(summer, "abscesses"))
    assert not any(one.key == "changes" and "Nov" in told(one) for one in summer.parts)
    assert told(part(summer, "warnings")) == told(part(of_year(), "warnings"))


def test_an_abscess_that_goes_on_belongs_to_every_later_time(tmp_path: Path) -> None:
    open_one = [{"Foot": "LF", "First seen": "1 Jun 2026"}]
    letter = of(
        tmp_path,
        Horses=[HAZEL],
        Soundness=[NOTE],
        Abscesses=open_one,
        choice=Choice(since=dt.date(2026, 6, 20)),
    )
    assert "Left front | 1 Jun 2026 | not yet written down | not yet written down | 29 days so far" in told(
        part(letter, "abscesses")
    )


def test_the_question_is_whole_and_its_absence_is_said() -> None:
    asked = "Radiographs? " * 90
    assert told(part(of_year(question=asked), "question")) == asked.strip()
    assert told(part(of_year(), "question")) == "The sender has written no question."


def test_feet_from_a_photograph_are_marked_and_changes_beyond_the_error_too() -> None:
    said = told(part(of_year(), "feet"))
    assert "Toe angle | 48 → 51 ± 2° (p), +3.1* | 46.5 → 49.5 ± 0.7°, +3.0*" in said
    assert "(p) provisional: from a photograph, not yet checked on the live foot." in said
    assert "(p) provisional: from a photograph" in message(of_year())


@pytest.mark.parametrize("key", [key for key in PARTS if key not in ALWAYS])
def test_each_part_can_be_left_out_and_the_letter_says_so(key: str) -> None:
    letter = of_year(without=frozenset({key}))
    assert key not in [one.key for one in letter.parts]
    assert PARTS[key].lower() in letter.left_out


@pytest.mark.parametrize(
    "wrong", [{"without": frozenset({"who"})}, {"extras": frozenset({"doses"})}, {"paper": "a5"}]
)
def test_what_cannot_be_chosen_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="one of"):
        Choice(**wrong)  # type: ignore[arg-type]


def test_nothing_is_found_prescribed_or_called_sound() -> None:
    said = everything(of_year()).replace(CAUTION, "")
    assert not re.search(
        r"diagnos|\bsound\b|normal|healthy|laminiti|\bdose|treatment|prescri", said, re.IGNORECASE
    )


def test_the_message_is_short_and_a_long_sentence_ends_with_a_mark() -> None:
    said = message(of_year())
    assert len(said) < FITS
    assert max(map(len, said.splitlines()[:-2])) <= MOST
    assert said.startswith("Hazel: a record for the vet\nRecord as of 20 Nov 2026\n")


@pytest.mark.parametrize(
    ("findings", "ends"),
    [
        ("Heels low. " * 40, "Heels low. …"),
        ("heels low and run forward " * 15, "heels low …"),
        ("x" * 399, "xxx …"),
    ],
)
def test_a_long_sentence_ends_in_a_message_where_one_ends_or_between_words(
    tmp_path: Path, findings: str, ends: str
) -> None:
    visit = {"Date": "20 Jun 2026", "Role": "vet", "Findings": findings}
    said = message(of(tmp_path, Horses=[HAZEL], Visits=[visit]))
    told = said.partition("VISITS\n")[2].splitlines()[0]
    assert told.endswith(ends)
    assert MOST // 2 < len(told) <= MOST


def test_a_message_has_the_question_and_the_warnings_whole(tmp_path: Path) -> None:
    asked = ("Should she be seen? " * 40).strip()
    relief = [{"Product": "powder " * 60, "First given": "1 Jun 2026"}]
    said = message(of(tmp_path, choice=Choice(asked), Horses=[HAZEL], Pain_relief=relief))
    assert asked in said
    assert re.search(r"\[same day\] Pain relief without vet: .*powder .* is recorded\.", said)


def test_the_letter_of_an_empty_record_stands_too(tmp_path: Path) -> None:
    letter = of(tmp_path, Horses=[{"Horse": "Hazel"}])
    assert "No soundness note in the time that is told of." in told(part(letter, "lacks"))
    assert [one.key for one in letter.parts] == ["who", "question", "warnings", "relief", "lacks"]


def test_a_record_that_is_read_twice_gives_the_same_letter() -> None:
    assert of_year() == of_year()
    assert set(EXTRAS) == {"remarks", "names", "phones", "photos"}
    assert year().as_of == ON


def test_a_warning_that_its_owner_has_answered_is_told_too(tmp_path: Path) -> None:
    answer = {
        "Date": "29 Jun 2026", "Warning": "trim-past-8-weeks", "What was done": "rang the trimmer",
        "Outcome": "comes on Friday", "Quiet until": "20 Jul 2026",
    }  # fmt: skip
    letter = of(tmp_path, Horses=[HAZEL], Soundness=[{**NOTE, "Score": 0, "Limb": None}], Follow_up=[answer])
    assert told(part(letter, "warnings")) == (
        "Trim past 8 weeks (answered 29 Jun 2026), [next visit]: Shoes off 21 Nov 2025, 31 weeks ago. "
        "Since 16 Jan 2026. Done: rang the trimmer. Outcome: comes on Friday."
    )


def test_a_message_says_how_much_more_the_record_holds(tmp_path: Path) -> None:
    sore = [
        {"Foot": "LF", "First seen": f"1 {month} 2026", "Comfortable again": f"9 {month} 2026"}
        for month in ("Jan", "Feb", "Mar", "Apr", "May")
    ]
    given = [
        {"Product": "powder", "First given": f"1 {m} 2026", "Last given": f"2 {m} 2026"}
        for m in ("Jan", "Feb", "Mar")
    ]
    notes = [{**NOTE, "Limb": limb} for limb in ("LF", "RF", "LH", "RH", "LF RF")]
    said = message(of(tmp_path, Horses=[HAZEL], Soundness=notes, Abscesses=sore, Pain_relief=given))
    for counted in (
        "Abscesses not told here: 2.",
        "Courses not told here: 1.",
        "Ways of looking not told here: 2.",
    ):
        assert counted in said


def test_a_message_names_the_parts_that_only_the_whole_letter_has() -> None:
    said = message(of_year())
    assert "12 Jun 2026, vet, radiographs" in said
    assert "Visits not told here: 13." in said
    assert (
        "Not in this message, only in the whole letter: growth of the wall, work and the plan, changes in the horse's life."
        in said
    )


def test_pain_relief_outside_the_chosen_days_is_not_denied(tmp_path: Path) -> None:
    given = [{"Product": "powder", "First given": "1 Jan 2026", "Last given": "2 Jan 2026"}]
    choice = Choice(since=dt.date(2026, 6, 1))
    said = told(
        part(of(tmp_path, choice=choice, Horses=[HAZEL], Soundness=[NOTE], Pain_relief=given), "relief")
    )
    assert said == "No pain relief is written down for these days. That does not show that none was given."


def test_rows_that_could_not_be_read_are_told_where_they_would_have_been(tmp_path: Path) -> None:
    given = [
        {"Product": "powder", "First given": "soon"},
        {"Horse": "Otter", "Product": "gel", "First given": "soon"},
    ]
    horses = [HAZEL, {"Horse": "Otter"}]
    notes = [
        {**NOTE, "Horse": "Hazel"},
        {**NOTE, "Horse": "Hazel", "Date": "31 Feb 2026"},
        {**NOTE, "Horse": "Otter"},
    ]
    given[0]["Horse"] = "Hazel"
    letter = of(tmp_path, Horses=horses, Soundness=notes, Pain_relief=given)
    assert "1 row about pain relief could not be read and may hold more." in told(part(letter, "relief"))
    assert told(part(letter, "lacks")).startswith(
        "Rows that could not be used, and are in none of the figures: 1 of Soundness, 1 of Pain relief."
    )
    assert "1 of Pain relief" in message(letter)


def test_what_is_still_given_is_told_first_however_much_was_given_since(tmp_path: Path) -> None:
    short = [
        {"Product": "gel", "First given": f"{day} Jun 2026", "Last given": f"{day} Jun 2026"}
        for day in range(2, 26)
    ]
    still = {"Product": "powder", "First given": "1 Jan 2026"}
    lines = told(
        part(of(tmp_path, Horses=[HAZEL], Soundness=[NOTE], Pain_relief=[still, *short]), "relief")
    ).splitlines()
    assert lines[0].startswith("powder: first given 1 Jan 2026; no last day")
    assert lines[6] == "Courses not told here: 19."


def test_many_warnings_of_one_kind_are_the_newest_and_a_count_and_the_letter_stays_short(
    tmp_path: Path,
) -> None:
    sore = [{"Foot": "LF", "First seen": f"1 {month} 2026"} for month in ("Jan", "Feb", "Mar", "Apr", "May")]
    shown = told(
        part(of(tmp_path, Horses=[HAZEL], Soundness=[NOTE], Abscesses=sore), "warnings")
    ).splitlines()
    own = [line for line in shown if "Abscess open 14 days" in line]
    assert len(own) == 4
    assert "1 May 2026" in own[2]
    assert "2 more warnings of this kind; the first: Left front: first seen 1 Jan 2026" in own[3]


def test_the_feet_are_those_of_the_days_that_are_told_of() -> None:
    said = told(part(of_year(until=dt.date(2026, 3, 1)), "feet"))
    assert "Oct 2026" not in said
    assert "2026" in said


def _svg(letter: Letter) -> str:
    return next(block.svg for block in part(letter, "course").blocks if isinstance(block, Picture))


def test_what_happened_before_the_first_grade_stands_on_its_own_day(tmp_path: Path) -> None:
    """The axis begins with the first thing that is told of, so that nothing is drawn on a day that it was not."""
    given = [{"Product": "powder", "First given": "1 Jun 2026", "Last given": "3 Jun 2026"}]
    visit = [{"Date": "2 Jun 2026", "Role": "vet"}]
    letter = of(tmp_path, Horses=[HAZEL], Soundness=[NOTE], Pain_relief=given, Visits=visit)
    svg = _svg(letter)
    assert "1 Jun 2026" in svg
    assert "30 Jun" in svg
    bar = re.search(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', svg)
    assert bar
    days = (760 - 172 - 14) / 29  # from 1 to 30 June, on the width between the names and the edge
    assert float(bar[1]) == 172
    assert float(bar[2]) == pytest.approx(2 * days, abs=0.2)
    assert ">vet</text>" in svg


def test_what_was_over_before_the_axis_begins_is_not_drawn_and_that_is_said(tmp_path: Path) -> None:
    given = [{"Product": "powder", "First given": "1 Jun 2020", "Last given": "3 Jun 2020"}]
    visit = [{"Date": "2 Jun 2020", "Role": "vet"}]
    letter = of(tmp_path, Horses=[HAZEL], Soundness=[NOTE], Pain_relief=given, Visits=visit)
    assert not re.search("Pain relief|Visits|>vet<", _svg(letter).partition(">")[2])
    assert "What began before 21 Nov 2025 is not drawn, or only from then on." in told(part(letter, "course"))


def test_the_limb_that_was_graded_last_is_drawn_however_few_its_grades(tmp_path: Path) -> None:
    notes = [
        {**NOTE, "Limb": limb, "Date": f"{day} May 2026"}
        for limb in ("LF", "RF", "LH", "LF RF")
        for day in range(1, 9)
    ]
    letter = of(tmp_path, Horses=[HAZEL], Soundness=[*notes, {**NOTE, "Limb": "RH", "Score": 5}])
    assert ">Right hind</text>" in _svg(letter)
    assert "Limbs or scales not drawn, with fewer or older grades: 1." in told(part(letter, "course"))


def test_of_many_products_the_picture_has_those_given_last(tmp_path: Path) -> None:
    given = [
        {"Product": f"powder {one}", "First given": f"{one} May 2026", "Last given": f"{one} May 2026"}
        for one in range(1, 8)
    ]
    still = {"Product": "still", "First given": "2 May 2026"}
    letter = of(tmp_path, Horses=[HAZEL], Soundness=[NOTE], Pain_relief=[still, *given])
    assert re.findall(r">(powder \d|still)<", _svg(letter)) == ["still", "powder 5", "powder 6", "powder 7"]
    assert "4 products given longer ago not drawn." in told(part(letter, "course"))


def test_an_urgent_warning_that_was_answered_stays_open_and_says_what_was_done(tmp_path: Path) -> None:
    answer = {
        "Date": "29 Jun 2026",
        "Warning": "not-bearing-weight",
        "What was done": "rang the vet",
        "Outcome": "comes at noon",
    }
    note = {**NOTE, "Signs": "won't bear weight", "Score": 5}
    shown = told(part(of(tmp_path, Horses=[HAZEL], Soundness=[note], Follow_up=[answer]), "warnings"))
    assert shown.splitlines()[0] == (
        "now | Not bearing weight (answered 29 Jun 2026) | Recorded on 28 Jun 2026: won't bear weight and grade 5 on the "
        "0-5 scale (LF). Done: rang the vet. Outcome: comes at noon."
    )
