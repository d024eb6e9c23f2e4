"""Parts that no library writes, put by hand into a workbook that holds the record.

Parts and elements follow ISO/IEC 29500-1 (pivot §18.10, external link §18.14, calculation chain §18.6,
custom XML §22.5) and Microsoft's [MS-XLSX] (slicers §2.3.2 and §2.6.40, threaded comments §2.6.200 on,
validations of 2009 §2.6.8); the numbers of [MS-XLSX] are from memory.
"""

from __future__ import annotations

import re
from xml.sax.saxutils import escape, quoteattr

from rich_parts.by_xlsxwriter import HEADING_ROW
from rich_parts.packing import CONTENT_TYPES, MICROSOFT, OFFICE, Package
from rich_parts.record import HEADINGS, NOTES, notes

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SML = "application/vnd.openxmlformats-officedocument.spreadsheetml"
X14 = f"{MICROSOFT}/spreadsheetml/2009/9/main"
X15 = f"{MICROSOFT}/spreadsheetml/2010/11/main"
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'


def validations_of_2009(book: Package) -> None:
    """A list that stands on another sheet, in the sheet's extensions."""
    rule = (
        '<x14:dataValidation type="list" allowBlank="1" showInputMessage="1" showErrorMessage="1">'
        "<x14:formula1><xm:f>Lists!$A$1:$A$3</xm:f></x14:formula1>"
        f"<xm:sqref>D{HEADING_ROW + 1}:D999</xm:sqref></x14:dataValidation>"
    )
    _extend(
        book,
        book.sheet("Soundness"),
        "{CCE6A557-97BC-4b89-ADB6-D9C93CAAB3DF}",
        f'<x14:dataValidations count="1" xmlns:xm="{MICROSOFT}/excel/2006/main">{rule}</x14:dataValidations>',
    )


def _extend(book: Package, part: str, uri: str, content: str) -> None:
    entry = f'<ext xmlns:x14="{X14}" uri="{uri}">{content}</ext>'
    text = book.parts[part].decode()
    root = "worksheet" if "<worksheet" in text else "workbook"
    if "</extLst>" in text:
        book.change(part, "</extLst>", f"{entry}</extLst>")
    else:
        book.change(part, f"</{root}>", f"<extLst>{entry}</extLst></{root}>")


def slicer(book: Package) -> None:
    """A slicer on the column Foot of the table of hooves, with its cache and its frame in a drawing."""
    sheet = book.sheet("Hooves")
    table = next(name for name in book.parts if b'name="HoofTable"' in book.parts[name] and "tables/" in name)
    table_id = re.search(r'<table [^>]*?\bid="(\d+)"', book.parts[table].decode())[1]  # type: ignore[index]
    book.add(
        "xl/slicerCaches/slicerCache1.xml",
        f'{HEAD}<slicerCacheDefinition xmlns="{X14}" name="Slicer_Foot" sourceName="Foot"><extLst>'
        f'<x:ext xmlns:x="{MAIN}" uri="{{2F2917AC-EB37-4324-AD4E-5DD8C200BD13}}" xmlns:x15="{X15}">'
        f'<x15:tableSlicerCache tableId="{table_id}" column="3"/></x:ext></extLst></slicerCacheDefinition>',
        "application/vnd.ms-excel.slicerCache+xml",
    )
    book.add(
        "xl/slicers/slicer1.xml",
        f'{HEAD}<slicers xmlns="{X14}"><slicer name="Foot" cache="Slicer_Foot" caption="Foot" rowHeight="241300"/></slicers>',
        "application/vnd.ms-excel.slicer+xml",
    )
    cache = book.relate(
        "xl/workbook.xml", f"{MICROSOFT}/2007/relationships/slicerCache", "slicerCaches/slicerCache1.xml"
    )
    _extend(
        book,
        "xl/workbook.xml",
        "{46BE6895-7355-4a93-B00E-2C351335B9C9}",
        f'<x15:slicerCaches xmlns:x15="{X15}"><x14:slicerCache r:id="{cache}"/></x15:slicerCaches>',
    )
    frame = _slicer_drawing(book, sheet)
    shown = book.relate(sheet, f"{MICROSOFT}/2007/relationships/slicer", "../slicers/slicer1.xml")
    book.change(sheet, "<tableParts", f'<drawing r:id="{frame}"/><tableParts')
    _extend(
        book,
        sheet,
        "{3A4CF648-6AED-40f4-86FF-DC5316D8AED3}",
        f'<x14:slicerList><x14:slicer r:id="{shown}"/></x14:slicerList>',
    )


