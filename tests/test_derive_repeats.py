"""An owner's own repeats replace the default error, once there are enough of them."""

from __future__ import annotations

import math

import pytest
from tables import table

from tracker.derive.hooves import hoof_records
from tracker.derive.repeats import ENOUGH, LEAST_PART, own_sds
from tracker.reference.measuring import TOE_WALL, reading_sd
from tracker.sheets import HOOVES

# Worked example, Bland and Altman 1996, BMJ 313:744, table 1: peak expiratory flow (l/min), 4 readings of 20 children.
CHILDREN = """
190 220 200 200 | 220 200 240 230 | 260 260 240 280 | 210 300 280 265 | 270 265 280 270
280 280 270 275 | 260 280 280 300 | 275 275 275 305 | 280 290 300 290 | 320 290 300 290
300 300 310 300 | 270 250 330 370 | 320 330 330 330 | 335 320 335 375 | 350 320 340 365
360 320 350 345 | 330 340 380 390 | 335 385 360 370 | 400 420 425 420 | 430 460 480 470
"""


def test_the_within_subject_standard_deviation_is_that_of_the_published_example() -> None:
    """The paper gives 21.5 l/min; its table as typed here from memory, so the check is on the pooled variance itself."""
    occasions = [
        {("toe_angle", "gauge"): [float(value) for value in child.split()]}
        for line in CHILDREN.split("\n")
        for child in line.split("|")
        if child.strip()
    ]
    values = [occasion["toe_angle", "gauge"] for occasion in occasions]
    variances = [sum((v - sum(g) / 4) ** 2 for v in g) / 3 for g in values]
    found = own_sds(occasions)[TOE_WALL, "gauge"]
    assert found == pytest.approx(math.sqrt(sum(variances) / len(variances)))
    assert found == pytest.approx(21.5, abs=0.3)


def twice(pairs: int, apart: float) -> str:
    rows = ["date | foot | stage | measured_with | toe_angle | remarks"]
    for number in range(pairs):
        for reading in (50, 50 + apart):
            rows.append(f"2026-01-{number + 1:02d} | LF | after trim | gauge | {reading} | reading {reading}")
    return "\n".join(rows)


def sd_of(pairs: int, apart: float) -> float:
    record = hoof_records(table(HOOVES, twice(pairs, apart)))[-1]
    return record.measures["toe_angle"].sd * math.sqrt(2)  # of the mean of two


def test_enough_repeats_replace_the_default() -> None:
    assert sd_of(ENOUGH - 1, 2) == pytest.approx(reading_sd("toe_angle", "gauge"))
    assert sd_of(ENOUGH, 2) == pytest.approx(2 / math.sqrt(2))


def test_nobody_is_believed_to_be_much_surer_than_trained_people() -> None:
    assert sd_of(ENOUGH, 0.01) == pytest.approx(LEAST_PART * reading_sd("toe_angle", "gauge"))


def test_one_photograph_that_was_read_again_is_no_second_one() -> None:
    same, each = photographs(8)
    usual = reading_sd("toe_angle", "photo")
    assert same == pytest.approx(usual)
    assert each == pytest.approx(8 / math.sqrt(2))


def test_photographs_that_agree_do_not_show_how_the_horse_stood() -> None:
    usual = reading_sd("toe_angle", "photo")
    assert photographs(0.2) == [pytest.approx(usual), pytest.approx(usual)]


def photographs(apart: float) -> list[float]:
    """The toe angle's sd where one photograph was read twice, and where two were taken, on each of so many days."""
    head, *rest = twice(ENOUGH, apart).replace("gauge", "photo").splitlines()
    same = "\n".join([f"{head} | photo", *(f"{row} | {row[:10]}.jpg" for row in rest)])
    each = "\n".join([f"{head} | photo", *(f"{row} | {number}.jpg" for number, row in enumerate(rest))])
    return [hoof_records(table(HOOVES, text))[-1].measures["toe_angle"].sd for text in (same, each)]


def test_a_way_learns_nothing_from_another() -> None:
    text = twice(ENOUGH, 2) + "\n2026-02-01 | LF | after trim | photo | 51 |"
    (photo,) = (record for record in hoof_records(table(HOOVES, text)) if record.way == "photo")
    assert photo.measures["toe_angle"].sd == pytest.approx(reading_sd("toe_angle", "photo"))
