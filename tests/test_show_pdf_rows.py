"""The rows of printed tables have a head that a screen reader can say with each cell: ISO 32000-1, 14.8.4.3.4 and 14.8.5.7."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from letters import of_year
from printed import elements, read
from pypdf import PdfReader

from tracker.show.letter.paper import paper
from tracker.show.paper.card import Card
from tracker.show.paper.paper import paper_pdf
from tracker.show.pdf_rows import with_row_heads

MADE = dt.date(2026, 3, 1)


def form(start: dt.date | None, *, measuring: bool = False) -> PdfReader:
    return read(paper_pdf(Card("Bramble"), MADE, days=31, start=start, measuring=measuring))


def table_rows(reader: PdfReader) -> list[list[Any]]:
    """The cells of every row below the column heads."""
    rows = [tag["/K"] for tag in elements(reader) if tag["/S"] == "/TR"]
    cells = [[cell.get_object() for cell in row] for row in rows]
    return [row for row in cells if any(cell["/S"] == "/TD" for cell in row)]


def about_table(cell: Any) -> dict[str, Any]:
    """What a cell says of its table."""
    told = cell["/A"]
    return next(one for one in (told if isinstance(told, list) else [told]) if one["/O"] == "/Table")


def ids(reader: PdfReader) -> dict[str, Any]:
    names = reader.trailer["/Root"]["/StructTreeRoot"]["/IDTree"]["/Names"]
    assert [*names[::2]] == sorted(names[::2])
    return {name: cell.get_object() for name, cell in zip(names[::2], names[1::2], strict=True)}


def test_each_day_of_the_form_is_the_head_of_its_row() -> None:
    rows = table_rows(form(MADE))
    assert len(rows) == 31
    for first, *others in rows:
        assert (first["/S"], about_table(first)["/Scope"]) == ("/TH", "/Row")
        assert {cell["/S"] for cell in others} == {"/TD"}


@pytest.mark.parametrize(
    "typed", ["/S/TR/P 1 0 R/K[9999 0 R]", "/S/TR/P 1 0 R/K[6 0 R]", "/IDTree<</Names[x]"]
)
def test_a_name_that_reads_like_a_tag_is_a_name(typed: str) -> None:
    reader = read(paper_pdf(Card(typed), MADE, days=31, start=MADE, measuring=False))
    assert {row[0]["/S"] for row in table_rows(reader)} == {"/TH"}
    assert all(name in ids(reader) for row in table_rows(reader) for name in about_table(row[1])["/Headers"])
    assert typed in str(reader.metadata.title if reader.metadata else "")


def test_an_empty_day_is_the_head_of_nothing() -> None:
    assert {cell["/S"] for row in table_rows(form(None)) for cell in row} == {"/TD"}


@pytest.mark.parametrize("what", ["form", "letter"])
def test_each_cell_names_its_row_and_its_column_and_these_are_found(what: str) -> None:
    reader = form(MADE, measuring=True) if what == "form" else read(paper(of_year()))
    known = ids(reader)
    rows = [
        row for row in table_rows(reader) if any(cell["/K"] for cell in row)
    ]  # some are left to be written
    assert rows
    for row in rows:
        (head,) = (cell for cell in row if cell["/S"] == "/TH")
        assert known[head["/ID"]] == head
        for cell in row:
            named = [known[name] for name in about_table(cell)["/Headers"]]
            assert (head in named) == (cell is not head)
            assert any(about_table(one)["/Scope"] == "/Column" for one in named)


def test_the_pages_are_as_they_were_and_what_is_no_such_file_is_left_alone() -> None:
    reader = read(paper(of_year()))
    assert "Toe angle" in "".join(sheet.extract_text() for sheet in reader.pages)
    assert with_row_heads(b"%PDF-1.7 of another kind") == b"%PDF-1.7 of another kind"
    made = paper(of_year())
    assert with_row_heads(made) == made
