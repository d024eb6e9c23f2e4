"""Every detector fitted on some seeds and measured on others, as one table and one plot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from bench import asking, measure
from bench.detectors import ASKERS, DETECTORS
from bench.diary import Diaries, Floats
from bench.worlds import CALM, OTHER, POOLED, WORSE, draw

TUNING, TRYING = 1, 1001
RATES = (0.25, 0.5, 1.0, 2.0, 4.0)
"""False alarms in a horse-year, along the plot."""
WANTED = 1.0
"""That of the table."""
WITHIN = {
    "step +1": 14, "drift": 28, "step +0.5": 28, "relapse": 14, "relapse +1": 14, "abscess": 7, "masked worsening": 28,
    "sparse step": 14, "sparse drift": 28, "one limb": 28,
}  # fmt: skip


@dataclass(frozen=True)
class Outcome:
    """A detector's column of the table, and its lines of the plot."""

    name: str
    column: list[tuple[str, str]]
    shares: dict[str, list[float]]


def outcome(name: str, horses: int) -> Outcome:
    """One detector, fitted and measured."""
    detector = DETECTORS[name]
    tuned = np.concatenate([detector(draw(world, horses, TUNING)) for world in POOLED])
    of_horse = {rate: measure.threshold_for(rate, tuned) for rate in RATES}
    by_limb = detector(draw("four limbs", horses, TUNING))
    of_limbs = {rate: measure.threshold_for(rate, by_limb) for rate in RATES}
    tried = {world: draw(world, horses, TRYING) for world in [*CALM, *WORSE, *OTHER]}
    evidence = {world: detector(diaries) for world, diaries in tried.items()}
    level = of_horse[WANTED]
    return Outcome(
        name,
        [
            *_worsening(evidence, tried, {world: _of(world, of_horse, of_limbs)[WANTED] for world in WITHIN}),
            *_with_asking(name, level, horses),
            *_beside(evidence, tried, level),
            *_calm(evidence, level, of_limbs[WANTED]),
            *_other_laws(evidence, tried, level),
        ],
        {
            world: [
                measure.found(measure.delays(evidence[world], level, tried[world]), within)
                for level in _of(world, of_horse, of_limbs).values()
            ]
            for world, within in WITHIN.items()
        },
    )


def _of(world: str, of_horse: dict[float, float], of_limbs: dict[float, float]) -> dict[float, float]:
    """The thresholds that hold in a world: limbs that are scored apart have their own."""
    return of_limbs if world == "one limb" else of_horse


def _share(share: float) -> str:
    return f"{100 * share:.0f} %"


def _median(late: Floats) -> str:
    middle = float(np.median(late))
    return f"{middle:.0f} d" if np.isfinite(middle) else "not"


def _worsening(
    evidence: dict[str, Floats], tried: dict[str, Diaries], level: dict[str, float]
) -> Iterator[tuple[str, str]]:
    for world, within in WITHIN.items():
        late = measure.delays(evidence[world], level[world], tried[world])
        yield f"{world}: found half by", _median(late)
        yield f"{world}: in {within} d", _share(measure.found(late, within))


def _with_asking(name: str, level: float, horses: int) -> Iterator[tuple[str, str]]:
    detector = DETECTORS[name]
    fewer = max(horses // 2, 1)
    asks = ASKERS.get(name) or asking.usual_asker(detector, draw("sparse", horses, TUNING))
    for world in ("sparse step", "sparse drift"):
        diaries, _ = asking.asked(asks, draw(world, fewer, TRYING), TRYING)
        late = measure.delays(detector(diaries), level, diaries)
        yield f"{world}, asking: found half by", _median(late)
        yield f"{world}, asking: in {WITHIN[world]} d", _share(measure.found(late, WITHIN[world]))
    calm, asked = asking.asked(asks, draw("sparse", fewer, TRYING, days=180), TRYING)
    yield "sparse, asking: false alarms a year", f"{measure.rate(detector(calm), level):.2f}"
    yield "sparse, asking: asked a week", f"{asked:.1f}"


def _beside(
    evidence: dict[str, Floats], tried: dict[str, Diaries], level: float
) -> Iterator[tuple[str, str]]:
    for world in ("trims", "improving, trims"):
        share = measure.trims_alarmed(evidence[world], level, tried[world])
        yield f"{world}: trims that alarm", f"{100 * share:.1f} %"


def _calm(evidence: dict[str, Floats], level: float, of_limbs: float) -> Iterator[tuple[str, str]]:
    rates = {
        world: measure.rate(evidence[world], of_limbs if world == "four limbs" else level) for world in CALM
    }
    yield "false alarms a year: pooled", f"{np.mean([rates[world] for world in POOLED]):.2f}"
    for world, rate in rates.items():
        yield f"false alarms a year: {world}", f"{rate:.2f}"


def _other_laws(
    evidence: dict[str, Floats], tried: dict[str, Diaries], level: float
) -> Iterator[tuple[str, str]]:
    for world in (world for world in OTHER if world != "trims"):
        calm = tried[world].onset < 0
        yield f"{world}: false alarms a year", f"{measure.rate(evidence[world][calm], level):.2f}"
        late = measure.delays(evidence[world], level, tried[world])
        yield f"{world}: in 14 d", _share(measure.found(late, 14))


def table(outcomes: list[Outcome]) -> str:
    """The outcomes as plain text, a column each."""
    labels = [label for label, _ in outcomes[0].column]
    left = max(map(len, labels))
    columns = [[each.name, *(text for _, text in each.column)] for each in outcomes]
    widths = [max(map(len, column)) + 2 for column in columns]
    lines = []
    for number, label in enumerate(["", *labels]):
        cells = (column[number].rjust(width) for column, width in zip(columns, widths, strict=True))
        lines.append(label.ljust(left) + "".join(cells))
    return "\n".join(lines)


def plot(outcomes: list[Outcome], path: Path) -> None:
    """How much is found against false alarms, a small plot for each world that gets worse."""
    from plotly.colors import qualitative
    from plotly.subplots import make_subplots

    titles = [f"{world}, in {within} d" for world, within in WITHIN.items()]
    figure = make_subplots(rows=2, cols=5, subplot_titles=titles, shared_xaxes=True, shared_yaxes=True)
    for number, each in enumerate(outcomes):
        for place, shares in enumerate(each.shares.values()):
            figure.add_scatter(
                x=RATES,
                y=shares,
                name=each.name,
                legendgroup=each.name,
                showlegend=place == 0,
                mode="lines+markers",
                line={"color": qualitative.D3[number % 10]},
                row=place // 5 + 1,
                col=place % 5 + 1,
            )
    figure.update_xaxes(type="log", tickvals=RATES, title="false alarms a horse-year")
    figure.update_yaxes(range=[0, 1], tickformat=".0%")
    figure.update_layout(height=800, title="Found worsenings against false alarms")
    figure.write_html(path, include_plotlyjs=True)
