"""The process that reads the old and the binary kind may end, hang or swell; the program goes on with a sentence."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
import xlsxwriter
from other_formats import binary_cell, binary_row, convert, pack_xlsb
from packed import PRINT_MOST_MEMORY

from tracker.problem import Unreadable
from tracker.workbook.formats import own_process
from tracker.workbook.read import read_workbook

ROOT = Path(__file__).parents[1]
REAL = f"import runpy; real = runpy.run_path({str(ROOT / 'tracker' / 'workbook' / 'formats' / 'calamine_process.py')!r})\n"
posix = pytest.mark.skipif(sys.platform == "win32", reason="this system limits no process")


def reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, reader: str) -> str:
    """Why a sound workbook cannot be read where the other process does this."""
    (tmp_path / "reader.py").write_text(REAL + reader)
    monkeypatch.setattr(own_process, "_READER", tmp_path / "reader.py")
    with pytest.raises(Unreadable) as caught:
        read_workbook(pack_xlsb(tmp_path / "horse.xlsb", [("Soundness", binary_row(0, binary_cell(0, 1.0)))]))
    return caught.value.problem.kind


@pytest.mark.parametrize(
    ("reader", "wanted"),
    [
        ("import os; os.abort()", "file-damaged"),
        ("raise SystemExit(3)", "file-damaged"),
        ("real['_limit'](4, 400_000_000); bytearray(900_000_000)", "file-too-large"),
        ("import sys; sys.stderr.write('memory allocation of 9 bytes failed'); sys.stderr.flush(); import os; os.abort()", "file-too-large"),
    ],
)  # fmt: skip
@posix
def test_a_process_that_ends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, reader: str, wanted: str
) -> None:
    assert reading(tmp_path, monkeypatch, reader) == wanted


@posix
def test_a_process_that_works_without_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert (
        reading(tmp_path, monkeypatch, "real['_limit'](1, 800_000_000)\nwhile True: pass") == "file-too-large"
    )


def test_a_process_that_waits_without_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own_process, "_PATIENCE", 1)
    start = time.monotonic()
    assert reading(tmp_path, monkeypatch, "import time; time.sleep(60)") == "file-too-large"
    assert time.monotonic() - start < 10


READ = """
import sys
from tracker.problem import Unreadable
from tracker.workbook.read import read_workbook
try:
    read_workbook(sys.argv[1])
except Unreadable as error:
    print(error.problem.kind)
"""


def test_an_old_workbook_with_a_cell_in_every_corner_fills_no_memory(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "horse.xlsx") as book:
        page = book.add_worksheet("Soundness")
        page.write("A1", 1)
        page.write("IV65536", 1)
    path = convert(tmp_path / "horse.xlsx", "xls")
    result = subprocess.run(
        [sys.executable, "-c", READ + PRINT_MOST_MEMORY, path],
        cwd=ROOT, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    outcome, memory = result.stdout.split()
    assert (outcome, result.stderr) == ("file-too-large", "")
    assert int(memory) < 300_000_000


def test_no_file_of_the_folder_one_stands_in_is_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = pack_xlsb(tmp_path / "horse.xlsb", [("Soundness", binary_row(0, binary_cell(0, 1.0)))])
    (tmp_path / "pickle.py").write_text("open('was-run', 'w')")
    monkeypatch.chdir(tmp_path)
    assert read_workbook(path).sheets[0].rows == [[1.0]]
    assert not os.path.exists("was-run")
