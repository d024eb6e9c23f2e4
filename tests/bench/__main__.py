"""`python -m tests.bench [--horses 400] [--plot bench.html] [--only NAME …]` prints the table."""

from __future__ import annotations

import argparse
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))  # `tests` itself is no package

from bench import calibrate
from bench.detectors import DETECTORS
from bench.report import TRYING, TUNING, WANTED, outcome, plot, table


def main() -> None:
    """Fits, measures, prints."""
    options = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    options.add_argument("--only", nargs="+", choices=DETECTORS, default=list(DETECTORS), metavar="NAME")
    options.add_argument("--horses", type=int, default=400, help="in each world")
    options.add_argument("--workers", type=int, default=2)
    options.add_argument("--plot", type=Path, default=None, help="an HTML file to write")
    options.add_argument("--fit", action="store_true", help="only fit the levels of the filter anew")
    said = options.parse_args()
    if said.fit:
        print(calibrate.fit(said.horses, TUNING))
        return
    began = time.monotonic()
    with ProcessPoolExecutor(said.workers) as pool:
        outcomes = list(pool.map(partial(outcome, horses=said.horses), said.only))
    print(
        f"{said.horses} horses a world; fitted to {WANTED:g} false alarm a horse-year on seed {TUNING}, "
        f"measured on seed {TRYING}.\nAlarms by chance at that rate find 4 % in 14 days, 7 % in 28.\n"
    )
    print(table(outcomes))
    if said.plot:
        plot(outcomes, said.plot)
        print(f"\n{said.plot}")
    print(f"\n{time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
