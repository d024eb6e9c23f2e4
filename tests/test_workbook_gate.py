"""The gate refuses whatever is no sound workbook, with the right reason, quickly and in little memory."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import zipfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from packed import MAIN, PACKAGE, PRINT_MOST_MEMORY, SHEET, pack, parts, row, sheet, signposts, strings

from tracker.problem import Unreadable
from tracker.workbook import gate
from tracker.workbook.read import read_workbook

ONE = parts(sheet(row('<c r="A1" t="s"><v>0</v></c>')))
PATIENT = settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def refusal(path: Path) -> str:
    with pytest.raises(Unreadable) as caught:
        read_workbook(path)
    return caught.value.problem.kind


def without(part: str) -> dict[str, str | bytes]:
    return {name: xml for name, xml in ONE.items() if name != part}


def test_the_parts_of_these_tests_make_a_sound_workbook(tmp_path: Path) -> None:
    path = pack(tmp_path / "horse.xlsx", ONE)
    assert read_workbook(path).sheets[0].rows == [["LF"]]
    assert openpyxl.load_workbook(path)["Soundness"]["A1"].value == "LF"


@pytest.mark.parametrize("name", ["horse.csv", "horse.jpg", "horse", ".xlsx"])
def test_only_files_named_like_workbooks_are_read(tmp_path: Path, name: str) -> None:
    assert refusal(pack(tmp_path / name, ONE)) == "file-other-type"


@pytest.mark.parametrize(
    "name", ["horse.xlsx", "HORSE.XLSX", "horse.xlsm", "horse.xls", "horse.xlsb", "horse.ods"]
)
def test_what_a_file_is_its_bytes_say_and_not_its_name(tmp_path: Path, name: str) -> None:
    assert read_workbook(pack(tmp_path / name, ONE)).sheets[0].rows == [["LF"]]


@pytest.mark.parametrize(
    "content",
    [
        b"Date,Score\n4 Mar 2026,2\n",
        b"<html><table><tr><td>2</td></tr></table></html>",
        b"\xff\xd8\xff\xe0 a photograph",
        b"P",
    ],
    ids=["csv", "html", "photo", "one byte"],
)
def test_another_file_with_the_name_of_a_workbook(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "horse.xlsx"
    path.write_bytes(content)
    assert refusal(path) == "file-not-workbook"


@pytest.mark.parametrize(
    "content",
    [
        {"horse.jpg": b"a photograph"},
        {"mimetype": "application/vnd.oasis.opendocument.text", "content.xml": "<office/>"},
        ONE | {"_rels/.rels": signposts(officeDocument="word/document.xml"), "word/document.xml": "<w:document xmlns:w='w'/>"},
    ],
    ids=["an archive", "an OpenDocument letter", "a letter"],
)  # fmt: skip
def test_another_archive_with_the_name_of_a_workbook(tmp_path: Path, content: dict[str, str | bytes]) -> None:
    assert refusal(pack(tmp_path / "horse.xlsx", content)) == "file-not-workbook"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "horse.xlsx")
    assert refusal(tmp_path / "horse.xlsx") == "file-not-workbook"


@pytest.mark.parametrize("name", ["no/such/horse.xlsx", "x" * 300 + ".xlsx", "a\0b.xlsx"])
def test_a_name_that_no_file_has(tmp_path: Path, name: str) -> None:
    assert refusal(tmp_path / name) == "file-missing"


# A file is damaged


def test_a_file_of_noughts_is_what_a_crash_left_of_a_workbook(tmp_path: Path) -> None:
    path = tmp_path / "horse.xlsx"
    path.write_bytes(bytes(9000))
    assert refusal(path) == "file-damaged"


@PATIENT
@given(st.data())
def test_a_file_cut_off_anywhere_is_damaged(tmp_path: Path, data: st.DataObject) -> None:
    path = pack(tmp_path / "horse.xlsx", ONE)
    content = path.read_bytes()
    path.write_bytes(content[: data.draw(st.integers(2, len(content) - 1))])
    assert refusal(path) == "file-damaged"


@PATIENT
@given(st.data())
def test_a_changed_byte_never_gives_another_value(tmp_path: Path, data: st.DataObject) -> None:
    path = pack(tmp_path / "horse.xlsx", ONE)
    content = bytearray(path.read_bytes())
    content[data.draw(st.integers(0, len(content) - 1))] ^= data.draw(st.integers(1, 255))
    path.write_bytes(content)
    with suppress(Unreadable):
        assert read_workbook(path).sheets[0].rows == [["LF"]]


@pytest.mark.parametrize(
    "part", [SHEET, "xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml", "xl/_rels/workbook.xml.rels"]
)
def test_a_part_that_is_missing(tmp_path: Path, part: str) -> None:
    assert refusal(pack(tmp_path / "horse.xlsx", without(part))) == "file-damaged"


BREAKS: dict[str, Callable[[str], str | bytes]] = {
    "cut off": lambda xml: xml[: len(xml) // 2],
    "cut off at its end": lambda xml: xml[:-3],
    "an end that does not fit": lambda xml: xml.replace("</", "</x", 1),
    "two roots": lambda xml: xml + "<again/>",
    "a DOCTYPE": lambda xml: f"<!DOCTYPE x>{xml}",
    "an entity of its own": lambda xml: f'<!DOCTYPE x [<!ENTITY lf "LF">]>{xml}',
    "an unknown entity": lambda xml: xml.replace("<", "<a>&lf;</a><", 1),
    "no text at all": lambda xml: b"\xc3\x28" + xml.encode(),
    "another encoding": lambda xml: f'<?xml version="1.0" encoding="windows-1252"?>{xml}',
    "nothing": lambda _: "",
}  # fmt: skip


@pytest.mark.parametrize(
    "part", [SHEET, "xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml", "_rels/.rels"]
)
@pytest.mark.parametrize("how", BREAKS)
def test_a_part_that_is_broken(tmp_path: Path, part: str, how: str) -> None:
    broken = BREAKS[how](str(ONE[part]))
    assert refusal(pack(tmp_path / "horse.xlsx", ONE | {part: broken})) == "file-damaged"


@pytest.mark.parametrize(
    "cells",
    [
        '<c r="A1" t="s"><v>2</v></c>',
        '<c r="A1" t="s"><v>-1</v></c>',
        '<c r="A0"><v>1</v></c>',
        '<c r="1A"><v>1</v></c>',
        '<c r="$A$1"><v>1</v></c>',
        '<c r=""><v>1</v></c>',
        '<c r="AAAA1"><v>1</v></c>',
        "<c r='XFE1'><v>1</v></c>",
        '<c r="A1"><v>1</c>',
        '<c r="A1" t="str"><v>&lf;</v></c>',
    ],
)
def test_cells_that_no_sheet_can_have(tmp_path: Path, cells: str) -> None:
    assert refusal(pack(tmp_path / "horse.xlsx", parts(sheet(row(cells))))) == "file-damaged"


def test_a_disk_that_fails_midway(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Failing(io.BytesIO):
        def read(self, size: int | None = -1) -> bytes:
            raise OSError(5, "Input/output error")

    path = pack(tmp_path / "horse.xlsx", ONE)
    monkeypatch.setattr(Path, "open", lambda *_: Failing())
    assert refusal(path) == "file-damaged"


# A file is larger than it looks


def big_rows(count: int, cell: bytes) -> Iterator[bytes]:
    """A sheet of `count` rows of 20 cells, row by row; @ stands for a cell's place."""
    cells = b"".join(cell.replace(b"@", b"%c@" % letter) for letter in b"ABCDEFGHIJKLMNOPQRST")
    yield f'<worksheet xmlns="{MAIN}"><sheetData>'.encode()
    for number in range(1, count + 1):
        yield b'<row r="@">%s</row>'.replace(b"%s", cells).replace(b"@", b"%d" % number)
    yield b"</sheetData></worksheet>"


