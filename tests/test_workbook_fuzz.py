"""No spoilt workbook gives anything but its cells or one sentence, quickly and in little memory.

`python tests/test_workbook_fuzz.py 5000` reads so many of them; the suite reads some hundred.
"""

from __future__ import annotations

import datetime as dt
import faulthandler
import json
import os
import subprocess
import sys
import time
import traceback
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from mutants import KINDS, mutant
from packed import PRINT_MOST_MEMORY

ROOT = Path(__file__).parents[1]
SHARES = {"xlsx": 0.4, "ods": 0.2, "csv": 0.15, "xls": 0.15, "xlsb": 0.1}
IN_THE_SUITE = 300
MOST_SECONDS = 5.0  # of work
MOST_MEMORY = 1_000_000_000  # bytes
_BATCH = 100
_STUCK = 60  # seconds on the clock, after which a batch is given up


@dataclass(frozen=True, slots=True)
class Fault:
    """A spoilt workbook that did harm: `mutant(kind, number)` makes it again."""

    kind: str
    number: int
    what: str


def keep_at(folder: Path, kind: str, content: bytes) -> Path:
    """Write a spoilt workbook where it can be read; a CSV file in a folder."""
    if kind != "csv":
        path = folder / f"horse.{kind}"
        path.write_bytes(content)
        return path
    (folder / "diary").mkdir(exist_ok=True)
    (folder / "diary" / "Soundness.csv").write_bytes(content)
    return folder / "diary"


def try_out(kind: str, numbers: range) -> None:
    """Read and check spoilt workbooks in this process; print each as it begins, its fault, and the memory."""
    from tracker.check.book import check_workbook
    from tracker.problem import Unreadable
    from tracker.workbook.read import read_workbook

    with TemporaryDirectory() as folder:
        for number in numbers:
            path = keep_at(Path(folder), kind, mutant(kind, number))
            print(json.dumps(["begun", number]), flush=True)
            faulthandler.dump_traceback_later(_STUCK, exit=True)
            start = _work()
            try:
                check_workbook(read_workbook(path), dt.date(2026, 6, 30))
                outcome = "read"
            except Unreadable as refusal:
                outcome = refusal.problem.kind
            except BaseException:
                print(json.dumps(["fault", number, traceback.format_exc(limit=-4)]), flush=True)
                continue
            if (seconds := _work() - start) > MOST_SECONDS:
                print(json.dumps(["fault", number, f"{outcome} took {seconds:.1f} s"]), flush=True)
            print(json.dumps(["ended", outcome]), flush=True)
    exec(PRINT_MOST_MEMORY)


def _work() -> float:
    """Seconds that this process and those it started have worked."""
    return sum(os.times()[:4])


def faults(kind: str, numbers: range) -> tuple[list[Fault], dict[str, int], int]:
    """Try a batch out in a process of its own: the faults, how often each outcome came, the most memory."""
    result = subprocess.run(
        [sys.executable, __file__, kind, str(numbers.start), str(numbers.stop)],
        cwd=ROOT, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'tests'}"},
    )  # fmt: skip
    found: list[Fault] = []
    outcomes: dict[str, int] = {}
    last, memory = numbers.start, 0
    for line in result.stdout.splitlines():
        said = json.loads(line)
        if isinstance(said, int):
            memory = said
        elif said[0] == "begun":
            last = said[1]
        elif said[0] == "ended":
            outcomes[said[1]] = outcomes.get(said[1], 0) + 1
        else:
            found.append(Fault(kind, said[1], said[2]))
    if result.returncode or result.stderr:
        found.append(Fault(kind, last, f"ended with {result.returncode}: {result.stderr[-2000:]}"))
    elif memory > MOST_MEMORY:
        found.append(Fault(kind, last, f"one of {numbers} took {memory:,} bytes"))
    return found, outcomes, memory


def run(count: int) -> tuple[list[Fault], dict[str, dict[str, int]], dict[str, int]]:
    """Try so many out, in two processes at a time: faults, outcomes by kind, and the most memory by kind."""
    batches = [
        (kind, range(start, min(start + _BATCH, int(count * share))))
        for kind, share in SHARES.items()
        for start in range(0, int(count * share), _BATCH)
    ]
    found: list[Fault] = []
    outcomes: dict[str, dict[str, int]] = {kind: {} for kind in KINDS}
    memory = dict.fromkeys(KINDS, 0)
    with ThreadPoolExecutor(2) as pool:
        for (kind, _), (more, ended, most) in zip(
            batches, pool.map(lambda batch: faults(*batch), batches), strict=True
        ):
            found += more
            memory[kind] = max(memory[kind], most)
            for outcome, times in ended.items():
                outcomes[kind][outcome] = outcomes[kind].get(outcome, 0) + times
    return found, outcomes, memory


def test_no_spoilt_workbook_does_harm() -> None:
    found, outcomes, _ = run(IN_THE_SUITE)
    assert found == []
    for kind in KINDS:
        assert sum(outcomes[kind].values()) == int(IN_THE_SUITE * SHARES[kind])
        assert len(outcomes[kind]) > 1, f"all of {kind} end alike: {outcomes[kind]}"


def test_a_spoilt_workbook_can_be_made_again() -> None:
    for kind in ("csv", "xlsb"):
        assert mutant(kind, 7) == mutant(kind, 7) != mutant(kind, 8)


def main() -> None:
    """Report on so many spoilt workbooks; or, called by itself, try out a batch."""
    if len(sys.argv) == 4:
        try_out(sys.argv[1], range(int(sys.argv[2]), int(sys.argv[3])))
        return
    start = time.monotonic()
    found, outcomes, memory = run(int(sys.argv[1]))
    for kind, ended in outcomes.items():
        print(
            f"{kind}: {sum(ended.values())} ended, {dict(sorted(ended.items()))}, most memory {memory[kind]:,}"
        )
    for fault in found:
        print(f"{fault.kind} {fault.number}: {fault.what}")
    print(f"{len(found)} faults in {time.monotonic() - start:.0f} s")
    sys.exit(bool(found))


if __name__ == "__main__":
    main()
