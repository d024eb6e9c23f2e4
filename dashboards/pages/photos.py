"""Photos: those that lie beside the workbook, and one of them with its points to mark."""

from __future__ import annotations

import datetime as dt
import json
from base64 import b64encode
from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from urllib.parse import quote, unquote

from dash import dcc, html

from dashboards.fields import Asked, field_block
from dashboards.library import Trouble
from dashboards.pages.before_after import pairs_in
from dashboards.parts import Page, attributes, lead, marked
from dashboards.point_drawings import drawing_of
from dashboards.typed import Typed
from tracker import Book, Marking, Photo, form_of, horses_of, markings_of
from tracker.show import words
from tracker.show.marking import ID_CARD, LINE_CAUTION, VIEWS, foot_of, guide_of

PATH = "/photos"
NAV = "Photos"
KINDS = "image/jpeg,image/png,image/webp,image/heic,image/heif,.jpg,.jpeg,.png,.webp,.heic,.heif"

_CAUTION = (
    "An angle from a photo is provisional until somebody has checked the live foot. "
    "A photo shows the outline of one side; it says nothing of what lies within."
)
_ERROR = (
    "± of a measure here is the error of the points and of the camera's place. How the horse stood is not in it, nor how the "
    "hairline was taken: the lines to compare with, the horse's page and Before and after count with the error of "
    "photographs in general where that is larger."
)
_HOW = (
    "Stand the camera as low as the hoof, straight beside it, 1.5 to 2 m away. "
    "A bank card that stands beside the middle of the foot lets the tilt be measured and gives the scale."
)
_LINES = (
    ("hairline", "Beside the hairline, at", ("30°",), "Another angle", "Degrees to the ground, such as 25."),
    ("heel", "Level, below the heel's hairline by", ("1 1/8 in", "1 1/4 in"), "Another depth", "Such as 1 3/8 in, 1½ in or 35 mm."),
)  # fmt: skip
_AGAIN = "again-"
_AGAIN_TOLD = (
    "To learn how well you place a point: mark the points as if for the first time. Where they lay before is not shown. "
    "Once points were marked again, five or more of them, the program counts with your own error in place of the usual one.",
    "The points of both times stay on the sheet Photo points, and the later ones count. The row that the program wrote on Hooves "
    "moves to what they measure; one that was checked on the live horse, or that you changed, stays as it is.",
)
_VIEW_WORDS = {"side": "from the side", "front": "from the front", "sole": "the sole"}


def is_photos(path: str) -> bool:
    """Whether an address is one of these pages'."""
    return path == PATH or path.startswith(f"{PATH}/")


def href_of(name: str) -> str:
    """The address of the page of one photograph."""
    return f"{PATH}/{quote(name, safe='')}"


def parts_of(path: str) -> tuple[str, str]:
    """The photograph's name in such an address, and which of its markings is meant: "" for the first, "2", "new".

    "again-2" is the second, to be marked once more.
    """
    name, _, which = path.removeprefix(PATH).strip("/").partition("/")
    return unquote(name), which


def layout(book: Book, names: Sequence[str]) -> Page:
    """All photographs beside the workbook, and the place to add one."""
    marks: dict[str, list[Marking]] = {}
    for marking in markings_of(book):
        marks.setdefault(marking.photo, []).append(marking)
    cards = [_card(name, marks.get(name, [])) for name in names]
    missing = [name for name in marks if name not in names]
    return Page(
        "Photos of the feet",
        [
            lead("Add a photo, mark its points, and see the angles with their error."),
            _choose(),
            html.P(_HOW, className="small"),
            *_side_by_side(book),
            html.Div(cards, className="photo-cards"),
            *_missing(book, missing),
            html.P(_CAUTION, className="small caution"),
        ],
    )


def _side_by_side(book: Book) -> list[Any]:
    pairs = pairs_in(book)
    return (
        [html.H2("Before and after"), html.Ul(pairs, className="pairs"), html.H2("All photos")]
        if pairs
        else []
    )


def _choose() -> html.Div:
    file = Typed(id="photo-file", type="file", accept=KINDS)
    return html.Div(
        [
            html.Label([html.Span("Choose a photo, or drop it here", className="action"), file], className="drop"),
            html.P(id="photo-message", role="status", className="problem error"),
            html.P(
                "It is kept beside the workbook as it is: nothing in it is changed, and it is sent nowhere.",
                className="small",
            ),
        ],
        id="photo-drop",
    )  # fmt: skip


def _card(name: str, markings: Sequence[Marking]) -> dcc.Link:
    said = [_said(marking) for marking in markings] or ["no points marked yet"]
    picture = html.Img(src=f"/photo/{quote(name, safe='')}?side=360", alt="")
    lines = [html.Span(line, className="small") for line in said]
    return dcc.Link([picture, html.B(name), *lines], href=href_of(name), className="photo-card")


def _said(marking: Marking) -> str:
    day = words.day(dt.date.fromisoformat(marking.date)) if marking.date else ""
    foot = foot_of(marking.foot) or "foot not given"
    number = len(marking.points)
    return f"{foot}, {_VIEW_WORDS[marking.view]}, {day or 'day not given'}: {number} {'point' if number == 1 else 'points'}"