def spaces(path: Path) -> None:
    pack(path, ONE | {SHEET: (b" " * 1_000_000 for _ in range(300))})


def lying_spaces(path: Path) -> None:
    spaces(path)
    content = path.read_bytes()
    path.write_bytes(content.replace((300_000_000).to_bytes(4, "little"), (9_000).to_bytes(4, "little")))


def many_entries(path: Path) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        for number in range(5_000):
            archive.writestr(f"{number:01000}", b"")


def one_text_in_every_cell(path: Path) -> None:
    long_text = strings(f"<si><t>{'horse ' * 5000}</t></si>")
    pack(
        path,
        ONE | {SHEET: big_rows(5_000, b'<c r="@" t="s"><v>0</v></c>'), "xl/sharedStrings.xml": long_text},
    )


def rows_to_the_end(path: Path) -> None:
    pack(path, ONE | {SHEET: big_rows(420_000, b'<c r="@"><v>1</v></c>')})


def nameless_cells(path: Path) -> None:
    wide = row("<c/>" * 900_000 + "<c><v>1</v></c>")
    pack(path, parts(sheet(wide)))


def promised_texts(path: Path) -> None:
    pack(
        path,
        ONE
        | {
            "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}" count="4000000000" uniqueCount="4000000000"><si><t>x</t></si></sst>'
        },
    )


def rectangle_on_every_sheet(path: Path) -> None:
    names = range(400)
    sheets = "".join(f'<sheet name="{n}" sheetId="{n + 1}" r:id="s{n}"/>' for n in names)
    entries = "".join(
        f'<Relationship Id="s{n}" Type="t/worksheet" Target="worksheets/{n}.xml"/>' for n in names
    )
    corners = sheet('<row r="1"><c r="A1"><v>1</v></c></row><row r="9999"><c r="ZZ9999"><v>1</v></c></row>')
    content = ONE | {f"xl/worksheets/{n}.xml": corners for n in names}
    content["xl/workbook.xml"] = f'<workbook xmlns="{MAIN}" xmlns:r="r"><sheets>{sheets}</sheets></workbook>'
    content["xl/_rels/workbook.xml.rels"] = (
        f'<Relationships xmlns="{PACKAGE}/relationships">{entries}</Relationships>'
    )
    pack(path, content)


