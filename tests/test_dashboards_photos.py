"""The Photos pages: what they offer, what they answer, and what never leaves or enters the folder by them."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from entries import HORSE, barn, found, open_elsewhere
from photo_points import SIDE_MM, shot
from PIL import Image

from dashboards.app import make_app
from dashboards.pages.photos import as_sent, page_of_one, parts_of
from tracker import look_at_photo, markings_of, open_book, read_marking
from tracker.show.words import measure

POINTS = {name: [round(x, 1), round(y, 1)] for name, (x, y) in shot(SIDE_MM).items()}
SENT: dict[str, Any] = {
    "photo": "lf.jpg", "view": "side", "foot": "LF", "horse": "Bramble", "date": "2026-06-30",
    "stage": "after trim", "scale": "100 mm", "card": "85.60 x 53.98 mm", "points": POINTS,
}  # fmt: skip


def picture(width: int = 400, height: int = 300, colour: str = "tan") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), colour).save(out, "JPEG")
    return out.getvalue()


class Barn:
    """One workbook's server, asked as its own pages ask."""

    def __init__(self, folder: Path) -> None:
        self.file = barn(folder, Horses=[HORSE])
        self.photos = folder / "barn.xlsx photos"
        self.client = make_app(self.file).server.test_client()

    def post(self, path: str, body: Any) -> Any:
        """The server's answer to a page of ours."""
        data = body if isinstance(body, bytes) else json.dumps(body)
        kind = "application/octet-stream" if isinstance(body, bytes) else "application/json"
        return self.client.post(path, data=data, content_type=kind, headers={"Origin": "http://localhost"})

    def keep(self, content: bytes, name: str = "lf.jpg") -> Any:
        """What is told after a photograph was chosen."""
        return self.post(f"/keep?name={name}", content).get_json()


@pytest.fixture
def place(tmp_path: Path) -> Barn:
    return Barn(tmp_path)


def said(answer: Any) -> str:
    """All words of an answer's components."""
    if isinstance(answer, list | tuple):
        return " ".join(map(said, answer))
    if isinstance(answer, Mapping):
        return said(list(answer.values()) if "props" not in answer else answer["props"].get("children", ""))
    return str(answer) if isinstance(answer, str) else ""


def test_a_photograph_is_kept_as_it_is_and_shown_smaller(place: Barn) -> None:
    content = picture(3000, 2000)
    assert place.keep(content) == {"href": "/photos/lf.jpg", "known": False}
    assert (place.photos / "lf.jpg").read_bytes() == content
    assert place.keep(content)["known"]
    shown = place.client.get("/photo/lf.jpg?side=360")
    assert shown.mimetype == "image/jpeg"
    assert Image.open(io.BytesIO(shown.data)).size == (360, 240)


@pytest.mark.parametrize("content", [b"", b"no picture", picture()[:300]])
def test_what_is_no_photograph_is_told_in_a_sentence_and_not_kept(place: Barn, content: bytes) -> None:
    told = place.keep(content)
    assert set(told) == {"message"}
    assert told["message"].endswith(".")
    assert not place.photos.exists()


@pytest.mark.parametrize("name", ["../barn.xlsx", "%2e%2e%2fbarn.xlsx", "no.jpg", "..%2f..%2fetc%2fpasswd"])
def test_nothing_outside_the_folder_is_shown(place: Barn, name: str) -> None:
    place.keep(picture())
    assert place.client.get(f"/photo/{name}").status_code in (308, 404)


