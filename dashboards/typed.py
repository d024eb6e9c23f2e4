"""An input of the page's own, for what a person types: a redraw of the page never touches what stands in it.

It is drawn by assets/write.js with the element's own attributes (in React's spelling: `defaultValue`, `inputMode`).
"""

from __future__ import annotations

from typing import Any

from dash.development.base_component import Component

_NONE: list[str] = []
_PROPS = ["tag", "attributes"]


class Typed(Component):
    """One <input> or <textarea>; `attributes` are its attributes, among them its `id`."""

    _children_props = _NONE
    _base_nodes = _NONE
    _namespace = "ledger"
    _type = "Typed"
    _prop_names = _PROPS
    _valid_wildcard_attributes = _NONE
    available_properties = _PROPS
    available_wildcard_properties = _NONE

    def __init__(self, tag: str = "input", **attributes: Any) -> None:
        given = {name: value for name, value in attributes.items() if value is not None}
        super().__init__(tag=tag, attributes=given)  # type: ignore[no-untyped-call]
