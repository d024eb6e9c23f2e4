"""The pages of one horse: a first page, and one for each part of its record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote

from dash import dcc, html

from dashboards.pages.abscesses import abscess_section
from dashboards.pages.body import body_section
from dashboards.pages.feet import feet_section
from dashboards.pages.horse_first import first_page
from dashboards.pages.new_horn import growth_section
from dashboards.pages.soundness import soundness_sections
from dashboards.pages.trims import trims_section
from dashboards.pages.work import work_section
from dashboards.parts import HORSE_PATH, Page, attributes, horse_href, lead, link
from dashboards.warned import history
from tracker import Book, HorseRecord
from tracker.show.charts import Chart, part_chart
from tracker.show.contents import PARTS
from tracker.show.foot_growth import LinesOf, no_lines
from tracker.show.shapes import HorseView, horse_view, shown_name

PATH = HORSE_PATH
shown = shown_name


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a page is made of: the horse of a book, in words, for a narrow screen or not."""

    book: Book
    record: HorseRecord
    view: HorseView
    narrow: bool
    lines: LinesOf

    def chart(self, part: str) -> Chart | None:
        """The chart of that part of the record."""
        return part_chart(self.book, self.record, part, narrow=self.narrow)


_BODIES: dict[str, Callable[[_Asked], list[Any]]] = {
    "soundness": lambda asked: soundness_sections(asked.view),
    "feet": lambda asked: feet_section(asked.book, asked.record, asked.view, asked.narrow, asked.lines),
    "trims": lambda asked: trims_section(asked.record, asked.view.trims, asked.narrow),
    "growth": lambda asked: growth_section(asked.book, asked.record, asked.view, asked.narrow),
    "abscesses": lambda asked: [
        abscess_section(asked.view.abscesses, asked.view.work, asked.chart("abscesses"))
    ],
    "work": lambda asked: work_section(asked.view.work, asked.chart("work")),
    "body": lambda asked: body_section(asked.view.body, asked.view.work, asked.chart("body")),
    "answers": lambda asked: [history(asked.view)],
}
_NOTHING_YET = {
    "trims": "No trim yet. Each visit for a trim is a row on the Visits sheet.",
    "growth": "Nothing yet. The day the shoes came off stands on the Horses sheet, a mark on the wall on the Hooves sheet.",
    "work": "Nothing yet. What the horse did is a row on the Work sheet, what the vet set one on the Plan sheet.",
    "body": "Nothing yet. Girth and body length, temperature and the like are a row on the Body sheet.",
    "answers": "No warning was answered yet.",
}


def parts_of(path: str) -> tuple[str, str]:
    """The name and the part that an address such as "/horse/Hazel/feet" asks for; the part is "" on the first page."""
    asked = path.removeprefix(PATH)
    name, divided, part = asked.rpartition("/")
    return (unquote(name), part) if divided and part in _BODIES else (unquote(asked), "")


def layout(book: Book, name: str, narrow: bool, lines: LinesOf = no_lines, part: str = "") -> Page:
    """A page of the horse of that name; one that says so where there is none. `lines` as for `foot_pictures`."""
    record = book.horse(name)
    if record is None:
        return _unknown(book, name)
    view = horse_view(record, book.as_of)
    if not part or not record.name:  # rows without a horse are shown only to warn
        return Page(view.name, first_page(book, record, view, narrow))
    body = [one for one in _BODIES[part](_Asked(book, record, view, narrow, lines)) if one]
    title = next(one.title for one in PARTS if one.slug == part)
    return Page(
        f"{view.name}: {title[0].lower()}{title[1:]}",
        [_pages(record.name, part), *(body or [html.P(_NOTHING_YET[part])])],
    )


def _pages(name: str, here: str) -> html.Nav:
    """The way to the other pages of the horse."""
    pages = [("", "Overview"), *((part.slug, part.title) for part in PARTS)]
    links = [
        html.Li(dcc.Link(title, href=horse_href(name, slug), className="here" if slug == here else ""))
        for slug, title in pages
    ]
    return html.Nav(html.Ul(links), className="parts", **attributes(aria_label="Pages of this horse"))


def _unknown(book: Book, name: str) -> Page:
    links = [html.Li(link(shown(horse.name), horse_href(horse.name))) for horse in book.horses]
    return Page(
        "There is no such horse",
        [
            lead(f"{book.path.name} has no horse named {name}."),
            html.P("Its horses are:") if links else "",
            html.Ul(links),
        ],
    )
