"""The bare record in the manner of many programs, written by hand: what each may leave out, add or turn round."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

from packed import MAIN, PACKAGE, RELATIONSHIPS, signposts

from rich_parts.packing import Package
from rich_parts.record import HEADINGS, HORSE_HEADINGS, TWICE, horses, notes

SHEET = "xl/worksheets/sheet1.xml"
_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_DAY, _MOMENT, _BOLD = 1, 2, 4
_STYLES = (
    f'{_HEAD}<styleSheet xmlns="{MAIN}"><numFmts count="1"><numFmt numFmtId="164" formatCode="d\\ mmm\\ yyyy\\ h:mm"/></numFmts>'
    '<fonts count="2"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="5">'
    '<xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="{day}" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
    '<xf numFmtId="{moment}" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
    '<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
    '<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
)


@dataclass(frozen=True)
class Manner:
    """How a program writes a sheet's XML.

    `root` and `row` are attributes that every root and row has; `before` and `after` are the elements
    around the rows. `empty_to` is the last row whose empty cells have a format. `references`: rows and cells say
    where they stand. `shared`: texts stand in a list of their own, and `formula` writes one row's formula.
    """

    prefix: str = ""
    root: str = ""
    row: str = ""
    before: str = ""
    after: str = ""
    number: str = "{:.15g}"
    empty_to: int = 0
    references: bool = True
    shared: bool = True
    year1904: bool = False
    shared_formula: bool = False
    texts: list[str] = field(default_factory=list, compare=False)

    def sheet(self, rows: list[dict[int, object]], width: int) -> str:
        """A sheet of a heading row and the rows below it; `width` columns have formats."""
        lines = [self._row(number, cells, width) for number, cells in enumerate(rows, 1)]
        lines += [self._row(number, {}, width) for number in range(len(rows) + 1, self.empty_to + 1)]
        return (
            f'{_HEAD}<worksheet xmlns="{MAIN}" xmlns:r="{RELATIONSHIPS}"{self.root}>{self.before}<sheetData>'
            f"{''.join(lines)}</sheetData>{self.after}</worksheet>"
        )

    def _row(self, number: int, cells: dict[int, object], width: int) -> str:
        columns = range(width) if self.empty_to or not self.references else sorted(cells)
        inside = "".join(self._cell(number, column, cells.get(column)) for column in columns)
        place = f' r="{number}"' if self.references else ""
        return f"<row{place}{self.row}>{inside}</row>"

    def _cell(self, row: int, column: int, value: object) -> str:
        place = f' r="{chr(65 + column)}{row}"' if self.references else ""
        style = f' s="{self._style(row, column)}"' if self._style(row, column) else ""
        if isinstance(value, Formula):
            return (
                f"<c{place}{style}>{self._formula(row, value)}<v>{self.number.format(value.result)}</v></c>"
            )
        if isinstance(value, str) and self.shared:
            return f'<c{place}{style} t="s"><v>{self._shared(value)}</v></c>'
        if isinstance(value, str):
            return (
                f'<c{place}{style} t="inlineStr"><is><t xml:space="preserve">{_escaped(value)}</t></is></c>'
            )
        if value is None:
            return f"<c{place}{style}/>"
        return f"<c{place}{style}><v>{self._number(value)}</v></c>"

    def _style(self, row: int, column: int) -> int:
        if row == 1:
            return _BOLD
        return {0: _DAY, 7: _MOMENT}.get(column, 0)

    def _number(self, value: object) -> str:
        if isinstance(value, dt.datetime):
            start = dt.datetime(1904, 1, 1) if self.year1904 else dt.datetime(1899, 12, 30)
            return self.number.format((value - start) / dt.timedelta(days=1))
        return self.number.format(value)

    def _formula(self, row: int, formula: Formula) -> str:
        if not self.shared_formula:
            return f"<f>{formula.text}</f>"
        return (
            '<f t="shared" si="0"/>'
            if formula.span == ""
            else f'<f t="shared" ref="{formula.span}" si="0">{formula.text}</f>'
        )

    def _shared(self, text: str) -> int:
        if text not in self.texts:
            self.texts.append(text)
        return self.texts.index(text)


@dataclass(frozen=True)
class Formula:
    """A formula with its saved result; `span` is where the first of a shared formula counts."""

    text: str
    result: float
    span: str = ""


def _escaped(text: str) -> str:
    # A text that looks like an escape is itself escaped: ST_Xstring, ISO/IEC 29500-1 §22.9.2.19.
    return escape(text.replace("_x0041_", "_x005F_x0041_"))


def record(manner: Manner, styles: str = "") -> Package:
    """The bare record in one manner: Soundness and Horses."""
    manner.texts.clear()
    rows: list[dict[int, object]] = [dict(enumerate(HEADINGS))]
    for number, note in enumerate(notes(), 2):
        span = f"K2:K{1 + len(list(notes()))}" if number == 2 else ""
        rows.append({**note, TWICE: Formula(f"F{number}*2", float(note[5]) * 2, span)})  # type: ignore[arg-type]
    horse_rows: list[dict[int, object]] = [dict(enumerate(HORSE_HEADINGS))]
    horse_rows += [{0: name, 1: born, 3: scale} for name, born, _, scale in horses()]
    book = _book(
        {"Soundness": manner.sheet(rows, len(HEADINGS)), "Horses": _bare(manner).sheet(horse_rows, 5)}, manner
    )
    book.parts["xl/styles.xml"] = (styles or styles_of(14, 164)).encode()
    if manner.texts:
        items = "".join(f'<si><t xml:space="preserve">{_escaped(text)}</t></si>' for text in manner.texts)
        book.parts["xl/sharedStrings.xml"] = f'{_HEAD}<sst xmlns="{MAIN}">{items}</sst>'.encode()
    if manner.prefix:
        for name in (SHEET, "xl/worksheets/sheet2.xml"):
            book.parts[name] = with_prefix(book.parts[name].decode(), manner.prefix).encode()
    return book


def _bare(manner: Manner) -> Manner:
    return Manner(
        prefix=manner.prefix,
        shared=manner.shared,
        references=manner.references,
        year1904=manner.year1904,
        texts=manner.texts,
    )


def styles_of(day: int, moment: int) -> str:
    """Five formats: none, a day, a moment, text, bold; the first two by the number of their number format."""
    return _STYLES.replace("{day}", str(day)).replace("{moment}", str(moment))


def with_prefix(xml: str, prefix: str) -> str:
    """The XML of a part with this prefix on every element."""
    head, body = xml[: len(_HEAD)], xml[len(_HEAD) :]
    turned = body.replace("</", "\0").replace("<", f"<{prefix}:").replace("\0", f"</{prefix}:")
    return head + turned.replace(f'xmlns="{MAIN}"', f'xmlns:{prefix}="{MAIN}"', 1)


def _book(sheets: dict[str, str], manner: Manner) -> Package:
    overrides = "".join(
        f'<Override PartName="/xl/worksheets/sheet{number}.xml" ContentType="{_TYPE}.worksheet+xml"/>'
        for number in range(1, len(sheets) + 1)
    )
    strings = (
        f'<Override PartName="/xl/sharedStrings.xml" ContentType="{_TYPE}.sharedStrings+xml"/>'
        if manner.texts
        else ""
    )
    entries = "".join(
        f'<sheet name="{name}" sheetId="{number}" r:id="rId{number}"/>'
        for number, name in enumerate(sheets, 1)
    )
    since = '<workbookPr date1904="1"/>' if manner.year1904 else ""
    kind = f'Type="{RELATIONSHIPS}/'
    targets = [
        (f"rId{number}", "worksheet", f"worksheets/sheet{number}.xml") for number in range(1, len(sheets) + 1)
    ]
    targets += [("rId8", "styles", "styles.xml")] + (
        [("rId9", "sharedStrings", "sharedStrings.xml")] if manner.texts else []
    )
    rels = "".join(
        f'<Relationship Id="{at}" {kind}{word}" Target="{target}"/>' for at, word, target in targets
    )
    parts = {
        "[Content_Types].xml": f'{_HEAD}<Types xmlns="{PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_TYPE}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{_TYPE}.styles+xml"/>{strings}{overrides}</Types>',
        "_rels/.rels": _HEAD + signposts(officeDocument="xl/workbook.xml"),
        "xl/workbook.xml": f'{_HEAD}<workbook xmlns="{MAIN}" xmlns:r="{RELATIONSHIPS}">{since}<sheets>{entries}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'{_HEAD}<Relationships xmlns="{PACKAGE}/relationships">{rels}</Relationships>',
    }
    parts |= {f"xl/worksheets/sheet{number}.xml": xml for number, xml in enumerate(sheets.values(), 1)}
    return Package({name: xml.encode() for name, xml in parts.items()})
