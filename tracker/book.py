"""The whole journey of a workbook: read, check, derive, warn."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tracker.cells.text import fold
from tracker.check.book import Checked, check_workbook, with_more
from tracker.derive.abscess import Episode, episodes
from tracker.derive.abscesses.crack import paces_of
from tracker.derive.abscesses.horse import AbscessRecord, abscess_record
from tracker.derive.body.horse import BodyRecord, body_record, weight_formulas
from tracker.derive.change import Change, PairDifference, all_changes, left_right
from tracker.derive.growth.front_wall import FrontWall, front_walls
from tracker.derive.growth.horse import Growth, growth
from tracker.derive.hooves import HoofRecord, hoof_records
from tracker.derive.photo.again import learned_point_part
from tracker.derive.photo.lost import lost_photographs
from tracker.derive.photo.markings import hoof_rows, markings_in, names_among, point_rows
from tracker.derive.photo.own import Errors, own_errors, seen_together
from tracker.derive.progress.horse import Progress, progress
from tracker.derive.referral.answer import Answer
from tracker.derive.referral.answers import answered, read_answers
from tracker.derive.referral.facts import Worked
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.limits_said import limit_problems
from tracker.derive.referral.recorded import Recorded, Records
from tracker.derive.referral.rules import fire
from tracker.derive.relief import Course, courses
from tracker.derive.rows import by_horse
from tracker.derive.shoes import shoes_off
from tracker.derive.soundness import Series, comparable_series, scores
from tracker.derive.trimming.horse import Trimming, trimming
from tracker.derive.trims import Trim, intervals, trims
from tracker.derive.work.horse import WorkRecord, work_record
from tracker.derive.worsening.alternating import Alternating, alternating
from tracker.derive.worsening.record import Watch, watches
from tracker.derive.written import LATE, OnItsDay, when_written, written_shares
from tracker.photos.folder import folder_of, photos_of
from tracker.problem import ERROR, Problem, Unreadable
from tracker.reference.body import ANY
from tracker.sheets import (
    ABSCESSES,
    BODY,
    FOLLOW_UP,
    HOOVES,
    HORSES,
    LIMITS,
    PAIN_RELIEF,
    PHOTO_POINTS,
    SOUNDNESS,
    VISITS,
)
from tracker.table import Table
from tracker.workbook.read import RawWorkbook, read_workbook

Changes = Mapping[str, Mapping[str, Change]]
AnswersOf = Mapping[str, tuple[Answer, ...]]


@dataclass(frozen=True, slots=True)
class HorseRecord:
    """What is known and derived of one horse.

    `feet` holds each hoof record with its changes, by foot and date; `late_rows` are the rows of its grades that
    were written down days later.
    """

    name: str
    shoes_off: Mapping[str, dt.date | None]
    series: tuple[Series, ...]
    feet: tuple[tuple[HoofRecord, Changes], ...]
    pairs: tuple[PairDifference, ...]
    episodes: tuple[Episode, ...]
    courses: tuple[Course, ...]
    trims: tuple[Trim, ...]
    warnings: tuple[Firing, ...]
    progress: Progress
    watches: tuple[Watch, ...]
    alternating: Alternating | None
    growth: Growth
    abscesses: AbscessRecord
    body: BodyRecord
    trimming: Trimming
    work: WorkRecord
    late_rows: frozenset[int]
    answers: tuple[Answer, ...] = ()


@dataclass(frozen=True, slots=True)
class Book:
    """One workbook as of one day: its checked tables, its problems, and the record of each horse.

    `point_part` is the error of a point that its owner marks on a photograph, as a part of the picture's long
    side; None where too little was marked again to know. `day_first` is how it was opened.
    """

    path: Path
    as_of: dt.date
    tables: Mapping[str, Table]
    problems: tuple[Problem, ...]
    rows: Mapping[str, tuple[int, int]]
    horses: tuple[HorseRecord, ...]
    point_part: float | None = None
    day_first: bool | None = None

    def horse(self, name: str) -> HorseRecord | None:
        """The horse of that name, whatever its capitals."""
        return next(
            (horse for horse in self.horses if horse.name.casefold() == name.strip().casefold()), None
        )


def check_book(
    path: str | os.PathLike[str], *, today: dt.date | None = None, day_first: bool | None = None
) -> Checked:
    """Read and check a workbook without deriving anything. Raises Unreadable."""
    return _read(read_workbook(path), today or dt.date.today(), day_first)[0]


def check_all(workbook: RawWorkbook, today: dt.date, day_first: bool | None = None) -> Checked:
    """Check a workbook that was read, and whether what its answers answer ever was. Raises Unreadable."""
    return _with_warnings_said(check_workbook(workbook, today, day_first), today)[0]


def _read(
    workbook: RawWorkbook, today: dt.date, day_first: bool | None
) -> tuple[Checked, AnswersOf, Records]:
    """The checked workbook, with what the files beside it show, its answers to warnings by horse, and its records."""
    read = check_workbook(workbook, today, day_first)
    checked, answers, records = _with_warnings_said(read, today)
    lost = _lost_photographs(workbook.path, checked.tables[PHOTO_POINTS.name])
    return with_more(checked, lost), answers, records


def _with_warnings_said(checked: Checked, today: dt.date) -> tuple[Checked, AnswersOf, Records]:
    """The same with what is wrong with its limits and its answers to warnings, and the answers by horse."""
    records = Records(checked.tables, today)
    limits = limit_problems(checked.tables[LIMITS.name])
    found = read_answers(records)
    with_limits = _with_rows_aside(checked, LIMITS.name, limits)
    return _with_rows_aside(with_limits, FOLLOW_UP.name, found.problems), found.answers, records


def _with_rows_aside(checked: Checked, sheet: str, found: Sequence[tuple[int, Problem]]) -> Checked:
    """The same with more problems of a sheet, and with the rows set aside that cannot be used for them."""
    if not found:
        return checked
    unusable = {row for row, problem in found if problem.severity == ERROR}
    table, (read, aside) = checked.tables[sheet], checked.rows[sheet]
    more = replace(
        checked,
        tables={**checked.tables, sheet: replace(table, set_aside=table.set_aside | unusable)},
        rows={**checked.rows, sheet: (read, aside + len(unusable))},
    )
    return with_more(more, [problem for _, problem in found])


def open_book(
    path: str | os.PathLike[str], *, on: dt.date | None = None, day_first: bool | None = None
) -> Book:
    """Read, check and derive: everything the workbook says as of the day `on` (today if None).

    `day_first` settles dates such as 4/3/26 where the workbook does not show their order.
    A bad cell or row never raises: it is among the problems. Raises Unreadable where the file cannot be read.
    """
    return book_of(read_workbook(path), on=on, day_first=day_first)


def book_of(workbook: RawWorkbook, *, on: dt.date | None = None, day_first: bool | None = None) -> Book:
    """Check a workbook that was read and derive, as `open_book` does. Raises Unreadable."""
    path, today = workbook.path, dt.date.today()
    as_of = on or today
    checked, answers, records = _read(workbook, max(today, as_of), day_first)
    found = _derived(path, checked.tables, as_of)
    horses = [
        _record_of(records.of(name), checked.tables, found, answers.get(name, ()), as_of)
        for name in _names(checked.tables)
    ]
    told = tuple(
        horse for horse in horses if horse.name or horse.warnings
    )  # nameless rows are shown only to warn
    return Book(
        Path(path), as_of, checked.tables, checked.problems, checked.rows, told, found.point_part, day_first
    )


@dataclass(frozen=True, slots=True)
class _Derived:
    """What is derived for all horses at once; each of them takes its own from it."""

    series: Mapping[str, tuple[Series, ...]]
    feet: Mapping[str, tuple[HoofRecord, ...]]
    walls: Mapping[str, tuple[FrontWall, ...]]
    episodes: Mapping[str, tuple[Episode, ...]]
    relief: Mapping[str, tuple[Course, ...]]
    trims: Mapping[str, tuple[Trim, ...]]
    written: Mapping[str, OnItsDay]
    late: frozenset[int]
    shoes_off: Mapping[str, Mapping[str, dt.date | None]]
    every: Mapping[str, int | None]
    formulas: Mapping[str, str]
    point_part: float | None


def _derived(path: Path, tables: Mapping[str, Table], as_of: dt.date) -> _Derived:
    relief, notes = courses(tables[PAIN_RELIEF.name], as_of), tables[SOUNDNESS.name]
    photo_errors, point_part, walls = _by_photographs(path, tables)
    written = when_written(notes)
    return _Derived(
        series=by_horse(comparable_series(scores(notes, relief, as_of))),
        feet=by_horse(one for one in hoof_records(tables[HOOVES.name], photo_errors) if one.date <= as_of),
        walls=by_horse(walls),
        episodes=by_horse(episodes(tables[ABSCESSES.name], as_of)),
        relief=by_horse(relief),
        trims=by_horse(trims(tables[VISITS.name], as_of)),
        written=written_shares(notes, as_of, written),
        late=frozenset(row for row, when in written.items() if when == LATE),
        shoes_off=shoes_off(tables[HORSES.name]),
        every=intervals(tables[HORSES.name]),
        formulas=weight_formulas(tables[HORSES.name]),
        point_part=point_part,
    )


def _record_of(
    recorded: Recorded,
    tables: Mapping[str, Table],
    found: _Derived,
    answers: Sequence[Answer],
    as_of: dt.date,
) -> HorseRecord:
    """One horse: its own part of what is derived for all, what follows from that, and its warnings."""
    name = recorded.horse
    off = dict(found.shoes_off.get(name) or {"front": None, "hind": None})
    series, feet, done = found.series.get(name, ()), found.feet.get(name, ()), found.trims.get(name, ())
    abscesses, relief = found.episodes.get(name, ()), found.relief.get(name, ())
    own_answers = tuple(answer for answer in answers if answer.day <= as_of)
    watched = watches(series, found.late, [trim.date for trim in done], as_of)
    made = progress(series, off, done, found.written.get(name), as_of)
    known = Worked(
        feet=feet,
        pairs=tuple(left_right(feet)),
        progress=made,
        alternating=alternating(series, as_of),
        watches=watched,
    )
    return HorseRecord(
        name=name,
        shoes_off=off,
        series=series,
        feet=tuple(zip(feet, all_changes(feet, off), strict=True)),
        pairs=known.pairs,
        episodes=abscesses,
        courses=relief,
        trims=done,
        warnings=answered(fire(recorded.facts(as_of, known)), own_answers, tables, as_of),
        answers=own_answers,
        progress=made,
        watches=watched,
        alternating=known.alternating,
        abscesses=abscess_record(name, abscesses, tables, off, done, feet, as_of, paces_of(feet)),
        body=body_record(name, tables[BODY.name], relief, off, as_of, found.formulas.get(name, ANY)),
        work=work_record(name, tables, watched, as_of),
        late_rows=frozenset(point.row for one in series for point in one.points) & found.late,
        growth=growth(feet, off, found.walls.get(name, ()), as_of),
        trimming=trimming(
            done, feet, tables[VISITS.name], found.every.get(name), off, as_of, recorded.trim_limit_days
        ),
    )


def require_records(checked: Checked | Book, path: str | os.PathLike[str]) -> None:
    """Raise Unreadable where the workbook has the right sheets but nothing in them yet."""
    if not checked.problems and not any(read for read, _ in checked.rows.values()):
        raise Unreadable("file-no-records", path=Path(path).name)


def _by_photographs(
    path: Path, tables: Mapping[str, Table]
) -> tuple[Errors, float | None, tuple[FrontWall, ...]]:
    """The photographs' own errors by row of the Hooves sheet, how well their owner places a point, the front walls."""
    if tables[PHOTO_POINTS.name].frame.empty:
        return {}, None, ()
    from tracker.photos.camera import cameras_of  # what opens pictures is loaded only where there are any

    named = names_among(_photos_beside(path))
    points = [*point_rows(tables[PHOTO_POINTS.name], named)]
    hooves = [*hoof_rows(tables[HOOVES.name], named)]
    cameras = cameras_of(path, {row["photo"] for row in points})
    point_part = learned_point_part(points, cameras)
    marked = markings_in(points, hooves)
    seen = [*seen_together(marked, cameras, point_part)]
    return own_errors(hooves, marked, seen), point_part, front_walls(seen)


def _lost_photographs(path: Path, points: Table) -> list[Problem]:
    """What is doubted of the photographs beside the workbook, since the record rests on their files."""
    if points.frame.empty:
        return []
    from tracker.photos.camera import cameras_of

    there = _photos_beside(path)
    rows = [*point_rows(points, names_among(there))]
    readable = cameras_of(path, {row["photo"] for row in rows})
    return lost_photographs(points, rows, folder_of(path).name, there, readable)


def _photos_beside(path: Path) -> tuple[str, ...]:
    try:
        return photos_of(path)
    except OSError:
        return ()


def _names(tables: Mapping[str, Table]) -> list[str]:
    """Every horse, in the order of the Horses sheet and then of first mention.

    "" stands for the rows that were set aside for want of their horse.
    """
    first: dict[str, str] = {}
    for table in (tables[HORSES.name], *tables.values()):
        for name in dict.fromkeys(table.frame["horse"].tolist()):
            first.setdefault(fold(name), name)
    return sorted(first.values(), key=lambda name: name == "")
