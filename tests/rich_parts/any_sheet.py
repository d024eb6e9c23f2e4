"""Sheets in any mixture of manners: what one row says and the next one leaves out, in any spelling XML allows."""

from __future__ import annotations

from hypothesis import strategies as st
from packed import MAIN, parts

from rich_parts.packing import pack

WIDTH = 6
TEXTS = ("LF", "left front", " two  blanks ", "a\nb", "&lt;b&gt;", "3½", "")

_text = st.sampled_from([text for text in TEXTS if text])
_number = st.sampled_from(["0", "1", "2.5", "-3", "46085", "1E-05", "0.1"])


@st.composite
def cell(draw: st.DrawFn, quote: str) -> tuple[str, str]:
    """The attributes and the content of one cell."""
    kind = draw(
        st.sampled_from(
            [
                "number",
                "shared",
                "inline",
                "rich",
                "bool",
                "error",
                "formula",
                "words",
                "blank",
                "bare",
                "sum",
            ]
        )
    )
    style = draw(st.sampled_from(["", f" s={quote}0{quote}", f" s={quote}1{quote}"]))

    def typed(name: str) -> str:
        return f" t={quote}{name}{quote}{style}" if draw(st.booleans()) else f"{style} t={quote}{name}{quote}"

    number, text = draw(_number), draw(_text)
    return {
        "number": (style, f"<v>{number}</v>"),
        "shared": (typed("s"), f"<v>{draw(st.integers(0, 1))}</v>"),
        "inline": (typed("inlineStr"), f'<is><t xml:space="preserve">{text}</t></is>'),
        "rich": (
            typed("inlineStr"),
            f'<is><r><t>a</t></r><r><rPr><b/></rPr><t xml:space="preserve">{text}</t></r></is>',
        ),
        "bool": (typed("b"), "<v>1</v>"),
        "error": (typed("e"), "<v>#N/A</v>"),
        "formula": (style, f"<f>1+1</f><v>{number}</v>"),
        "words": (typed("str"), f'<f>"x"&amp;A1</f><v>{text.strip()}</v>'),
        "blank": (style, ""),
        "bare": ("", ""),
        "sum": (style, "<f>SUM(F1:F2)+0</f><v>3</v>"),
    }[kind]


@st.composite
def sheets(draw: st.DrawFn) -> bytes:
    """A whole workbook whose sheet Soundness has headings in row 1 and rows of any manner below."""
    prefix = draw(st.sampled_from(["", "x:"]))
    quote = draw(st.sampled_from(['"', "'"]))
    gap = draw(st.sampled_from(["", "\n", "\n  "]))
    places = draw(st.sampled_from(["all", "none", "some"]))

    def place(name: str) -> str:
        says = places == "all" or (places == "some" and draw(st.booleans()))
        return f" r={quote}{name}{quote}" if says else ""

    def row(number: int, cells: list[tuple[int, tuple[str, str]]]) -> str:
        last, inner = -1, []
        for column, (attributes, content) in cells:
            where = place(f"{chr(65 + column)}{number}") or (
                "" if column == last + 1 else f" r={quote}{chr(65 + column)}{number}{quote}"
            )
            inner.append(
                f"<c{where}{attributes}/>"
                if not content and draw(st.booleans())
                else f"<c{where}{attributes}>{content}</c>"
            )
            last = column
        spans = draw(
            st.sampled_from(
                ["", f" spans={quote}1:6{quote}", f" ht={quote}30{quote} customHeight={quote}1{quote}"]
            )
        )
        own = place(str(number)) or ("" if number == last_row[0] + 1 else f" r={quote}{number}{quote}")
        last_row[0] = number
        content = gap.join(inner)
        return (
            f"<row{own}{spans}/>"
            if not inner and draw(st.booleans())
            else f"<row{own}{spans}>{content}</row>"
        )

    last_row = [0]
    headings = [
        (at, (' t="inlineStr"', f"<is><t>{name}</t></is>"))
        for at, name in enumerate(("Date", "Horse", "Limb", "Score", "Remarks", "Weather"))
    ]
    rows = [row(1, headings)]
    number = 1
    for _ in range(draw(st.integers(0, 6))):
        number += draw(st.sampled_from([1, 1, 1, 2, 5]))
        columns = sorted(draw(st.sets(st.integers(0, WIDTH - 1))))
        rows.append(row(number, [(column, draw(cell(quote))) for column in columns]))
    dimension = draw(
        st.sampled_from(["", f"<dimension ref={quote}A1:F9{quote}/>", f"<dimension ref={quote}A1{quote}/>"])
    )
    body = f"{dimension}<sheetData>{gap}{gap.join(rows)}{gap}</sheetData><pageMargins left='1' right='1' top='1' bottom='1' header='0' footer='0'/>"
    if prefix:
        body = body.replace("</", "\0").replace("<", f"<{prefix}").replace("\0", f"</{prefix}")
    name = f"{prefix}worksheet"
    space = f"xmlns:{prefix[:-1]}" if prefix else "xmlns"
    xml = f'<{name} {space}="{MAIN}">{body}</{name}>'
    return pack(
        {part: text.encode() if isinstance(text, str) else text for part, text in parts(xml).items()}, level=1
    )
