"""The chart of one part of a horse's record: its own lanes, and beside them what may be looked at with it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tracker.book import Book, HorseRecord
from tracker.show.charts.body import score_lanes, weight_lane
from tracker.show.charts.events import abscess_lane, change_lane, relief_lane, visit_lane
from tracker.show.charts.grades import soundness_lanes
from tracker.show.charts.scene import Lane, Scene
from tracker.show.charts.style import Chart
from tracker.show.charts.time_axis import first_off
from tracker.show.charts.time_chart import lanes_chart
from tracker.show.charts.vitals import vital_lanes
from tracker.show.charts.work import work_lane

_Lanes = Callable[[Scene], list[Lane]]


@dataclass(frozen=True, slots=True)
class _Part:
    """The lanes without which a part has no chart, and those that stand below them."""

    own: _Lanes
    beside: _Lanes


def _known(*lanes: Callable[[Scene], Lane | None]) -> _Lanes:
    return lambda scene: [found for lane in lanes if (found := lane(scene))]


_PARTS = {
    "abscesses": _Part(_known(abscess_lane), _known(visit_lane, change_lane, relief_lane)),
    "work": _Part(
        _known(work_lane), lambda scene: [*soundness_lanes(scene), *_known(relief_lane, change_lane)(scene)]
    ),
    "body": _Part(
        lambda scene: [*_known(weight_lane)(scene), *score_lanes(scene), *vital_lanes(scene)],
        _known(relief_lane, change_lane),
    ),
}


def part_chart(book: Book, horse: HorseRecord, part: str, *, narrow: bool = False) -> Chart | None:
    """The chart of "abscesses", "work" or "body", on the same time axis as the horse's; None where it has no lane of its own."""
    scene = Scene(book, horse, first_off(horse.shoes_off, book.as_of), narrow)
    own = _PARTS[part].own(scene)
    return lanes_chart(scene, [*own, *_PARTS[part].beside(scene)]) if own else None
