"""A form's fields as inputs: one function for each kind of input, none for a single column."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from dash import html

from dashboards.parts import attributes
from dashboards.typed import Typed
from tracker import Field
from tracker.show.words import FOOT_NAMES, PULSE_STEPS

TOP_GRADE, TOP_OF_LONG = 5, 10  # the scales 0-5 and 0-10
MOST_HORSES = 8  # more would be a wall of buttons
UNITS = ("mm", "cm", "in")
_PLAIN = ("one of", "several of", "grade", "pulse", "horse", "long words")
_BY_ITSELF = ("both fronts", "both hinds", "all", "not sure", "yes", "no")


@dataclass(frozen=True, slots=True)
class Asked:
    """One field with what the form knows of it: the form's id, the value that stands in it, the horses to choose from.

    `unit` is the unit of bare numbers in the owner's own column, `likely` the one that is chosen at first.
    """

    form: str
    field: Field
    value: str = ""
    horses: tuple[str, ...] = ()
    unit: str = ""
    likely: str = ""

    @property
    def id(self) -> str:
        """The id of the field's input, or the stem of those of its inputs."""
        return f"{self.form}-{self.field.key}"

    @property
    def wrong(self) -> str:
        """The id of the place for what is wrong with it."""
        return f"wrong-{self.field.key}"

    @property
    def described(self) -> str:
        """The ids of what describes it."""
        return f"{self.id}-hint {self.wrong}" if self.hint else self.wrong

    @property
    def hint(self) -> str:
        """What helps to fill it in; buttons speak for themselves."""
        plain = self.field.kind in _PLAIN or (self.field.kind == "day" and self.value)
        return "" if plain else self.field.hint


def field_block(asked: Asked) -> Any:
    """The field as a block of the form: its heading, its inputs, and a place for what is wrong with it."""
    return _BY_KIND[asked.field.kind](asked)


def _block(asked: Asked, *inputs: Any) -> html.Div:
    """A field of one input, with its label."""
    told = html.Label([asked.field.heading, _needed(asked)], htmlFor=asked.id)
    return html.Div([told, *_hint(asked), *inputs, _wrong(asked)], className="field", **_named(asked))


def _group(asked: Asked, *inputs: Any, clear: bool = True) -> html.Fieldset:
    """A field of several inputs, with its legend and, where it may be left empty, a way to empty it again."""
    empty = html.Button(
        "Clear",
        type="button",
        className="clear",
        **attributes(data_do="clear", aria_label=f"Clear {asked.field.heading}"),
    )
    parts = [html.Legend([asked.field.heading, _needed(asked)]), *_hint(asked), *inputs, _wrong(asked)]
    return html.Fieldset(
        [*parts, *([empty] if clear and not asked.field.required else [])],
        className="field",
        **_named(asked),
        **attributes(aria_describedby=asked.described),
    )


def _named(asked: Asked) -> Any:
    return attributes(data_field=asked.field.key)


def _needed(asked: Asked) -> str:
    return " (needed)" if asked.field.required and not asked.value else ""


def _hint(asked: Asked) -> list[Any]:
    return [html.P(asked.hint, id=f"{asked.id}-hint", className="small")] if asked.hint else []


def _wrong(asked: Asked) -> html.P:
    return html.P(id=asked.wrong, className="wrong")


def _input(asked: Asked, part: str = "", **more: Any) -> Typed:
    """An input that stands alone in its field, or a `part` of what the field says."""
    given = {"id": f"{asked.id}-{part}" if part else asked.id, "name": asked.field.key, "autoComplete": "off"}
    if part:
        given["data-part"] = part
    return Typed(**{**given, "aria-describedby": asked.described, **more})


def _choice(
    asked: Asked, value: str, label: Any, kind: str, chosen: bool, look: str = "choice"
) -> html.Label:
    """A big button of a group: a native radio button or tick box behind its label."""
    by_itself = value in _BY_ITSELF and kind == "checkbox"
    box = Typed(
        id=f"{asked.id}-{value.replace(' ', '-')}", type=kind, name=asked.field.key, value=value,
        defaultChecked=chosen, **({"data-alone": "yes"} if by_itself else {}),
    )  # fmt: skip
    return html.Label([box, html.Span(label)], className=look)


def _choices(asked: Asked, pairs: Sequence[tuple[str, Any]], kind: str, look: str) -> html.Div:
    chosen = [part.strip() for part in asked.value.split(",")] if kind == "checkbox" else [asked.value]
    return html.Div(
        [_choice(asked, value, label, kind, value in chosen) for value, label in pairs], className=look
    )


def day(asked: Asked) -> html.Div:
    """A day: the device's own calendar, and, unless it is still to come, a button each for today and yesterday."""
    today = {"data-today": "yes"} if asked.value and asked.field.required else {}
    calendar = _input(asked, type="date", defaultValue=asked.value, **today)
    near = [] if asked.field.ahead else _near_days(asked)
    return _block(asked, html.Div([calendar, *near], className="row"))


def _near_days(asked: Asked) -> list[html.Button]:
    return [
        html.Button(
            word,
            type="button",
            className="word",
            **attributes(
                data_do="day",
                data_for=asked.id,
                data_back=str(back),
                aria_label=f"{asked.field.heading}: {word}",
            ),
        )
        for back, word in enumerate(("Today", "Yesterday"))
    ]


def moment(asked: Asked) -> html.Fieldset:
    """A day, and its time where that is known."""
    date, _, time = asked.value.partition(" ")
    known = {"aria-label": f"{asked.field.heading}: time, if known"}
    parts = [
        _input(asked, type="date", defaultValue=date, **{"aria-label": f"{asked.field.heading}: day"}),
        _input(asked, "time", type="time", defaultValue=time, **known),
    ]
    return _group(asked, html.Div([*parts, *_near_days(asked)], className="row"), clear=False)