def _missing(book: Book, names: Sequence[str]) -> list[Any]:
    if not names:
        return []
    return [
        html.P(
            f"On the sheet Photo points, but not in the folder {book.path.name} photos: {', '.join(names)}. "
            "Put the file back there under that name.",
            className="small",
        )
    ]


def page_of_one(book: Book, name: str, which: str, photo: Photo | Trouble, closed: Trouble | None) -> Page:
    """One photograph, with the points of one foot and view as the workbook has them, or with none yet."""
    if isinstance(photo, Trouble):
        return not_there(photo)
    if closed:
        return not_there(closed)
    found = [marking for marking in markings_of(book) if marking.photo == name]
    at = which.removeprefix(_AGAIN)
    number = int(at) - 1 if at.isascii() and at.isdigit() else 0
    loaded = found[number] if which != "new" and 0 <= number < len(found) else None
    if loaded and which.startswith(_AGAIN):
        return _once_more(book, loaded, number, photo)
    marking = loaded or _fresh(book, name, photo)
    return Page(
        "Mark a photo",
        [
            html.Div(id="photo-answer", className="answer"),
            html.Form(
                [
                    _which(book, marking, loaded),
                    _marking(book, marking, _sent_with(loaded, found), photo),
                    _when(marking),
                    _bar(),
                ],
                id="photo-form", autoComplete="off", noValidate=True,
            ),
            *_others(name, found, loaded),
        ],
        holds_entry=True,
    )  # fmt: skip


def _once_more(book: Book, loaded: Marking, number: int, photo: Photo) -> Page:
    """A marked photograph with empty points, so that nobody sees where they were placed before."""
    told, opened = _said(loaded), href_of(loaded.photo)
    sent = {**_sent_with(loaded, ()), "data_marking": f"{_key(loaded)} once more", "data_again": "yes"}
    return Page(
        "Mark it once more",
        [
            html.Div(id="photo-answer", className="answer"),
            html.Form(
                [
                    html.P(f"{told[:1].upper()}{told[1:]}."),
                    *map(html.P, _AGAIN_TOLD),
                    html.Div(_view(loaded), className="entry which", hidden=True),
                    _marking(book, replace(loaded, points={}), sent, photo),
                    _bar(),
                ],
                id="photo-form", autoComplete="off", noValidate=True,
            ),
            html.P(dcc.Link("See or mend the points as they are", href=f"{opened}/{number + 1}")),
        ],
        holds_entry=True,
    )  # fmt: skip


def _others(name: str, found: Sequence[Marking], loaded: Marking | None) -> list[Any]:
    """What else is marked in the same photograph, and the ways to mark it once more, or another foot or view of it."""
    links: list[Any] = [
        dcc.Link(_said(marking), href=f"{href_of(name)}/{number}")
        for number, marking in enumerate(found, 1)
        if marking is not loaded
    ]
    if loaded:
        again = dcc.Link("Mark it once more", href=f"{href_of(name)}/{_AGAIN}{found.index(loaded) + 1}")
        fresh = dcc.Link("Mark another foot, or another view, in this photo", href=f"{href_of(name)}/new")
        links += [[again, ", to learn how well you place a point"], fresh]
    return [html.Ul([html.Li(link) for link in links], className="pairs")] if links else []


def as_sent(marking: Marking) -> str:
    """A marking as the page sends it back when it was mended."""
    return json.dumps(
        {
            "photo": marking.photo, "view": marking.view, "foot": marking.foot, "horse": marking.horse,
            "date": marking.date, "stage": marking.stage, "scale": marking.scale, "card": marking.card,
            "points": {name: list(place) for name, place in marking.points.items()},
        }
    )  # fmt: skip


def not_there(trouble: Trouble) -> Page:
    """What is said where a photograph cannot be used."""
    return Page(
        "This photo cannot be used",
        [
            html.P(marked(trouble.message)),
            html.P([html.B("To do: "), *marked(trouble.hint)]),
            html.P(dcc.Link("All photos", href=PATH)),
        ],
    )


def _fresh(book: Book, name: str, photo: Photo) -> Marking:
    horses = horses_of(book)
    day = photo.taken.isoformat() if photo.taken else ""
    return Marking(name, "side", horse=horses[0] if len(horses) == 1 else "", date=day, card=ID_CARD)


def _which(book: Book, marking: Marking, loaded: Marking | None) -> html.Div:
    """Which foot it is, and from where it is seen; the view of what is marked already stays."""
    fields = {field.key: field for field in form_of("Photo points")}
    horses = horses_of(book)
    horse, foot = (
        field_block(Asked("photo", fields[key], value, horses))
        for key, value in (("horse", marking.horse), ("foot", marking.foot))
    )
    return html.Div([horse, _view(marking, settled=loaded is not None), foot], className="entry which")


