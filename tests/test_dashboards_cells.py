"""The cells of a warning in few words, and none of them lost."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboards.cells import SHOWN, places, told


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ([], []),
        (["Soundness!F12"], ["Soundness!F12"]),
        (["Soundness!F12", "Soundness!F13"], ["Soundness!F12 to F13"]),
        (["Soundness!F14", "Soundness!F12", "Soundness!F13"], ["Soundness!F12 to F14"]),
        (["Soundness!F12", "Soundness!F14"], ["Soundness!F12", "Soundness!F14"]),
        (["Soundness!F12", "Soundness!G13"], ["Soundness!F12", "Soundness!G13"]),
        (["Soundness!F12", "Visits!F13"], ["Soundness!F12", "Visits!F13"]),
        (["Pain relief!AB9", "Pain relief!AB10"], ["Pain relief!AB9 to AB10"]),
        (["Soundness!F12", "Visits!A2", "Soundness!F13"], ["Soundness!F12 to F13", "Visits!A2"]),
        (["Soundness!F12", "Soundness!F12"], ["Soundness!F12"]),
    ],
)
def test_cells_one_below_the_other_are_one_place(cells: list[str], said: list[str]) -> None:
    assert places(cells) == said


def test_many_places_are_folded_away_and_all_are_there() -> None:
    few, more = told([f"Soundness!F{row}" for row in range(2, 2 * SHOWN + 4, 2)])
    assert few == "Cells: Soundness!F2, Soundness!F4, Soundness!F6, Soundness!F8 and 1 more. "
    (details,) = more
    summary, rest = details.children
    assert summary.children == "All cells"
    assert rest.children == "Soundness!F2, Soundness!F4, Soundness!F6, Soundness!F8, Soundness!F10"
    assert told([f"Soundness!F{row}" for row in range(2, 40)]) == ("Cells: Soundness!F2 to F39. ", [])
    assert told([]) == ("", [])


@given(
    st.lists(
        st.tuples(st.sampled_from(["Soundness", "Pain relief"]), st.sampled_from("FA"), st.integers(2, 30))
    )
)
def test_no_cell_is_lost_and_none_is_added(cells: list[tuple[str, str, int]]) -> None:
    again = set()
    for place in places([f"{sheet}!{column}{row}" for sheet, column, row in cells]):
        sheet, column, first, last = re.fullmatch(r"(.+)!([A-Z]+)(\d+)(?: to [A-Z]+(\d+))?", place).groups()  # type: ignore[union-attr]
        again |= {(sheet, column, row) for row in range(int(first), int(last or first) + 1)}
    assert again == set(cells)
