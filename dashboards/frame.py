"""What stands around every page: the header, the caution, what is wrong with the file; and which page is asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import unquote

from dash import dcc, html

from dashboards.about import horse_of
from dashboards.desk import Waits
from dashboards.growth import lines_from
from dashboards.library import Reading, Trouble
from dashboards.pages import answer, before_after, horse, photos, problems, share, watches, write, yard
from dashboards.parts import Page, attributes, lead, link, marked
from dashboards.photo_desk import PhotoDesk
from dashboards.warned import in_short
from tracker import Book
from tracker.show import words
from tracker.show.foot_growth import no_lines

EVERY_MS = 5000
PROGRAM = "Soundness Ledger"

Closed = Callable[[], Trouble | None]


def _open() -> None:
    """Nothing is known that keeps the workbook from being written."""


INDEX = """<!DOCTYPE html>
<html lang="en">
  <head>
    {%metas%}
    <meta name="viewport" content="width=device-width, initial-scale=1">
    <meta name="color-scheme" content="light dark">
    <title>{%title%}</title>
    <link rel="icon" href="/assets/mark.svg" type="image/svg+xml">
    {%css%}
  </head>
  <body>
    {%app_entry%}
    <noscript>These pages are drawn by JavaScript. Turn it on for this address, or use the command soundness review.</noscript>
    {%config%}
    {%scripts%}
    {%renderer%}
  </body>
</html>"""


def shell(stamp: str) -> html.Div:
    """The frame, before a page is in it; `stamp` tells the state of the workbook that it will show."""
    return html.Div(
        [
            dcc.Location(id="place", refresh=False),
            dcc.Interval(id="tick", interval=EVERY_MS),
            dcc.Store(id="stamp", data=stamp),
            dcc.Store(id="narrow"),
            dcc.Store(id="title"),
            dcc.Store(id="held"),
            html.A("To the page", href="#page", className="skip"),
            html.Header(id="head"),
            html.P(
                "The program has stopped. This page shows the workbook as it was last read, and no longer follows it.",
                id="stopped",
                className="trouble",
                role="status",
                hidden=True,
            ),
            html.Div(id="waiting", role="status"),
            html.Main(html.P("Reading the workbook …"), id="page", tabIndex=-1),
            html.Footer([html.P(words.CAUTION), html.P(words.ERROR_NOTE)]),
        ]
    )


def page_in_frame(
    path: str, reading: Reading, *, narrow: bool, closed: Closed = _open
) -> tuple[list[Any], list[Any], str]:
    """The header, the page and the tab's title for an address such as "/horse/Hazel"."""
    head, body, title, _ = framed(path, reading, narrow=narrow, closed=closed)
    return head, body, title


def framed(
    path: str, reading: Reading, *, narrow: bool, closed: Closed = _open, desk: PhotoDesk | None = None
) -> tuple[list[Any], list[Any], str, bool]:
    """The same, and whether somebody may be typing in the page. `closed` says why nothing can be entered."""
    book = reading.book
    page = find_page(path, book, narrow=narrow, closed=closed, desk=desk) if book else _nothing_yet(reading)
    first = _warned(path, book) if book and not share.is_share(path) else []
    body = [*first, html.H1(page.title), *page.body]
    if reading.trouble and book and not _may_be_typed_in(path):
        body.insert(0, _trouble(reading.trouble, words.day(book.as_of)))
    return _header(path, reading), body, f"{page.title} – {reading.workbook}", page.holds_entry


def _warned(path: str, book: Book) -> list[Any]:
    return in_short(book, horse_of(book, path), answer.parts_of(unquote(path))[0])


def _may_be_typed_in(path: str) -> bool:
    return any(kind(path) for kind in (write.is_write, photos.is_photos, answer.is_answer, share.is_share))


def above(path: str, reading: Reading, waits: Waits) -> list[Any]:
    """What stands above the page and is kept true while somebody types in it."""
    book = reading.book
    told = _warned(path, book) if book and share.is_share(path) else []
    if not (_may_be_typed_in(path) and reading.trouble and book):
        return [*told, *waiting(waits)]
    return [*told, _trouble(reading.trouble, words.day(book.as_of)), *waiting(waits)]


def waiting(waits: Waits) -> list[Any]:
    """What waits for the workbook, with why, and what came in since; nothing where nothing waits."""
    if not (waits.entries or waits.notes or waits.news):
        return []
    number = len(waits.entries)
    told: list[Any] = []
    if number:
        noun = "1 entry waits" if number == 1 else f"{number} entries wait"
        told.append(html.P([html.B(f"{noun} for the workbook. "), "The program tries again by itself."]))
        lines = [
            html.Li([f"{entry.sheet}: {entry.said}. ", *marked(entry.reason)]) for entry in waits.entries
        ]
        told += [html.Ul(lines), _drop(waits.entries[-1].id, number)]
    told += [html.P(said) for said in (*waits.news, *waits.notes)]
    return [html.Div(told, className="waits")]