def test_the_points_are_measured_without_writing(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    before = place.file.read_bytes()
    told = place.post(
        "/measure", {**SENT, "lines": [["hairline", "30°"], ["heel", "1 1/8 in"], ["heel", "deep"]]}
    ).get_json()
    words = said(told["read"])
    assert "Toe angle" in words
    assert "±" in words
    assert "The hairline stands" in words
    assert "below the heel's hairline" in words
    assert "“deep” gives no depth" in words
    assert "Common practice, no published source" in words
    assert "The live foot decides" in words
    assert len(told["lines"]) == 2
    assert place.file.read_bytes() == before


def test_what_is_missing_is_said_by_the_names_on_the_page(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    few = {name: POINTS[name] for name in ("toe_hairline", "toe_ground", "ground_front", "ground_back")}
    words = said(place.post("/measure", {**SENT, "points": few}).get_json()["read"])
    assert "heel hairline" in words
    assert "_" not in words


def test_a_marking_is_saved_in_one_go_and_taken_back(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    told = place.post("/enter-points", SENT).get_json()
    assert f"Photo points: {len(POINTS)} points, rows 2 to {len(POINTS) + 1}" in said(told["answer"])
    assert len(found(place.file, "Photo points")) == len(POINTS)
    assert found(place.file, "Hooves")[0]["Photo"] == "lf.jpg"
    (undo,) = [part for part in _parts(told["answer"]) if part.get("data-do") == "undo-points"]
    told = place.post("/undo-points", {"entries": undo["data-entries"].split()}).get_json()
    assert told["state"] == "taken back"
    assert (found(place.file, "Photo points"), found(place.file, "Hooves")) == ([], [])


def _parts(answer: Any) -> list[dict[str, Any]]:
    if isinstance(answer, list):
        return [part for each in answer for part in _parts(each)]
    if isinstance(answer, dict):
        own = [answer["props"]] if "props" in answer else []
        return own + [part for each in answer.get("props", {}).values() for part in _parts(each)]
    return []


def test_it_waits_while_the_workbook_is_open_elsewhere(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    open_elsewhere(place.file)
    words = said(place.post("/enter-points", SENT).get_json()["answer"])
    assert "Kept beside the workbook for now" in words
    assert (place.file.parent / "barn.xlsx.pending.jsonl").exists()


def test_a_foot_that_is_not_chosen_is_asked_for_and_nothing_is_written(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    before = place.file.read_bytes()
    words = said(place.post("/enter-points", {**SENT, "foot": ""}).get_json()["message"])
    assert "Foot" in words
    assert place.file.read_bytes() == before


def test_a_marking_that_is_mended_comes_with_what_was_opened(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    place.post("/enter-points", SENT)
    moved = {
        **SENT,
        "points": {**POINTS, "toe_hairline": [POINTS["toe_hairline"][0] + 30, POINTS["toe_hairline"][1]]},
    }
    words = said(place.post("/enter-points", moved).get_json()["message"])
    assert "this foot is marked in this view already" in words
    assert "marked once more" in words
    told = place.post("/enter-points", {**moved, "loaded": SENT}).get_json()
    assert "Written into" in said(told["answer"])
    assert json.loads(told["loaded"])["points"] == moved["points"]
    again = place.post("/enter-points", {**moved, "loaded": json.loads(told["loaded"])}).get_json()
    assert "Nothing had changed" in said(again["answer"])


def test_a_marked_photograph_is_marked_once_more_without_seeing_the_first_points(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    place.post("/enter-points", SENT)
    book, photo = open_book(place.file), look_at_photo(place.photos / "lf.jpg")
    page = page_of_one(book, "lf.jpg", "", photo, None)
    links = {part["children"]: part["href"] for part in _parts(as_plain(page.body)) if "href" in part}
    assert links["Mark it once more"] == "/photos/lf.jpg/again-1"
    page = page_of_one(book, *parts_of(links["Mark it once more"]), photo, None)
    (section,) = [part for part in _parts(as_plain(page.body)) if part.get("className") == "marking"]
    assert (json.loads(section["data-points"]), section["data-again"]) == ({}, "yes")
    assert "how well you place a point" in said(as_plain(page.body))
    few = [*POINTS][:5]
    again = {name: [POINTS[name][0] + 6, POINTS[name][1]] for name in few}
    sent = {
        **SENT,
        "points": again,
        "foot": "",
        "date": "",
        "again": "yes",
        "loaded": json.loads(section["data-loaded"]),
    }
    told = place.post("/enter-points", sent).get_json()
    first = len(POINTS) + 2
    assert f"Photo points: 5 points, rows {first} to {first + 4}" in said(told["answer"])
    assert len(found(place.file, "Hooves")) == 1
    assert open_book(place.file).point_part is not None
    assert json.loads(told["loaded"])["points"] == {**POINTS, **again}
    (undo,) = [part for part in _parts(told["answer"]) if part.get("data-do") == "undo-points"]
    assert (
        place.post("/undo-points", {"entries": undo["data-entries"].split()}).get_json()["state"]
        == "taken back"
    )
    assert len(found(place.file, "Photo points")) == len(POINTS)


def test_a_photograph_that_goes_is_told_and_one_that_comes_back_is_seen(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    place.post("/enter-points", SENT)
    before = place.client.get("/stamp").data
    (place.photos / "lf.jpg").rename(place.file.parent / "lf.jpg")
    gone = place.client.get("/stamp").data
    assert gone != before
    assert [each.kind for each in open_book(place.file).problems if each.kind.startswith("photo")] == [
        "photo-not-there"
    ]
    (place.file.parent / "lf.jpg").rename(place.photos / "lf.jpg")
    assert place.client.get("/stamp").data == before


def as_plain(component: Any) -> Any:
    """Components as the page receives them."""
    return json.loads(json.dumps(component, default=lambda part: part.to_plotly_json()))


def test_the_page_counts_with_the_learned_error_of_a_point_and_mends_what_was_written_before_it(
    place: Barn,
) -> None:
    place.keep(picture(4000, 3000))
    place.post("/enter-points", SENT)
    usual = place.post("/measure", {**SENT, "lines": [["hairline", "30°"]]}).get_json()["read"]
    book = openpyxl.load_workbook(place.file)
    sheet = book["Photo points"]
    names = [cell.value for cell in sheet[1]]
    for number, row in enumerate(found(place.file, "Photo points"), 2):
        sheet.append([row.get(name) for name in names])
        sheet.cell(number, names.index("X") + 1).value = float(str(row["X"])) + 24
    book.save(place.file)
    (held,) = markings_of(open_book(place.file))
    opened = {**SENT, "points": {name: list(at) for name, at in held.points.items()}}
    seen = read_marking(held, focal_px=None, image_size=(4000.0, 3000.0), point_part=12 / 4000)
    read = place.post("/measure", {**opened, "lines": [["hairline", "30°"]]}).get_json()["read"]
    assert measure(seen["toe_angle"]) in said(read)
    assert _error_beside(said(read)) > 2 * _error_beside(said(usual))
    opened["points"].pop("wall_third")
    told = place.post("/enter-points", {**opened, "loaded": json.loads(as_sent(held))}).get_json()
    assert "Written into" in said(told.get("answer")), said(told)
    (hoof,) = found(place.file, "Hooves")
    assert hoof["Toe angle"] == pytest.approx(seen["toe_angle"].value, abs=0.06)


def _error_beside(words: str) -> float:
    """The error of the line beside the hairline."""
    return float(words.partition("The hairline stands ")[2].partition("± ")[2].partition("°")[0])


def test_what_is_in_doubt_is_said_after_saving(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    told = place.post("/enter-points", {**SENT, "scale": "3 mm", "card": ""}).get_json()
    assert "In doubt" in said(told["answer"])


def test_a_picture_without_a_day_is_not_taken_for_one_of_today(place: Barn) -> None:
    place.keep(picture(4000, 3000))
    before = place.file.read_bytes()
    assert "on which day" in said(place.post("/enter-points", {**SENT, "date": ""}).get_json()["message"])
    assert place.file.read_bytes() == before


@pytest.mark.parametrize(
    "changed",
    [
        {"view": "above"}, {"points": {"toe_ground": ["1", "2"]}}, {"points": {"toe_ground": [1]}},
        {"points": {"toe_ground": [float("inf"), 1]}}, {"photo": 3}, {"foot": None},
        {"lines": ["hairline"]}, {"lines": [["hairline", 30]]},
    ],
)  # fmt: skip
def test_what_no_page_of_ours_sends_is_refused(place: Barn, changed: dict[str, Any]) -> None:
    assert place.post("/measure", {**SENT, **changed}).status_code == 400


def test_a_page_of_another_site_cannot_send_a_photograph(place: Barn) -> None:
    answer = place.client.post(
        "/keep?name=a.jpg", data=picture(), headers={"Origin": "http://elsewhere.example"}
    )
    assert answer.status_code == 403
    assert not place.photos.exists()