def _view(marking: Marking, *, settled: bool = True) -> html.Div:
    """From where it is seen; `settled` where that cannot change any more."""
    field = {field.key: field for field in form_of("Photo points")}["view"]
    choices = (marking.view,) if settled else field.choices
    block: html.Div = field_block(Asked("photo", replace(field, choices=choices), marking.view))
    return block


def _when(marking: Marking) -> html.Div:
    """The day, the stage, and how large the card or the scale is: open until the day is known."""
    date = {field.key: field for field in form_of("Photo points")}["date"]
    stage = {field.key: field for field in form_of("Hooves")}["stage"]
    blocks = [
        field_block(Asked("photo", date, marking.date)),
        field_block(Asked("photo", stage, marking.stage)),
        *_sizes(marking),
    ]
    told = [html.Summary("Day, stage, and the size of the card"), *blocks]
    return html.Div(html.Details(told, open=not marking.date, id="photo-when"), className="entry")


def _sizes(marking: Marking) -> list[html.Div]:
    """How large the card is, and how far apart the two ends of a scale are."""
    told = (
        ("card", "Card, if one stands beside the foot", marking.card, "A bank card has 85.60 x 53.98 mm."),
        ("scale", "Scale: from end to end", marking.scale, "Such as 100 mm, where a ruler or a stick is marked."),
    )  # fmt: skip
    return [
        html.Div(
            [
                html.Label(label, htmlFor=f"photo-{name}"),
                html.P(hint, className="small", id=f"photo-{name}-hint"),
                Typed(
                    id=f"photo-{name}", name=name, type="text", defaultValue=value,
                    **{"aria-describedby": f"photo-{name}-hint"},
                ),
            ],
            className="field",
            **attributes(data_field=name),
        )
        for name, label, value, hint in told
    ]  # fmt: skip


def _key(marking: Marking) -> str:
    return " ".join((marking.view, marking.foot, marking.horse))


def _sent_with(loaded: Marking | None, found: Sequence[Marking]) -> dict[str, str]:
    """What goes with the points when they are saved; `found` is all that the workbook holds of the photograph."""
    return {
        "data_marking": _key(loaded) if loaded else "",
        "data_loaded": as_sent(loaded) if loaded else "",
        "data_held": "" if loaded else json.dumps([as_sent(each) for each in found]),
    }


def _marking(book: Book, marking: Marking, sent: dict[str, str], photo: Photo) -> html.Section:
    """The picture and its points; drawn by assets/photo.js. `sent` as `_sent_with` gives it."""
    views = {view: _guide(view) for view in VIEWS}
    return html.Section(
        [
            html.Div(className="canvas", tabIndex=0),
            html.Div(className="point-now"),
            html.Ol(className="points"),
            html.Details(_lines(), className="guides", id="photo-lines"),
            html.Div(id="photo-read", className="read", **attributes(aria_live="polite")),
            html.P([_CAUTION, " ", _ERROR], className="small caution"),
        ],
        className="marking",
        **attributes(
            data_photo=marking.photo,
            data_workbook=book.path.name,
            **sent,
            data_src=f"/photo/{quote(marking.photo, safe='')}",
            data_size=json.dumps([photo.width, photo.height]),
            data_points=json.dumps({name: list(place) for name, place in marking.points.items()}),
            data_views=json.dumps(views),
        ),
    )


def _lines() -> list[Any]:
    """The lines that people draw on a photo: off until somebody asks for one."""
    return [
        html.Summary("Lines to compare with"),
        html.P(LINE_CAUTION, className="small"),
        *(_line(*each) for each in _LINES),
    ]


def _line(kind: str, title: str, usual: Sequence[str], other: str, hint: str) -> html.Fieldset:
    """One kind of line: the usual values to tick, and room for any other."""
    name, own = f"line-{kind}", f"photo-line-{kind}"
    ticks = [
        html.Label(
            [Typed(id=f"{own}-{number}", type="checkbox", name=name, value=value), html.Span(value)],
            className="tick",
        )
        for number, value in enumerate(usual, 1)
    ]
    typed = Typed(id=own, name=name, type="text", maxLength=40, **{"aria-describedby": f"{own}-hint"})
    return html.Fieldset(
        [
            html.Legend(title),
            html.Div(ticks, className="ticks"),
            html.Label(other, htmlFor=own),
            typed,
            html.P(hint, className="small", id=f"{own}-hint"),
        ],
        className="line",
    )


def _guide(view: str) -> dict[str, Any]:
    guide = guide_of(view)
    return {
        "order": guide.order,
        "optional": guide.optional,
        "pairs": guide.pairs,
        "names": dict(guide.names),
        "said": dict(guide.said),
        "drawings": {point: _as_address(drawing_of(view, point)) for point in guide.order},
    }


def _as_address(svg: str) -> str:
    return f"data:image/svg+xml;base64,{b64encode(svg.encode()).decode()}"


def _bar() -> html.Div:
    return html.Div(
        [
            html.Div(id="photo-message", **attributes(aria_live="polite")),
            html.Button("Save", type="submit", className="save", id="photo-save"),
        ],
        className="bar",
    )
