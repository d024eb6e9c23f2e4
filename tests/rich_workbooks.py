"""Rich workbooks of our own invention, whose record is real and around which stands what no library keeps.

`WORKBOOKS` holds every one by name; `content` makes its bytes, once. `python tests/rich_workbooks.py FOLDER` writes
them all, for a look at them in a spreadsheet program.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

from rich_parts import additions, by_xlsxwriter, habits
from rich_parts.packing import Package

MACROS = b"not a real project, only bytes of our own: " + bytes(range(256))
SIGNED_MACROS = b"no real signature either"


def rich(*more: Callable[[Package], None], macros: bytes | None = None, signed: bytes | None = None) -> bytes:
    """The record among all the riches, and what more is put in."""
    book = Package.unpacked(by_xlsxwriter.everything(macros, signed))
    for add in (*additions.ALL, *more):
        add(book)
    return book.packed()


def by_libreoffice(content: bytes) -> bytes:
    """A workbook as LibreOffice saves it."""
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "source.xlsx"
        source.write_bytes(content)
        return converted(source, kind="xlsx", folder=Path(folder) / "out").read_bytes()


def converted(*paths: Path, kind: str, folder: Path) -> Path:
    """What LibreOffice makes of workbooks, without a window; `kind` is an ending such as ods. The last one is given."""
    office = shutil.which("soffice")
    assert office, "LibreOffice is not installed: apt install libreoffice-calc-nogui"
    own = f"-env:UserInstallation={(folder / 'profile').absolute().as_uri()}"
    done = subprocess.run(
        [office, own, "--headless", "--convert-to", kind, "--outdir", str(folder), *map(str, paths)],
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    made = folder / f"{paths[-1].stem}.{kind}"
    assert made.exists(), done.stderr
    return made


WORKBOOKS: dict[str, Callable[[], bytes]] = {
    "rich": rich,
    "macros": lambda: rich(macros=MACROS),
    "libreoffice": lambda: by_libreoffice(habits.excel()),
    "libreoffice-rich": lambda: by_libreoffice(rich()),
    **habits.HABITS,
}
REFUSED: dict[str, Callable[[], bytes]] = {
    "signed": lambda: rich(additions.signature),
    "signed-macros": lambda: rich(macros=MACROS, signed=SIGNED_MACROS),
    "protected": lambda: rich(additions.protection),
    "strict": lambda: rich(additions.strict),
}


@cache
def content(name: str) -> bytes:
    """The bytes of a workbook by its name."""
    return (WORKBOOKS | REFUSED)[name]()


def ending(name: str) -> str:
    """The ending of its file's name."""
    return ".xlsm" if "macros" in name else ".xlsx"


if __name__ == "__main__":
    for name in WORKBOOKS | REFUSED:
        (Path(sys.argv[1]) / f"{name}{ending(name)}").write_bytes(content(name))