def _slicer_drawing(book: Package, sheet: str) -> str:
    drawing = "http://schemas.openxmlformats.org/drawingml/2006"
    frame = (
        '<xdr:graphicFrame macro=""><xdr:nvGraphicFramePr><xdr:cNvPr id="2" name="Foot"/><xdr:cNvGraphicFramePr/>'
        '</xdr:nvGraphicFramePr><xdr:xfrm><a:off x="0" y="0"/><a:ext cx="0" cy="0"/></xdr:xfrm><a:graphic>'
        f'<a:graphicData uri="{MICROSOFT}/drawing/2010/slicer"><sle:slicer xmlns:sle="{MICROSOFT}/drawing/2010/slicer"'
        ' name="Foot"/></a:graphicData></a:graphic></xdr:graphicFrame>'
    )
    shape = (
        '<xdr:sp macro="" textlink=""><xdr:nvSpPr><xdr:cNvPr id="0" name=""/><xdr:cNvSpPr/></xdr:nvSpPr><xdr:spPr>'
        '<a:xfrm><a:off x="0" y="0"/><a:ext cx="1828800" cy="1524000"/></a:xfrm><a:prstGeom prst="rect"><a:avLst/>'
        "</a:prstGeom></xdr:spPr></xdr:sp>"
    )
    corner = "<xdr:{0}><xdr:col>{1}</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>{2}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:{0}>"
    book.add(
        "xl/drawings/drawing9.xml",
        f'{HEAD}<xdr:wsDr xmlns:xdr="{drawing}/spreadsheetDrawing" xmlns:a="{drawing}/main"><xdr:twoCellAnchor>'
        f"{corner.format('from', 9, 1)}{corner.format('to', 12, 9)}"
        f'<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006" '
        f'xmlns:sle15="{MICROSOFT}/drawing/2012/slicer"><mc:Choice Requires="sle15">{frame}</mc:Choice>'
        f"<mc:Fallback>{shape}</mc:Fallback></mc:AlternateContent><xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>",
        "application/vnd.openxmlformats-officedocument.drawing+xml",
    )
    return book.relate(sheet, f"{OFFICE}/drawing", "../drawings/drawing9.xml")


def threaded_comments(book: Package) -> None:
    """A question and its answer, behind the legacy comment that older programs show; and who wrote them."""
    space = f"{MICROSOFT}/spreadsheetml/2018/threadedcomments"
    person, thread = "{0B5A4E34-1111-4C43-9A5B-0C3B2C1D0E01}", "{6F0C3C5B-58C1-4C43-9A5B-0C3B2C1D0E01}"
    cell = f"I{HEADING_ROW + 2}"
    book.add(
        "xl/threadedComments/threadedComment1.xml",
        f'{HEAD}<ThreadedComments xmlns="{space}"><threadedComment ref="{cell}" dT="2026-03-04T09:30:00.00" '
        f'personId="{person}" id="{thread}"><text>Was it wet?</text></threadedComment><threadedComment ref="{cell}" '
        f'dT="2026-03-04T10:30:00.00" personId="{person}" id="{{6F0C3C5B-58C1-4C43-9A5B-0C3B2C1D0E02}}" '
        f'parentId="{thread}"><text>It was.</text></threadedComment></ThreadedComments>',
        "application/vnd.ms-excel.threadedcomments+xml",
    )
    book.add(
        "xl/persons/person.xml",
        f'{HEAD}<personList xmlns="{space}"><person displayName="Wren Sedge" id="{person}" userId="wren" '
        'providerId="None"/></personList>',
        "application/vnd.ms-excel.person+xml",
    )
    kind = f"{MICROSOFT}/2017/10/relationships"
    book.relate("xl/workbook.xml", f"{kind}/person", "persons/person.xml")
    book.relate(
        book.sheet("Soundness"), f"{kind}/threadedComment", "../threadedComments/threadedComment1.xml"
    )