def _drop(entry: str, number: int) -> html.Button:
    """A way out for an entry that can never be written; it asks once more before it is gone."""
    return html.Button(
        "Take it back" if number == 1 else "Take the last one back",
        type="button",
        className="action",
        **attributes(data_do="drop", data_entry=entry, data_sure="Tap again: it is not written then"),
    )


def find_page(
    path: str, book: Book, *, narrow: bool, closed: Closed = _open, desk: PhotoDesk | None = None
) -> Page:
    """The page of an address; one that says so where there is none."""
    if desk and photos.is_photos(path):
        return _photos_page(*photos.parts_of(path), book, closed, desk)
    if desk and before_after.is_before_after(path) and (page := _before_after_page(path, book, desk)):
        return page
    asked, path = path, unquote(path)
    if answer.is_answer(path):
        return answer.layout(book, path, closed())
    if write.is_write(path) and (page := write.layout(book, path, closed())):
        return page
    if share.is_share(path):
        return share.layout(book, path)
    if path == yard.PATH and len(book.horses) != 1:
        return yard.layout(book)
    if path == yard.PATH or path.startswith(horse.PATH):
        name, part = (book.horses[0].name, "") if path == yard.PATH else horse.parts_of(asked)
        return horse.layout(book, name, narrow, lines_from(book, desk) if desk else no_lines, part)
    if path == problems.PATH:
        return problems.layout(book)
    if path == watches.PATH:
        return watches.layout()
    return Page(
        "There is no such page", [lead("Go on from here:"), html.P(link("the first page", yard.PATH))]
    )


def _photos_page(name: str, which: str, book: Book, closed: Closed, desk: PhotoDesk) -> Page:
    if not name:
        return photos.layout(book, desk.names())
    return photos.page_of_one(book, name, which, desk.look(name), closed())


def _before_after_page(path: str, book: Book, desk: PhotoDesk) -> Page | None:
    days = before_after.chosen(book, path)
    found = [desk.measure(day.marking, point_part=book.point_part) for day in days] if days else []
    if days is None:
        return None
    for each in found:
        if isinstance(each, Trouble):
            return photos.not_there(each)
    first, last = (each.seen for each in found if not isinstance(each, Trouble))
    return before_after.layout(book, days, (first, last))


def went_wrong() -> tuple[list[Any], list[Any], str]:
    """What is shown where the program itself fails."""
    title = "Something went wrong inside the program"
    text = "Showing a page changes nothing in your workbook. The other pages may still open; the program's log holds the details."
    return (
        [
            _nav(
                "",
                [
                    (write.PATH, write.NAV),
                    (yard.PATH, "First page"),
                    (photos.PATH, photos.NAV),
                    (share.PATH, share.NAV),
                    (problems.PATH, "Problems"),
                    (watches.PATH, watches.NAV),
                ],
            )
        ],
        [html.H1(title), lead(text)],
        title,
    )


def _header(path: str, reading: Reading) -> list[Any]:
    book = reading.book
    number = len(book.problems) if book else 0
    links = [
        (write.PATH, write.NAV),
        (yard.PATH, _home(book)),
        (photos.PATH, photos.NAV),
        (share.PATH, share.NAV),
        (problems.PATH, f"Problems ({number})" if number else "Problems"),
        (watches.PATH, watches.NAV),
    ]
    named = [html.Span(PROGRAM, className="program"), html.Span(reading.workbook, className="workbook")]
    if book:
        named.append(html.Span(f"as of {words.day(book.as_of)}", className="as-of"))
    return [html.P(named, className="named"), _nav(path, links, book)]


def _home(book: Book | None) -> str:
    if book and len(book.horses) == 1:
        return horse.shown(book.horses[0].name)
    return "Yard"


def _nav(path: str, links: list[tuple[str, str]], book: Book | None = None) -> html.Nav:
    return html.Nav(
        [
            dcc.Link(text, href=href, className="here" if _is_here(href, path, book) else "")
            for href, text in links
        ],
        **attributes(aria_label="Pages"),
    )


def _is_here(href: str, path: str, book: Book | None) -> bool:
    within = {write.PATH: write.is_write, photos.PATH: photos.is_photos, share.PATH: share.is_share}
    return href == path or (href in within and within[href](path)) or _is_home(href, path, book)


def _is_home(href: str, path: str, book: Book | None) -> bool:
    """The pages of the only horse belong to the first."""
    return href == yard.PATH and path.startswith(horse.PATH) and book is not None and len(book.horses) == 1


def _nothing_yet(reading: Reading) -> Page:
    trouble = reading.trouble or Trouble("", "")
    return Page(
        "The workbook cannot be read",
        [
            lead(trouble.message),
            html.P([html.B("To do: "), trouble.hint]),
            html.P("As soon as it can be read, this page shows it by itself."),
        ],
    )


def _trouble(trouble: Trouble, day: str) -> html.Div:
    return html.Div(
        [
            html.P([html.B("The workbook cannot be read now. "), trouble.message]),
            html.P([html.B("To do: "), trouble.hint]),
            html.P(f"Below is what it said when it was last read, as of {day}."),
        ],
        className="trouble",
        role="status",
    )
