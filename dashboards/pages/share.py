"""For the vet: a letter about one horse, put together by its sender, shown as it would be sent, then given out."""

from __future__ import annotations

from collections.abc import Iterable

from dash import html

from dashboards.made import BESIDE, LETTER
from dashboards.pages.write import form_name
from dashboards.parts import SHARE_PATH, Page, attributes, lead, link, share_href
from dashboards.typed import Typed
from tracker import Book
from tracker.show.letter.choice import ALWAYS, EXTRAS, PARTS
from tracker.show.pdf import PAPERS
from tracker.show.shapes import shown_name

PATH = SHARE_PATH
NAV = "For the vet"
READ_IT = "Read it before you send it."
_PAPER_NAMES = {"a4": "A4", "us-letter": "US Letter"}
_SAID = "share-said"


def is_share(path: str) -> bool:
    """Whether an address is one of this page's."""
    return path == PATH or path.startswith(f"{PATH}/")


def horse_of(book: Book, path: str) -> str | None:
    """The horse that such an address names, or the only one; None where the address leaves it open."""
    if path.startswith(f"{PATH}/"):
        return path.removeprefix(f"{PATH}/")
    return book.horses[0].name if len(book.horses) == 1 else None


def layout(book: Book, path: str) -> Page:
    """The page of an address such as "/share/Hazel"; it asks which horse where that is left open."""
    name = horse_of(book, path)
    record = book.horse(name) if name is not None else None
    if record is None:
        return _which(book, name)
    horse = shown_name(record.name)
    return Page(
        f"{NAV}: {horse}",
        [
            lead("Choose what goes in. The letter is shown as it would be sent; nothing else is sent."),
            html.Div(
                [_form(book, record.name), _preview(), _giving_out(), _beside(horse)], className="sharing"
            ),
        ],
        holds_entry=True,
    )


def _which(book: Book, name: str | None) -> Page:
    said = "Which horse is it about?" if name is None else f"{book.path.name} has no horse named {name}."
    if not book.horses:
        said = "The workbook tells of no horse yet. Begin with today's note, under Write."
    links = [html.Li(link(shown_name(horse.name), share_href(horse.name))) for horse in book.horses]
    return Page(NAV, [lead(said), html.Ul(links, className="which") if links else ""])


def _form(book: Book, horse: str) -> html.Form:
    name = form_name("share")
    parts = [
        _question(name),
        _ticks(
            name, "parts", "What goes in", _always(),
            ((key, PARTS[key]) for key in PARTS if key not in ALWAYS), ticked=True,
        ),
        _ticks(
            name, "extras", "Only if you wish", "Left out unless you tick it.", EXTRAS.items(), ticked=False
        ),
        _days(name),
        _papers(name),
    ]  # fmt: skip
    data = {"data_horse": horse, "data_workbook": book.path.name, "aria_label": "What goes into the letter"}
    return html.Form(
        html.Div(parts, className="entry"), id=name, className="share", autoComplete="off", noValidate=True,
        **attributes(**data),
    )  # fmt: skip


def _always() -> str:
    first, second = (PARTS[key][0].lower() + PARTS[key][1:] for key in ALWAYS)
    return f"Always in it: {first}, and {second}."


def _question(name: str) -> html.Div:
    box = Typed("textarea", id=f"{name}-question", name="question", rows=3)
    return html.Div(
        [html.Label(PARTS["question"], htmlFor=f"{name}-question"), box],
        className="field",
    )


def _ticks(
    name: str, group: str, title: str, hint: str, pairs: Iterable[tuple[str, str]], *, ticked: bool
) -> html.Fieldset:
    hint_id = f"{name}-{group}-hint"
    boxes = [
        html.Label(
            [
                Typed(
                    id=f"{name}-{group}-{key}", type="checkbox", name=group, value=key, defaultChecked=ticked
                ),
                html.Span(said),
            ],
            className="tick",
        )
        for key, said in pairs
    ]
    return html.Fieldset(
        [
            html.Legend(title),
            html.P(hint, id=hint_id, className="small"),
            html.Div(boxes, className=f"ticks {group}"),
        ],
        className="field",
        **attributes(aria_describedby=hint_id),
    )


def _days(name: str) -> html.Fieldset:
    hint_id = f"{name}-days-hint"
    days = [
        html.Div(
            [
                html.Label(said, htmlFor=f"{name}-{key}"),
                Typed(
                    id=f"{name}-{key}", type="date", name=key, **{"aria-describedby": f"{hint_id} {_SAID}"}
                ),
            ]
        )
        for key, said in (("since", "From"), ("until", "To"))
    ]
    hint = "Left empty: from the beginning of the record, up to its last day."
    return html.Fieldset(
        [
            html.Legend("The days it tells of"),
            html.P(hint, id=hint_id, className="small"),
            html.Div(days, className="days"),
        ],
        className="field",
    )


def _papers(name: str) -> html.Fieldset:
    choices = [
        html.Label(
            [
                Typed(
                    id=f"{name}-{paper}", type="radio", name="paper", value=paper, defaultChecked=paper == PAPERS[0]
                ),
                html.Span(_PAPER_NAMES[paper]),
            ],
            className="choice",
        )
        for paper in PAPERS
    ]  # fmt: skip
    return html.Fieldset(
        [html.Legend("Paper to print on"), html.Div(choices, className="choices across-2")],
        className="field",
    )


def _preview() -> html.Section:
    """The letter itself; the frame takes no script, and its height is that of the letter."""
    return html.Section(
        [
            html.H2("What is sent", id="share-heading"),
            html.P(html.A("Past the letter, to sending it", href="#sending"), className="past"),
            html.P(id=_SAID, className="said", role="status"),
            html.Iframe(
                id="share-letter", className="letter", title="The letter as it would be sent",
                sandbox="allow-same-origin", hidden=True,
            ),
        ],
        className="preview",
        **attributes(aria_labelledby="share-heading"),
    )  # fmt: skip


def _giving_out() -> html.Section:
    copied = html.Button(
        "Copy the message", type="button", className="action", **attributes(data_copy="share-text")
    )
    send = html.Button(
        "Send the PDF …",
        type="button",
        className="action",
        id="share-send",
        hidden=True,
        **attributes(data_send="pdf"),
    )
    return html.Section(
        [
            html.H2("Send it"),
            html.P(html.B(READ_IT)),
            html.Div([send, *_buttons(LETTER)], className="next"),
            _made("share-made"),
            html.Details(
                [
                    html.Summary("The message, to read and to copy"),
                    html.Label("The message", htmlFor="share-text", className="small"),
                    Typed("textarea", id="share-text", readOnly=True, rows=12),
                    html.Div(copied, className="next"),
                    html.P(id="share-copied", className="said", role="status"),
                ],
                id="share-message",
                className="entry",
            ),
        ],
        id="sending",
        className="giving-out",
        tabIndex=-1,
    )


def _buttons(made: Iterable[str]) -> list[html.Button]:
    names = LETTER | BESIDE
    return [
        html.Button(names[what].said, type="button", className="action", **attributes(data_make=what))
        for what in made
    ]


def _made(name: str) -> html.P:
    """What came of a button, with the file to be tapped where the browser has not kept it by itself."""
    return html.P(id=name, className="said made", role="status")


def _beside(horse: str) -> html.Section:
    each = [
        html.Div(
            [
                html.P(made.told.format(horse=horse)),
                html.Div(_buttons([what]), className="next"),
                _made(f"share-made-{what}"),
            ]
        )
        for what, made in BESIDE.items()
    ]
    return html.Section([html.H2("To take along"), html.Div(each, className="along")], className="take-along")
