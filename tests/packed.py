"""Workbooks packed by hand, part by part: what no library would write; and what reading one takes."""

from __future__ import annotations

import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONSHIPS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHEET = "xl/worksheets/sheet1.xml"

_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
# Styles 0 to 3: no format, a day, hours beyond 24, and a moment (ISO/IEC 29500-1 §18.8.30, numbers 14, 46, 22).
_STYLES = (
    f'<styleSheet xmlns="{MAIN}"><fonts count="1"><font/></fonts>'
    '<fills count="1"><fill><patternFill/></fill></fills><borders count="1"><border/></borders>'
    '<cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="4"><xf numFmtId="0"/>'
    '<xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="46" applyNumberFormat="1"/>'
    '<xf numFmtId="22" applyNumberFormat="1"/></cellXfs></styleSheet>'
)

# Python that prints the most memory that its process has held, in bytes. On Linux the usual figure, ru_maxrss,
# has the parent's memory in it, so there the process's own high water mark is read.
PRINT_MOST_MEMORY = """
import pathlib, resource, sys
status = pathlib.Path("/proc/self/status")
if status.exists():
    print(int(status.read_text().split("VmHWM:")[1].split()[0]) * 1024)
else:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024))
"""


def sheet(rows: str) -> str:
    """A sheet's XML from the XML of its rows."""
    return f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'


def row(cells: str, number: int = 1) -> str:
    """The XML of one row."""
    return f'<row r="{number}">{cells}</row>'


def strings(items: str) -> str:
    """The shared texts' XML from the XML of its items."""
    return f'<sst xmlns="{MAIN}">{items}</sst>'


def parts(xml: str | bytes, workbook_pr: str = "") -> dict[str, str | bytes]:
    """All parts of a workbook whose one sheet, Soundness, is this XML."""
    return {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_TYPE}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{_TYPE}.styles+xml"/>'
        f'<Override PartName="/xl/sharedStrings.xml" ContentType="{_TYPE}.sharedStrings+xml"/>'
        f'<Override PartName="/{SHEET}" ContentType="{_TYPE}.worksheet+xml"/></Types>',
        "_rels/.rels": signposts(officeDocument="xl/workbook.xml"),
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{RELATIONSHIPS}">{workbook_pr}'
        '<sheets><sheet name="Soundness" sheetId="1" r:id="worksheet"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": signposts(
            worksheet="worksheets/sheet1.xml", styles="styles.xml", sharedStrings="sharedStrings.xml"
        ),
        "xl/styles.xml": _STYLES,
        "xl/sharedStrings.xml": strings("<si><t>LF</t></si><si><t>left front</t></si>"),
        SHEET: xml,
    }


def signposts(**targets: str) -> str:
    """A part's relationships; the kind of each is its id, too."""
    entries = "".join(
        f'<Relationship Id="{kind}" Type="{RELATIONSHIPS}/{kind}" Target="{target}"/>'
        for kind, target in targets.items()
    )
    return f'<Relationships xmlns="{PACKAGE}/relationships">{entries}</Relationships>'


def pack(path: Path, content: Mapping[str, str | bytes | Iterable[bytes]]) -> Path:
    """Pack parts into a file; a part in pieces may be larger than the memory."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, xml in content.items():
            if isinstance(xml, str | bytes):
                archive.writestr(name, xml)
                continue
            with archive.open(name, "w", force_zip64=True) as part:
                for piece in xml:
                    part.write(piece)
    return path
