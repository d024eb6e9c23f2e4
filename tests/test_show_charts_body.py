"""The lane of weights: what is drawn, and where it is left out."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from tracker import open_book
from tracker.show.charts.body import weight_lane
from tracker.show.charts.scene import Lane, Scene
from tracker.workbook.new.blank import write_workbook

ON = dt.date(2026, 6, 30)


def lane(tmp_path: Path, *girths: int, **more: object) -> Lane | None:
    file = tmp_path / "barn.xlsx"
    rows = [
        {"Date": dt.date(2026, month, 4), "Girth": f"{girth} cm", "Body length": "160 cm", **more}
        for month, girth in enumerate(girths, start=1)
    ]
    write_workbook(file, {"Horses": [{"Horse": "Moss"}], "Body": rows})
    book = open_book(file, on=ON)
    return weight_lane(Scene(book, book.horses[0], None, narrow=False))


def test_each_weight_with_its_error(tmp_path: Path) -> None:
    found = lane(tmp_path, 186, 184, 180, **{"Condition score": 6})
    assert found is not None
    (drawn,) = found.traces
    assert list(drawn.y) == pytest.approx([465.2, 455.2, 435.6], abs=0.1)
    assert drawn.error_y.array[2] == pytest.approx(
        1.96 * 435.6 * ((2 / 180) ** 2 + (2 / 160) ** 2) ** 0.5, abs=0.01
    )
    assert found.low < min(drawn.y) - drawn.error_y.array[2]
    assert found.high > max(drawn.y) + drawn.error_y.array[0]
    assert all(found.low <= tick <= found.high for tick, _ in found.ticks)
    assert len(found.ticks) >= 2
    assert "condition 6 of 9" in drawn.hovertext[0]
    assert "Body!" in drawn.hovertext[0]


def test_two_weights_are_said_in_words_only(tmp_path: Path) -> None:
    assert lane(tmp_path, 186, 184) is None
