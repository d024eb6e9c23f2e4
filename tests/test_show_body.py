"""A horse's body in words: with its error, beside published and usual values, and never a reassurance."""

from __future__ import annotations

import json
import re

from test_derive_body import STEADY, of

from tracker.show.body import VITALS_NOTE, body_view
from tracker.show.body_json import body_data
from tracker.show.body_text import body_lines

WEIGHTS = "date | girth | body_length | condition_score\n" + "".join(
    f"2026-{month:02}-10 | {1900 - 20 * month} | 1600 | {6 if month < 8 else 4}\n" for month in range(4, 11)
)


def test_weight_and_condition() -> None:
    view = body_view(of(WEIGHTS))
    taped, condition = view.trends
    assert (taped.name, taped.value, taped.when) == ("Weight by tape", "389 kg ± 13 kg", "10 Oct 2026")
    assert taped.told == (
        "57 kg less than on 10 Apr 2026, at least the measuring error. Since 10 Apr 2026 (7 days noted) it fell by 9.3 kg a "
        "month (11.9 kg less to 6.8 kg less a month)."
    )
    assert (condition.value, condition.told) == (
        "4.0 ± 1.0",
        "2.0 less than on 10 Apr 2026, at least the measuring error.",
    )
    assert view.note.startswith(
        "Weight by tape is girth × girth × body length ÷ 11,900 in cm and kg, for grown horses of any breed (by Carroll and "
        "Huntington 1988, Equine Vet J 20:41)."
    )


def test_one_reading_and_no_change() -> None:
    (one,) = body_view(of("date | weight\n 2026-04-01 | 450")).trends
    assert one.told == "The first reading."
    (two,) = body_view(of("date | weight\n 2026-04-01 | 450\n 2026-05-01 | 440")).trends
    assert two.told == "No change beyond the measuring error since 1 Apr 2026."


def test_vital_signs() -> None:
    temperature, heart = body_view(of(STEADY + "2026-05-01 | 39.2 | 36")).vitals
    assert (temperature.value, temperature.published, temperature.usual) == (
        "39.2 °C", "37.2 to 38.6", "37.5 (37.4 to 37.6; 10 readings)",
    )  # fmt: skip
    assert temperature.told == (
        "Above the published range. Above what is usual for this horse. 38.9 and more is where a vet is to be rung "
        "(Virginia Tech clinician in US Eventing 2021; Purdue Veterinary Hospital)."
    )
    assert (heart.value, heart.told) == ("36 a minute", "")


def test_under_pain_relief_it_says_so() -> None:
    relief = "product | first_given\n phenylbutazone | 2026-04-01"
    temperature, _ = body_view(of(STEADY, relief)).vitals
    assert temperature.value == "37.5 °C (under pain relief)"
    assert temperature.usual == "too few readings outside pain relief"


def test_nothing_it_says_reassures() -> None:
    view = body_view(of(STEADY))
    said = " ".join([view.note, VITALS_NOTE, *(one.told for one in (*view.trends, *view.vitals))])
    assert not re.search(r"\b(normal|healthy|sound|fine|good|ok)\b", said, re.IGNORECASE)
    assert "does not mean that nothing is wrong" in said


def test_lines_and_json() -> None:
    lines = body_lines(body_view(of(WEIGHTS)), 92)
    assert lines[:2] == ["", "Body"]
    assert lines[2].startswith("  Weight by tape: 389 kg ± 13 kg on 10 Oct 2026. 57 kg less")
    assert body_lines(body_view(of("")), 92) == []
    data = json.loads(json.dumps(body_data(of(WEIGHTS)), allow_nan=False))
    assert data["weight_formula"]["divisor"] == 11900
    assert data["weight_by_tape"]["readings"][-1] == {
        "date": "2026-10-10",
        "value": 388.571429,
        "sd": 6.670067,
    }
    assert data["weight_as_written"] is None
    assert data["weight_by_tape"]["since_first"]["beyond_error"] is True
    assert body_data(of("")) is None
    (sign, _) = json.loads(json.dumps(body_data(of(STEADY)), allow_nan=False))["vitals"]
    assert (sign["name"], sign["unit"], sign["beside_published"], sign["usual"]["readings"]) == (
        "temperature", "Cel", "within", 9,
    )  # fmt: skip