def pivot(book: Package) -> None:
    """How often each limb was noted, counted over the daily notes; with a cache of their rows."""
    limbs = [str(note[3]) for note in notes()]
    shared = list(dict.fromkeys(limbs))
    fields = "".join(
        f'<cacheField name="{heading}" numFmtId="0"><sharedItems'
        + (
            f' count="{len(shared)}">{"".join(f"<s v={quoteattr(limb)}/>" for limb in shared)}</sharedItems>'
            if heading == "Limb"
            else "/>"
        )
        + "</cacheField>"
        for heading in HEADINGS
    )
    last = HEADING_ROW + NOTES
    book.add(
        "xl/pivotCache/pivotCacheDefinition1.xml",
        f'{HEAD}<pivotCacheDefinition xmlns="{MAIN}" xmlns:r="{OFFICE}" r:id="rId1" refreshedBy="Wren" '
        f'refreshedDate="46085" createdVersion="6" refreshedVersion="6" minRefreshableVersion="3" recordCount="{NOTES}">'
        f'<cacheSource type="worksheet"><worksheetSource ref="A{HEADING_ROW}:K{last}" sheet="Soundness"/></cacheSource>'
        f'<cacheFields count="{len(HEADINGS)}">{fields}</cacheFields></pivotCacheDefinition>',
        f"{SML}.pivotCacheDefinition+xml",
    )
    rows = "".join(
        f'<r><m/><m/><m/><x v="{shared.index(limb)}"/><m/><m/><m/><m/><m/><m/><m/></r>' for limb in limbs
    )
    book.add(
        "xl/pivotCache/pivotCacheRecords1.xml",
        f'{HEAD}<pivotCacheRecords xmlns="{MAIN}" count="{NOTES}">{rows}</pivotCacheRecords>',
        f"{SML}.pivotCacheRecords+xml",
    )
    book.add("xl/pivotTables/pivotTable1.xml", _pivot_table(shared), f"{SML}.pivotTable+xml")
    cache = "pivotCache/pivotCacheDefinition1.xml"
    book.relate(f"xl/{cache}", f"{OFFICE}/pivotCacheRecords", "pivotCacheRecords1.xml")
    book.relate("xl/pivotTables/pivotTable1.xml", f"{OFFICE}/pivotCacheDefinition", f"../{cache}")
    book.relate(book.sheet("Read me"), f"{OFFICE}/pivotTable", "../pivotTables/pivotTable1.xml")
    entry = book.relate("xl/workbook.xml", f"{OFFICE}/pivotCacheDefinition", cache)
    pivots = f'<pivotCaches><pivotCache cacheId="4" r:id="{entry}"/></pivotCaches>'
    text = re.sub(r"(<calcPr[^>]*/>)", rf"\1{pivots}", book.parts["xl/workbook.xml"].decode(), count=1)
    book.parts["xl/workbook.xml"] = text.encode()


def _pivot_table(shared: list[str]) -> str:
    items = "".join(f'<item x="{number}"/>' for number in range(len(shared)))
    fields = "".join(
        f'<pivotField axis="axisRow" showAll="0"><items count="{len(shared) + 1}">{items}<item t="default"/></items></pivotField>'
        if heading == "Limb"
        else f'<pivotField{" dataField=" + chr(34) + "1" + chr(34) if heading == "Horse" else ""} showAll="0"/>'
        for heading in HEADINGS
    )
    rows = "<i><x/></i>" + "".join(f'<i><x v="{number}"/></i>' for number in range(1, len(shared)))
    return (
        f'{HEAD}<pivotTableDefinition xmlns="{MAIN}" name="Limbs" cacheId="4" applyNumberFormats="0" '
        'applyBorderFormats="0" applyFontFormats="0" applyPatternFormats="0" applyAlignmentFormats="0" '
        'applyWidthHeightFormats="1" dataCaption="Values" updatedVersion="6" minRefreshableVersion="3" '
        'useAutoFormatting="1" itemPrintTitles="1" createdVersion="6" indent="0" outline="1" outlineData="1">'
        f'<location ref="J30:K{31 + len(shared)}" firstHeaderRow="1" firstDataRow="1" firstDataCol="1"/>'
        f'<pivotFields count="{len(HEADINGS)}">{fields}</pivotFields><rowFields count="1"><field x="3"/></rowFields>'
        f'<rowItems count="{len(shared) + 1}">{rows}<i t="grand"><x/></i></rowItems>'
        '<colItems count="1"><i/></colItems><dataFields count="1"><dataField name="Notes" fld="1" subtotal="count" '
        'baseField="0" baseItem="0"/></dataFields></pivotTableDefinition>'
    )


def external_link(book: Package) -> None:
    """A price list in another file, with the values it had last."""
    book.add(
        "xl/externalLinks/externalLink1.xml",
        f'{HEAD}<externalLink xmlns="{MAIN}"><externalBook xmlns:r="{OFFICE}" r:id="rId1"><sheetNames>'
        '<sheetName val="Prices"/></sheetNames><sheetDataSet><sheetData sheetId="0"><row r="1"><cell r="A1"><v>45</v>'
        "</cell></row></sheetData></sheetDataSet></externalBook></externalLink>",
        f"{SML}.externalLink+xml",
    )
    book.relate(
        "xl/externalLinks/externalLink1.xml", f"{OFFICE}/externalLinkPath", "prices.xlsx", external=True
    )
    entry = book.relate("xl/workbook.xml", f"{OFFICE}/externalLink", "externalLinks/externalLink1.xml")
    references = f'<externalReferences><externalReference r:id="{entry}"/></externalReferences>'
    book.change("xl/workbook.xml", "</sheets>", f"</sheets>{references}")