HEAVY: dict[str, tuple[Callable[[Path], None], str]] = {
    "spaces": (spaces, "file-too-large"),
    "a directory that lies": (lying_spaces, "file-damaged"),
    "a directory that does not end": (many_entries, "file-too-large"),
    "one long text in 100,000 cells": (one_text_in_every_cell, "file-too-large"),
    "8,400,000 filled cells": (rows_to_the_end, "file-too-large"),
    "cells beyond the last column": (nameless_cells, "file-damaged"),
    "a promise of 4,000,000,000 texts": (promised_texts, "read"),
    "two far corners on 400 sheets": (rectangle_on_every_sheet, "file-too-large"),
}
MOST_MEMORY = 500_000_000  # bytes

READ = """
import sys, time
from tracker.problem import Unreadable
from tracker.workbook.read import read_workbook
try:
    read_workbook(sys.argv[1])
    print("read")
except Unreadable as error:
    print(error.problem.kind)
print(time.process_time())
"""


@pytest.mark.parametrize("case", HEAVY)
def test_a_heavy_file_takes_neither_the_memory_nor_the_process(tmp_path: Path, case: str) -> None:
    make, wanted = HEAVY[case]
    make(tmp_path / "horse.xlsx")
    result = subprocess.run(
        [sys.executable, "-c", READ + PRINT_MOST_MEMORY, tmp_path / "horse.xlsx"],
        cwd=Path(__file__).parents[1], capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    outcome, seconds, memory = result.stdout.split()
    assert outcome == wanted
    assert result.stderr == ""
    assert int(memory) < MOST_MEMORY
    assert float(seconds) < 10


def test_repetitive_but_honest_sheets_stay_far_below_the_ratio_that_is_refused(tmp_path: Path) -> None:
    """The same long formula in every cell is the most repetitive sheet that a person makes."""
    cell = b'<c r="@" t="str"><f>IF($A$1="","",VLOOKUP($A$1,Horses!$A$1:$Z$1000,3,FALSE))</f><v></v></c>'
    path = pack(tmp_path / "horse.xlsx", ONE | {SHEET: big_rows(4_000, cell)})
    with zipfile.ZipFile(path) as archive:
        entry = archive.getinfo(SHEET)
    assert entry.file_size > 4_000_000
    assert entry.file_size / entry.compress_size < gate.MOST_RATIO / 2
    assert read_workbook(path).sheets[0].rows == [[""] * 20] * 4_000


# A cell stands too far away

NEAR = row('<c r="A1"><v>1</v></c><c r="B1" t="s"><v>1</v></c>')


@pytest.mark.parametrize(
    ("far", "reference"),
    [
        (row('<c r="XFD1048576"><v>1</v></c>', 1048576), "XFD1048576"),
        (row('<c r="XFD1048576" s="1" t="e"><v>#N/A</v></c>', 1048576), "XFD1048576"),
        (row('<c r="XFD1048576"><f>A1</f></c>', 1048576), "XFD1048576"),
        (row('<c r="XFD1048576" t="str"><v></v></c>', 1048576), None),
        (row('<c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c>', 1048576), "XFD1048576"),
        (row("<c t='inlineStr' r='XFD1048576'><is><r><t>x</t></r></is></c>", 1048576), "XFD1048576"),
        (row('<c r="J1048576"><v>1</v></c>', 1048576), "J1048576"),
        (row('<c r="XFD5000"><v>1</v></c>', 5000), "XFD5000"),
        (row('<c r="XFD9999"><v>1</v></c>', 3), "XFD9999"),
        (row('<c r="A200000"><v>1</v></c><c r="ZZ200000"><v>1</v></c>', 200000), "A200000"),
        (row('<c r="XFD1048576" s="1"/>', 1048576), None),
        (row('<c r="XFD1048576" s="1"></c>', 1048576), None),
        (row('<c r="XFD1048576"><v></v></c>', 1048576), None),
    ],
)
def test_a_far_cell_is_named_if_it_holds_anything(tmp_path: Path, far: str, reference: str | None) -> None:
    path = pack(tmp_path / "horse.xlsx", parts(sheet(NEAR + far)))
    if reference is None:
        assert read_workbook(path).sheets[0].rows == [[1.0, "left front"]]
        return
    with pytest.raises(Unreadable) as caught:
        read_workbook(path)
    assert caught.value.problem.message == (
        f"horse.xlsx has a filled cell at Soundness!{reference}, far away from everything else."
    )


def test_a_dimension_that_lies_is_not_believed(tmp_path: Path) -> None:
    for claim in ("A1", "A1:XFD1048576", "nonsense"):
        xml = sheet(NEAR).replace("<sheetData>", f'<dimension ref="{claim}"/><sheetData>')
        path = pack(tmp_path / "horse.xlsx", parts(xml))
        assert read_workbook(path).sheets[0].rows == [[1.0, "left front"]]
