"""Files that are no workbook of ours: one sentence each, quickly, in little memory, and no traceback."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from packed import PRINT_MOST_MEMORY

from tracker.problem import Unreadable
from tracker.workbook.read import read_workbook

ROOT = Path(__file__).parents[1]
COMPOUND_FILE = bytes.fromhex("D0CF11E0A1B11AE1")  # [MS-CFB] §2.2, the signature of a compound file
MOST_MEMORY = 500_000_000  # bytes


def missing(path: Path) -> None:
    """Nothing is there."""


def folder(path: Path) -> None:
    path.mkdir()


def empty(path: Path) -> None:
    path.write_bytes(b"")


def words(path: Path) -> None:
    path.write_text("Bramble was lame today.")


def password(path: Path) -> None:
    path.write_bytes(COMPOUND_FILE + bytes(1016) + "EncryptedPackage".encode("utf-16-le") + bytes(512))


def old_workbook(path: Path) -> None:
    path.write_bytes(COMPOUND_FILE + bytes(1016) + "Workbook".encode("utf-16-le") + bytes(512))


def small(path: Path, **cells: object) -> None:
    """A workbook with a Soundness sheet of a heading, a note, and these cells."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Soundness"
    sheet.append(["Date", "Score"])
    sheet.append(["4 Mar 2026", "2/5"])
    for reference, value in cells.items():
        sheet[reference] = value
    book.save(path)


def far_cell(path: Path) -> None:
    small(path, XFD1048576="x")


def cut_off(path: Path) -> None:
    small(path)
    path.write_bytes(path.read_bytes()[:-400])


def replaced(path: Path, part: str, change: Callable[[bytes], bytes]) -> None:
    """A small workbook with one part changed."""
    small(path)
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts[part] = change(parts[part])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)


def broken_xml(path: Path) -> None:
    replaced(path, "xl/worksheets/sheet1.xml", lambda xml: xml.replace(b"</row>", b"</raw>"))


def doctype(path: Path) -> None:
    entity = b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>'
    replaced(path, "xl/worksheets/sheet1.xml", lambda xml: entity + xml)


def bomb(path: Path) -> None:
    """A sheet that unpacks to 2 GB of spaces."""
    small(path)
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, content in parts.items():
            if name == "xl/worksheets/sheet1.xml":
                with archive.open(name, "w", force_zip64=True) as part:
                    for _ in range(200):
                        part.write(b" " * 10_000_000)
            else:
                archive.writestr(name, content)


def lying_bomb(path: Path) -> None:
    """The same, but the zip's directory promises a small size."""
    bomb(path)
    content = bytearray(path.read_bytes())
    directory = content.rfind(b"PK\x01\x02", 0, content.rfind(b"xl/worksheets/sheet1.xml"))
    content[directory + 24 : directory + 28] = (5000).to_bytes(4, "little")
    path.write_bytes(content)


def other(path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["Number", "Sum"])  # type: ignore[union-attr]
    book.save(path)


def blank(path: Path) -> None:
    from tracker import write_blank

    write_blank(path)


