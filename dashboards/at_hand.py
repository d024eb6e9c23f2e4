"""Urgent advice that stands in the page beforehand, so that it needs neither the workbook nor the program."""

from __future__ import annotations

import json
from collections.abc import Mapping

from dash import html

from dashboards.parts import attributes, ring, urgency
from tracker import Book, horses_of, urgent_alone
from tracker.show import words
from tracker.show.contact import vet_of


def at_hand(book: Book) -> html.Div:
    """What is said to one sign or to the top grade, and whom to ring; the page shows what fits the entry."""
    return html.Div(
        [
            *(_said(typed, firing.urgency, firing.words) for typed, firing in urgent_alone()),
            *(_number(book, horse) for horse in horses_of(book)),
            html.P(words.CAUTION, className="small caution"),
        ],
        id="at-hand",
        hidden=True,
        **attributes(aria_live="assertive"),
    )


def _said(typed: Mapping[str, str], how_soon: str, to_do: str) -> html.Div:
    return html.Div(
        [
            html.P([urgency(how_soon, words.URGENCY_WORDS[how_soon])]),
            html.P(to_do, className="to-do"),
            html.P(_reason(typed), className="small"),
        ],
        hidden=True,
        className=f"warning {how_soon.replace(' ', '-')}",
        **attributes(data_when=json.dumps(_when(typed))),
    )


def _when(typed: Mapping[str, str]) -> dict[str, object]:
    """What must stand in the form: raised pulses in any two feet, lame in both fronts, else just what is typed."""
    when: dict[str, object] = {key: text for key, text in typed.items() if not key.startswith("pulse_")}
    if "pulse_lf" in typed:
        when["raised"] = 2
    if when.pop("limb", ""):
        del when["score"]
        when["fronts"] = True
    return when


def _reason(typed: Mapping[str, str]) -> str:
    pulses = ["raised pulses"] if "pulse_lf" in typed else []
    if "limb" in typed:
        return ", ".join([*pulses, "lame in both fronts"])
    return ", ".join([*pulses, typed.get("signs") or f"grade {typed['score']} on {typed['scale']}"])


def _number(book: Book, horse: str) -> html.Div:
    return html.Div(ring(vet_of(book, horse)), hidden=True, **attributes(data_horse=horse))
