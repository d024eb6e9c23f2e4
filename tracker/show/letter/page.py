"""The letter as one page of HTML: no script, nothing from elsewhere; what was typed is shown, never obeyed."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import asdict
from functools import cache
from importlib.resources import files

import jinja2

from tracker.show.letter.blocks import Letter


def page(letter: Letter) -> str:
    """The letter as an HTML document that stands alone."""
    return _template().render(asdict(letter))


@cache
def _template() -> jinja2.Template:
    setting = jinja2.Environment(
        autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    setting.filters["base64"] = lambda content: b64encode(content).decode("ascii")
    return setting.from_string(files(__package__).joinpath("letter.html").read_text("utf-8"))
