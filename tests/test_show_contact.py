"""The vet's number as a telephone wants it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tracker import open_book
from tracker.show.contact import Contact, dialled, vet_of
from tracker.workbook.new.blank import write_workbook


@pytest.mark.parametrize(
    ("typed", "dial"),
    [
        ("01632 960 001", "01632960001"),
        ("+44 (0)1632 960001", "+441632960001"),
        ("(01632) 960-001", "01632960001"),
        ("Tel. 01632/960001", "01632960001"),
        ("01632 960001 / 07700 900123", "01632960001"),
        ("01632 960001 ext 5", "01632960001"),
        ("01632 960001; at night 07700 900123", "01632960001"),
        ("112", "112"),
        ("ask Jo", ""),
        ("", ""),
        ("12", ""),
    ],
)
def test_a_number_is_dialled_as_typed_without_its_ornaments(typed: str, dial: str) -> None:
    """Numbers of the ranges that Ofcom keeps for drama (01632 960, 07700 900); a tel link is RFC 3966, 3."""
    assert dialled(typed) == dial


def test_the_vet_is_that_of_the_horse(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    horses = [{"Horse": "Bramble", "Vet": "Dr Aldous", "Vet phone": "01632 960 001"}, {"Horse": "Willow"}]
    write_workbook(file, {"Horses": horses})
    book = open_book(file)
    assert vet_of(book, "bramble") == Contact("Dr Aldous", "01632 960 001", "01632960001")
    assert vet_of(book, "Willow") == Contact("", "", "")
    assert vet_of(book, "Nobody") == Contact("", "", "")