def known(asked: Asked) -> html.Div:
    """What is known already: sent with the rest, and only seen where something is wrong with it."""
    value = Typed(id=asked.id, type="hidden", name=asked.field.key, defaultValue=asked.value)
    return html.Div([value, _wrong(asked)], className="known", **_named(asked))


def horse(asked: Asked) -> html.Div | html.Fieldset | Typed:
    """The horse: said, where there is but one; else a button each, or its name with suggestions where there are many."""
    if len(asked.horses) == 1 and asked.value == asked.horses[0]:
        return known(asked)
    if 0 < len(asked.horses) <= MOST_HORSES:
        return _group(
            asked, _choices(asked, [(name, name) for name in asked.horses], "radio", "choices"), clear=False
        )
    names = html.Datalist([html.Option(value=name) for name in asked.horses], id=f"{asked.id}-names")
    return _block(
        asked, _input(asked, type="text", defaultValue=asked.value, list=f"{asked.id}-names"), names
    )


def one_of(asked: Asked) -> html.Fieldset:
    """One of the words allowed, as big buttons; the feet in their places."""
    feet = set(FOOT_NAMES) == set(asked.field.choices)
    pairs = [(word, FOOT_NAMES.get(word, word)) for word in asked.field.choices]
    return _group(asked, _choices(asked, pairs, "radio", "choices across-2" if feet else "choices"))


def several_of(asked: Asked) -> html.Fieldset:
    """Several of the words allowed: limbs as big buttons in their places, anything else as tick boxes."""
    words = asked.field.choices
    if set(FOOT_NAMES) <= set(words):
        across = 3 + (len(words) - 5) // 2
        return _group(asked, _choices(asked, _limbs(words), "checkbox", f"choices across-{across}"))
    ticks = [
        _choice(asked, word, word, "checkbox", word in asked.value.split(", "), "tick") for word in words
    ]
    return _group(asked, html.Div(ticks, className="ticks"))


def _limbs(words: Sequence[str]) -> list[tuple[str, str]]:
    """Fronts above hinds, left on the left, both beside them; what is left over at the end of the lines."""
    lines = [["LF", "RF", "both fronts"], ["LH", "RH", "both hinds"]]
    rest = [word for word in words if word not in lines[0] + lines[1]]
    middle = len(rest) // 2 + len(rest) % 2
    ordered = [*lines[0], *rest[:middle], *lines[1], *rest[middle:]]
    return [(word, FOOT_NAMES.get(word, word)) for word in ordered]


def grade(asked: Asked) -> html.Fieldset:
    """The grade: a button for each whole one, those above 5 on the long scale only, and a half to add."""
    whole, _, half = asked.value.partition(".")
    buttons = [
        _choice(
            asked, str(number), str(number), "radio", whole == str(number),
            "choice beyond" if number > TOP_GRADE else "choice",
        )
        for number in range(TOP_OF_LONG + 1)
    ]  # fmt: skip
    extra = _input(asked, "half", type="checkbox", value="half", defaultChecked=half == "5")
    return _group(
        asked,
        html.Div(
            [*buttons, html.Label([extra, html.Span("+ ½")], className="choice half")], className="grades"
        ),
    )


def pulse(asked: Asked) -> html.Fieldset:
    """The pulse: its steps, each with its word."""
    pairs = [(step, [html.B(step), " ", PULSE_STEPS[int(step)]]) for step in asked.field.choices]
    return _group(asked, _choices(asked, pairs, "radio", "choices across-2"))


def words(asked: Asked) -> html.Div:
    """A few words; those that are often meant stand below as buttons that fill them in."""
    suggested = [
        html.Button(word, type="button", className="word", **attributes(data_do="word", data_for=asked.id))
        for word in asked.field.choices
    ]
    line = _input(asked, type="text", defaultValue=asked.value)
    return _block(asked, line, *([html.Div(suggested, className="row")] if suggested else []))


def long_words(asked: Asked) -> html.Div:
    """Sentences of the person's own."""
    return _block(asked, _input(asked, tag="textarea", rows=2, defaultValue=asked.value))


def length(asked: Asked) -> html.Div:
    """A length, with its unit beside it: what is written says which, unless the owner's heading does."""
    bare = {"data-bare": asked.unit} if asked.unit else {}
    figure = _input(asked, type="text", inputMode="decimal", defaultValue=asked.value, **bare)
    units = html.Div(
        [_unit(asked, unit) for unit in UNITS],
        className="units",
        role="radiogroup",
        **attributes(aria_label=f"{asked.field.heading}: unit"),
    )
    return _block(asked, html.Div([figure, units], className="row figure"))


def _unit(asked: Asked, unit: str) -> html.Label:
    box = Typed(
        id=f"{asked.id}-in-{unit}", type="radio", name=f"{asked.field.key}:unit", value=unit,
        defaultChecked=unit == (asked.unit or asked.likely or UNITS[0]), **{"data-part": "unit"},
    )  # fmt: skip
    return html.Label([box, html.Span(unit)], className="unit")


def number(asked: Asked) -> html.Div:
    """A bare number, with its unit said beside it."""
    figure = _input(asked, type="text", inputMode="decimal", defaultValue=asked.value)
    return _block(
        asked, html.Div([figure, html.Span(asked.unit or asked.field.unit)], className="row figure")
    )


_BY_KIND: dict[str, Callable[[Asked], Any]] = {
    "day": day, "moment": moment, "horse": horse, "one of": one_of, "several of": several_of, "grade": grade,
    "pulse": pulse, "yes/no": words, "words": words, "long words": long_words, "length": length,
    "number": number,
}  # fmt: skip
