"""How fast the check is, as a ratio to a named peer in the same run. `bash .ci/bench` runs it; no test does.

100,000 rows: `check_book` against python-calamine's own read of the same file (wanted: at most 3).
4,000 rows: the whole process `soundness check` against `python -c "import pandas"` (wanted: at most 2.5).
10,000 feet with a card, derived with errors, against the `uncertainties` package carrying the points' errors
into toe and heel angle alone, with neither tilt nor card (wanted: under 1 s).
Worsening: horse-years of daily grades through the filter (1,683 states, banded) against hmmlearn's forward
pass over the same diaries with 187 states and a full matrix (wanted: 10,000 in 30 s, one alone in 15 ms).
One horse-year: everything that `open_book` derives from checked tables, against the check of the same workbook
(wanted: under 50 ms beside the filter, and 1,000 under 20 s); 1,000 of them are derived one after the other,
those of 40 different horses in turn.
Both: a record appended, verified and saved against openpyxl's load, append and save (wanted: at most 0.1).
"""

from __future__ import annotations

import datetime as dt
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from unittest import mock

import camera
import numpy as np
import openpyxl
import python_calamine
import xlsxwriter
from bench.worlds import draw
from hmmlearn.hmm import CategoricalHMM
from photo_figures import GIVEN
from uncertainties import ufloat, umath
from writing import append_row

from sample_workbooks.build import END, FOLDER, NAMES
from tracker import book, check_book, open_book, side_view
from tracker.check.book import Checked, check_workbook
from tracker.derive.hooves import MEASURED
from tracker.derive.worsening.days import Diaries
from tracker.derive.worsening.many import watch_many
from tracker.derive.worsening.record import _watch
from tracker.sheets import HOOVES, SOUNDNESS
from tracker.table import Table
from tracker.workbook.read import RawWorkbook, read_workbook

ROUNDS = 5
HORSES, TURNS = 40, 25


