"""The growth lines that were marked on a photograph, for the picture of the foot on a horse's page."""

from __future__ import annotations

from collections.abc import Mapping

from dashboards.library import Trouble
from dashboards.photo_desk import PhotoDesk
from tracker import Book, Marking, markings_of
from tracker.show.foot_growth import GrowthLine, HoofRecord, LinesOf, marked_lines, named


def lines_from(book: Book, desk: PhotoDesk) -> LinesOf:
    """Gives the growth lines of a record, from the first photograph of its day and stage that has any.

    A photograph that cannot be read has none: the Photos page says why.
    """
    marked = [marking for marking in markings_of(book) if marking.view == "side" and _has_lines(marking)]

    def lines_of(record: HoofRecord) -> Mapping[str, GrowthLine]:
        for marking in marked:
            if _is_of(record, marking):
                measured = desk.measure(marking, point_part=book.point_part)
                found = {} if isinstance(measured, Trouble) else marked_lines(marking.points, measured.seen)
                if found:
                    return found
        return {}

    return lines_of


def _has_lines(marking: Marking) -> bool:
    return any(point.startswith("line") for point in marking.points)


def _is_of(record: HoofRecord, marking: Marking) -> bool:
    same_horse = named(record).casefold() == marking.horse.casefold()
    same_day = record.date.isoformat() == marking.date
    return same_horse and same_day and (record.foot, record.stage) == (marking.foot, marking.stage)