CASES: dict[str, tuple[Callable[[Path], None], str, str]] = {
    "missing": (missing, "horse.xlsx", "There is no file {path}: look at the name and the folder; `soundness new {path}` makes a blank workbook."),
    "folder": (folder, "horse.xlsx", "{path} is a folder, and no CSV file in it is named after a sheet, as Soundness.csv is: name the workbook inside it, or name its CSV files after the sheets."),
    "other type": (words, "horse.docx", "horse.docx is not a workbook (.xlsx or .xlsm; or, to be read only, .xls, .xlsb, .ods or a folder of CSV files): save it from your spreadsheet program as an Excel workbook (.xlsx)."),
    "a picture": (words, "horse.jpg", "horse.jpg is not a workbook (.xlsx or .xlsm; or, to be read only, .xls, .xlsb, .ods or a folder of CSV files): save it from your spreadsheet program as an Excel workbook (.xlsx)."),
    "empty": (empty, "horse.xlsx", "horse.xlsx is empty, with no bytes in it at all: take the last good copy of the workbook."),
    "no workbook": (words, "horse.xlsx", "horse.xlsx is not a workbook, though its name ends like one: open it in your spreadsheet program and save it as an Excel workbook (.xlsx)."),
    "old workbook": (old_workbook, "horse.xlsx", "DAMAGED"),
    "password": (password, "horse.xlsx", "horse.xlsx is protected by a password: take the password off in your spreadsheet program and save it again."),
    "cut off": (cut_off, "horse.xlsx", "DAMAGED"),
    "broken xml": (broken_xml, "horse.xlsx", "DAMAGED"),
    "doctype": (doctype, "horse.xlsx", "DAMAGED"),
    "far cell": (far_cell, "horse.xlsx", "horse.xlsx has a filled cell at Soundness!XFD1048576, far away from everything else: delete that cell's column or row in your spreadsheet program and save again."),
    "bomb": (bomb, "horse.xlsx", "horse.xlsx holds far more than a record can, so it was not opened: copy the rows you need into a new workbook."),
    "lying bomb": (lying_bomb, "horse.xlsx", "DAMAGED"),
    "something else": (other, "horse.xlsx", "horse.xlsx is a workbook of something else, with none of the sheets Horses, Soundness, Visits, Abscesses, Hooves and the like: `soundness new` makes a blank workbook with the right sheets."),
    "no records": (blank, "horse.xlsx", "horse.xlsx holds no records yet: enter the horse on the Horses sheet and today's note on the Soundness sheet, then try again."),
}  # fmt: skip
DAMAGED = (
    "horse.xlsx is damaged and cannot be read to its end: open it in your spreadsheet program, let it repair the file, "
    "and save it again; or take the last good copy."
)

# Runs a command and prints, as the last line, the most memory that it took, in bytes.
MEASURED = f"""
import sys
from tracker.cli import main
sys.argv = ["soundness", *sys.argv[1:]]
try:
    main()
finally:
    exec({PRINT_MOST_MEMORY!r})
"""


@pytest.mark.parametrize("command", ["check", "review"])
@pytest.mark.parametrize("case", CASES)
def test_a_bad_file_gives_one_sentence(tmp_path: Path, case: str, command: str) -> None:
    make, name, sentence = CASES[case]
    path = tmp_path / name
    make(path)
    result = subprocess.run(
        [sys.executable, "-c", MEASURED, command, str(path)],
        capture_output=True, text=True, check=False, timeout=30,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    wanted = DAMAGED if sentence == "DAMAGED" else sentence.replace("{path}", str(path))
    assert (result.stderr, result.returncode) == (f"{wanted}\n", 2)
    assert int(result.stdout) < MOST_MEMORY


@pytest.mark.parametrize(
    ("failure", "slug"),
    [
        (PermissionError(13, "Permission denied"), "file-no-permission"),
        (OSError(16, "Device or resource busy"), "file-locked"),
        (OSError(11, "Resource temporarily unavailable"), "file-locked"),
    ],
)
def test_a_file_that_may_not_be_read_or_is_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failure: OSError, slug: str
) -> None:
    path = tmp_path / "horse.xlsx"
    small(path)

    def refuse(*_: object, **__: object) -> object:
        raise failure

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(Unreadable) as caught:
        read_workbook(path)
    assert caught.value.problem.kind == slug


def test_a_file_that_a_sharing_program_holds_on_windows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "horse.xlsx"
    small(path)
    failure = PermissionError(13, "The process cannot access the file")
    failure.winerror = 32  # type: ignore[attr-defined]

    def refuse(*_: object, **__: object) -> object:
        raise failure

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(Unreadable) as caught:
        read_workbook(path)
    assert caught.value.problem.kind == "file-locked"


@pytest.mark.parametrize("lock", ["~$horse.xlsx", ".~lock.horse.xlsx#"])
def test_the_lock_of_a_spreadsheet_program_does_not_stop_reading(tmp_path: Path, lock: str) -> None:
    path = tmp_path / "horse.xlsx"
    small(path)
    (tmp_path / lock).write_text("held")
    assert read_workbook(path).sheets[0].rows[1] == ["4 Mar 2026", "2/5"]


def test_only_a_filled_cell_counts_as_far_away(tmp_path: Path) -> None:
    path = tmp_path / "horse.xlsx"
    small(path, XFD1048576=None)
    book = openpyxl.load_workbook(path)
    book["Soundness"]["XFD1048576"].number_format = "0.0"
    book.save(path)
    assert read_workbook(path).sheets[0].rows[:2] == [["Date", "Score"], ["4 Mar 2026", "2/5"]]