def write(path: Path, rows: int) -> None:
    """A workbook of six horses and that many daily notes, about half of the cells filled."""
    dice = random.Random(1)
    with xlsxwriter.Workbook(path, {"constant_memory": True}) as book:
        day = book.add_format({"num_format": "d mmm yyyy"})
        horses = book.add_worksheet("Horses")
        horses.write_row(0, 0, ["Horse", "Usual scale"])
        for number in range(6):
            horses.write_row(number + 1, 0, [f"Horse {number}", "0-5"])
        notes = book.add_worksheet("Soundness")
        notes.write_row(0, 0, [column.heading for column in SOUNDNESS.columns])
        for row in range(1, rows + 1):
            notes.write_datetime(row, 0, dt.datetime(2020, 1, 1) + dt.timedelta(days=row // 50), day)
            said = [
                f"Horse {row % 6}",
                dice.choice(["owner", "trimmer"]),
                dice.choice(["walk", "trot"]),
                "hard",
                "straight",
            ]
            notes.write_row(row, 1, [*said, dice.choice(["LF", "right front", "both fronts"])])
            notes.write(row, 8, dice.choice([0, 1, 1.5, 2, 3]))
            notes.write(row, 9, dice.choice(["better", "same", "worse"]))
            if dice.random() < 0.3:
                notes.write(row, 18, f"remark {row}")


def seconds(work: Callable[[], object], clock: Callable[[], float] = time.perf_counter) -> float:
    """How long it takes."""
    start = clock()
    work()
    return clock() - start


def ratio(name: str, work: Callable[[], object], peer: Callable[[], object], rounds: int = ROUNDS) -> None:
    """Print the median ratio of rounds in which the two take turns."""
    work(), peer()
    pairs = [(seconds(work), seconds(peer)) for _ in range(rounds)]
    ratios = sorted(one / other for one, other in pairs)
    ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(
        f"{name}: {statistics.median(ratios):.2f} ({ratios[0]:.2f} to {ratios[-1]:.2f}); {ours:.2f} s against {theirs:.2f} s"
    )


def calamine(path: Path) -> object:
    """The peer: every sheet as plain lists."""
    book = python_calamine.load_workbook(str(path))
    return [book.get_sheet_by_name(name).to_python() for name in book.sheet_names]


def append(path: Path) -> object:
    """A record added by the program, all its safeguards included."""
    record = {0: dt.date(2026, 11, 25), 1: "Horse 1", 8: 2.0}
    return append_row(path, "Soundness", record, heading_row=1, known=range(len(SOUNDNESS.columns)))


def openpyxl_append(path: Path) -> None:
    """The peer: everything loaded and written anew."""
    book = openpyxl.load_workbook(path)
    book["Soundness"].append([dt.date(2026, 11, 25), "Horse 1"])
    book.save(path)


def feet() -> dict[str, np.ndarray]:
    """Ten thousand marked photos: a thousand different ones, each ten times."""
    points = camera.photos(1000, 500, 1500, 3).points
    return {name: np.tile(place, (10, 1)) for name, place in points.items()}


def carried(points: dict[str, np.ndarray]) -> object:
    """The peer: toe and heel angle of each foot, the points' errors carried through every step."""

    def slope(foot: int, upper: str, lower: str) -> object:
        (x1, y1), (x0, y0) = ([ufloat(each, 2.0) for each in points[name][foot]] for name in (upper, lower))
        return umath.atan2(y0 - y1, x1 - x0)

    walls = (("toe_hairline", "toe_ground"), ("heel_hairline", "heel_ground"))
    count = len(points["toe_ground"])
    grounds = [slope(foot, "ground_back", "ground_front") for foot in range(count)]
    return [(slope(foot, *wall) - grounds[foot]).std_dev for foot in range(count) for wall in walls]


def run(*command: str) -> object:
    """A whole process."""
    return subprocess.run(command, check=False, stdout=subprocess.DEVNULL)


def worsening() -> None:
    """The filter, many diaries at once and one alone."""
    diaries = draw("mild", 150, 1)
    looks = (diaries.scores[~np.isnan(diaries.scores)] * 2).astype(int)[:, None]
    lengths = (~np.isnan(diaries.scores)).sum(axis=1)
    peer = CategoricalHMM(n_components=187, n_features=11)
    dice = np.random.default_rng(1)
    peer.startprob_ = dice.dirichlet(np.ones(187))
    peer.transmat_ = dice.dirichlet(np.ones(187), 187)
    peer.emissionprob_ = dice.dirichlet(np.ones(11), 187)
    ratio(
        "150 horse-years, worsening ÷ hmmlearn's forward pass",
        lambda: watch_many(Diaries(diaries.scores)),
        lambda: peer.score(looks, lengths),
        2,
    )
    one = Diaries(diaries.scores[:1])
    ratio("one horse-year alone ÷ the same", lambda: watch_many(one), lambda: peer.score(looks[: lengths[0]]))


def derivations() -> None:
    """One horse-year from checked tables to a record, with the filter's answers kept and without."""
    path = FOLDER / NAMES[0]
    raw = read_workbook(path)
    checked = check_workbook(raw, END)

    def fresh(*_: object) -> Checked:
        """The checked tables as they come from the check: nothing is worked out from them yet."""
        return replace(checked, tables={name: replace(table) for name, table in checked.tables.items()})

    def derive() -> object:
        return open_book(path, on=END)

    def derive_afresh() -> object:
        _watch.cache_clear()
        return derive()

    with (
        mock.patch.object(book, "read_workbook", return_value=raw),
        mock.patch.object(book, "check_workbook", side_effect=fresh),
    ):
        timed = [[seconds(work, time.process_time) for _ in range(15)] for work in (derive_afresh, derive)]
        afresh, kept = (f"{1000 * min(each):.0f} to {1000 * max(each):.0f} ms" for each in timed)
        print(
            f"one horse-year derived, photographs included: {kept} of one core; with the filter too {afresh}"
        )
        with mock.patch.object(book, "_by_photographs", return_value=({}, None, ())):
            ratio("one horse-year, derivations ÷ its check", derive, lambda: check_workbook(raw, END), 15)
    several_horses(raw, checked)


def several_horses(raw: RawWorkbook, checked: Checked) -> None:
    """1,000 horse-years, each with all that is derived of it, looked at; the filter works in the first turn only."""
    dice = np.random.default_rng(1)
    years = [another_horse(checked, f"Horse {number}", dice) for number in range(HORSES)]
    turns = []
    with mock.patch.object(book, "_by_photographs", return_value=({}, None, ())):
        for _ in range(1 + TURNS):
            begun = time.process_time()
            for year in years:
                own = {name: replace(table) for name, table in year.tables.items()}
                with mock.patch.object(book, "check_workbook", return_value=replace(year, tables=own)):
                    (horse,) = book.book_of(raw, on=END).horses
                    for _, changed in horse.feet:
                        len(changed)  # worked out only when it is looked at, as are the changes at a trim
                    for trim in horse.trimming.at_trims:
                        len(trim.changes)
            turns.append(time.process_time() - begun)
    filtered, *others = turns
    print(
        f"{HORSES * TURNS:,} horse-years one after the other, {HORSES} horses in turn: {sum(others):.1f} s of one core "
        f"({1000 * min(others) / HORSES:.0f} to {1000 * max(others) / HORSES:.0f} ms each); with the filter, "
        f"{HORSES} of them {filtered:.1f} s ({1000 * filtered / HORSES:.0f} ms each)"
    )


def another_horse(checked: Checked, name: str, dice: np.random.Generator) -> Checked:
    """The same year of another horse, whose grades and measures are not the same."""

    def other(table: Table) -> Table:
        frame = table.frame.assign(horse=name)
        if table.sheet is SOUNDNESS:
            moved = dice.choice([-1, -0.5, 0, 0, 0, 0, 0.5, 1], len(frame))
            frame["score"] = (frame["score"] + moved).clip(0, 5)
        if table.sheet is HOOVES:
            for measure in MEASURED:
                frame[measure] = frame[measure] + dice.choice([-0.5, 0, 0.5], len(frame))
        return replace(table, frame=frame.astype(table.frame.dtypes.to_dict()))

    return replace(checked, tables={sheet: other(table) for sheet, table in checked.tables.items()})


def main() -> None:
    """Measure and print."""
    derivations()
    worsening()
    marked = feet()
    ratio(
        "10,000 feet, side view with a card ÷ uncertainties' two angles",
        lambda: side_view(marked, card_mm=camera.CARD, **GIVEN),
        lambda: carried(marked),
    )
    with tempfile.TemporaryDirectory() as folder:
        large, small = Path(folder, "large.xlsx"), Path(folder, "small.xlsx")
        write(large, 100_000)
        write(small, 4_000)
        ratio("100,000 rows, check ÷ calamine's read", lambda: check_book(large), lambda: calamine(large))
        ratio(
            "4,000 rows, soundness check ÷ import pandas",
            lambda: run(str(Path(sys.executable).with_name("soundness")), "check", str(small)),
            lambda: run(sys.executable, "-c", "import pandas"),
        )
        for rows, path, rounds in ((4_000, small, ROUNDS), (100_000, large, 2)):
            peer = Path(folder, f"peer-{path.name}")
            shutil.copy(path, peer)
            ratio(
                f"{rows:,} rows, append ÷ openpyxl's load and save",
                partial(append, path),
                partial(openpyxl_append, peer),
                rounds,
            )


if __name__ == "__main__":
    main()