def custom_xml(book: Package) -> None:
    """Data of another program that travels with the workbook."""
    space = "http://schemas.openxmlformats.org/officeDocument/2006/customXml"
    book.default("xml", "application/xml")
    book.parts["customXml/item1.xml"] = (
        f"{HEAD}<yard xmlns='urn:lower-meadow'>{escape('Tom & Clover')}</yard>".encode()
    )
    book.add(
        "customXml/itemProps1.xml",
        f'{HEAD}<ds:datastoreItem xmlns:ds="{space}" ds:itemID="{{5E0C3C5B-58C1-4C43-9A5B-0C3B2C1D0E01}}">'
        '<ds:schemaRefs><ds:schemaRef ds:uri="urn:lower-meadow"/></ds:schemaRefs></ds:datastoreItem>',
        "application/vnd.openxmlformats-officedocument.customXmlProperties+xml",
    )
    book.relate("customXml/item1.xml", f"{OFFICE}/customXmlProps", "itemProps1.xml")
    book.relate("xl/workbook.xml", f"{OFFICE}/customXml", "../customXml/item1.xml")


def printer_settings(book: Package) -> None:
    """What the printer's driver keeps, bytes that only it understands."""
    name = "xl/printerSettings/printerSettings1.bin"
    book.default("bin", f"{SML}.printerSettings")
    book.parts[name] = bytes(range(256)) * 4
    sheet = book.sheet("Soundness")
    entry = book.relate(sheet, f"{OFFICE}/printerSettings", "../printerSettings/printerSettings1.bin")
    text = book.parts[sheet].decode()
    book.parts[sheet] = re.sub(r"(<pageSetup [^>]*?)/>", rf'\1 r:id="{entry}"/>', text, count=1).encode()


def calculation_chain(book: Package) -> None:
    """The order in which the formulas were worked out; sheets are named by their number."""
    ids = re.findall(r'<sheet name="([^"]+)" sheetId="(\d+)"', book.parts["xl/workbook.xml"].decode())
    cells = [
        f'<c r="{ref}" i="{number}"/>'
        for name, number in ids
        if name in ("Soundness", "Hooves")
        for ref in re.findall(r'<c r="([A-Z]+\d+)"[^>]*><f', book.parts[book.sheet(name)].decode())
    ]
    assert cells
    book.add(
        "xl/calcChain.xml",
        f'{HEAD}<calcChain xmlns="{MAIN}">{"".join(cells)}</calcChain>',
        f"{SML}.calcChain+xml",
    )
    book.relate("xl/workbook.xml", f"{OFFICE}/calcChain", "calcChain.xml")


def signature(book: Package) -> None:
    """A digital signature's parts (ISO/IEC 29500-2 §13); what is signed is of no matter here."""
    kind = "http://schemas.openxmlformats.org/package/2006/relationships/digital-signature"
    book.default("sigs", "application/vnd.openxmlformats-package.digital-signature-origin")
    book.parts["_xmlsignatures/origin.sigs"] = b""
    book.add(
        "_xmlsignatures/sig1.xml",
        f'{HEAD}<Signature xmlns="http://www.w3.org/2000/09/xmldsig#" Id="idPackageSignature"><SignedInfo/>'
        "<SignatureValue>AAAA</SignatureValue></Signature>",
        "application/vnd.openxmlformats-package.digital-signature-xmlsignature+xml",
    )
    book.relate("", f"{kind}/origin", "_xmlsignatures/origin.sigs")
    book.relate("_xmlsignatures/origin.sigs", f"{kind}/signature", "sig1.xml")


def protection(book: Package) -> None:
    """The daily notes protected against changes."""
    book.change(
        book.sheet("Soundness"),
        "</sheetData>",
        '</sheetData><sheetProtection sheet="1" objects="1" scenarios="1"/>',
    )


def strict(book: Package) -> None:
    """Every name of the transitional form written as in the strict one (ISO/IEC 29500-1 Annex A)."""
    names = {
        OFFICE.encode(): b"http://purl.oclc.org/ooxml/officeDocument/relationships",
        MAIN.encode(): b"http://purl.oclc.org/ooxml/spreadsheetml/main",
    }
    for name, content in book.parts.items():
        if name != CONTENT_TYPES and name.endswith((".xml", ".rels")):
            for old, new in names.items():
                content = content.replace(old, new)
            book.parts[name] = content
    book.change("xl/workbook.xml", "<workbook ", '<workbook conformance="strict" ')


ALL = (
    validations_of_2009,
    slicer,
    threaded_comments,
    pivot,
    external_link,
    custom_xml,
    printer_settings,
    calculation_chain,
)
"""What makes a workbook rich; the signature, the protection and the strict form are not among them."""
