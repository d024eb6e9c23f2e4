"""What goes on in a record, and what its cells hold as typed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import openpyxl

from tracker import open_book
from tracker.show.open_records import as_typed, open_records
from tracker.workbook.new.blank import write_workbook

SINCE = dt.date.today() - dt.timedelta(days=9)


def test_only_what_has_no_end_goes_on(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    write_workbook(
        file,
        {
            "Horses": [{"Horse": "Bramble"}, {"Horse": "Willow"}],
            "Abscesses": [
                {"Horse": "Willow", "Foot": "RH", "First seen": SINCE, "Comfortable again": dt.date.today()},
                {"Horse": "Willow", "Foot": "LF", "First seen": SINCE},
            ],
            "Pain relief": [
                {"Horse": "Bramble", "Product": "phenylbutazone", "First given": SINCE, "Last given": SINCE},
                {"Horse": "Bramble", "Product": "bute and meloxicam", "First given": SINCE},
            ],
        },
    )
    found = open_records(open_book(file))
    assert [(record.sheet, record.row) for record in found] == [("Pain relief", 3), ("Abscesses", 3)]
    assert found[1].said.startswith("Willow, abscess, left front, since ")
    assert found[1].values == {"horse": "Willow", "foot": "LF", "first_seen": SINCE.isoformat()}


def test_a_records_cells_are_given_as_their_owner_typed_them(tmp_path: Path) -> None:
    file = tmp_path / "barn.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Abscesses"
    sheet.append(["My abscesses"])
    sheet.append(["Care given", "Foot", "First seen", "Own notes"])
    sheet.append(["poultice ", "Left Front", dt.datetime.combine(SINCE, dt.time()), "blue"])
    book.save(file)
    opened = open_book(file)
    (record,) = open_records(opened)
    assert record.row == 3
    assert as_typed(opened, record) == {
        "care_given": "poultice ", "foot": "Left Front", "first_seen": SINCE.isoformat(),
    }  # fmt: skip
