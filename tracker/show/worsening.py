"""What the grades say about getting worse, in the barn's words; silent where nothing has changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tracker.derive.referral.worsening import SIZES, chance_words, in_ten, limb_words
from tracker.derive.worsening.alternating import Alternating
from tracker.derive.worsening.comparable import WORST
from tracker.derive.worsening.record import ACT, NONE, WATCH, Watch
from tracker.show import words
from tracker.terms import FOOT_WORDS

_SAYS = (NONE, WATCH, ACT)
ASKING = "A note today and one or two more this week, seen the same way, would help to settle it."
NOTE = (
    "How this is worked out: from all grades seen the same way up to today, how noisy they are, who gave them, trims "
    "and pain relief. It is measured on simulated diaries only, not on real horses: at the level of “likely” "
    "about one alarm in two years comes for nothing, at that of “perhaps” about two a year. It is a reason to ask, "
    "never a finding."
)


@dataclass(frozen=True, slots=True)
class GradeView:
    """One grade behind an alarm: its day, itself, what else was said of it, and its row in the workbook."""

    day: str
    grade: str
    told: str
    row: int


@dataclass(frozen=True, slots=True)
class WatchView:
    """One limb seen one way: what is said of it, and the grades since it likely began."""

    looked: str
    told: tuple[str, ...]
    grades: tuple[GradeView, ...]


@dataclass(frozen=True, slots=True)
class WorseningView:
    """All that is said of one horse's getting worse."""

    watches: tuple[WatchView, ...]
    changing: str

    def __bool__(self) -> bool:
        """Whether there is anything to say."""
        return bool(self.watches or self.changing)


def worsening_view(watches: tuple[Watch, ...], alternating: Alternating | None) -> WorseningView:
    """What is worth saying of one horse's watches: those that signal, and those that ask for more notes."""
    told = [watch for watch in watches if watch.signal != NONE or watch.asks]
    told = sorted(_each_once(told), key=lambda watch: -watch.p_any)
    return WorseningView(
        tuple(_watch(watch) for watch in told), _changing(alternating) if alternating else ""
    )


def _each_once(told: Sequence[Watch]) -> Iterator[Watch]:
    """Leave out the worst limb where a limb that is told of by itself, seen the same way, says as much."""
    for watch in told:
        alike = (
            other
            for other in told
            if replace(other.series, limb=WORST, points=()) == replace(watch.series, points=())
        )
        if not any(
            _SAYS.index(other.signal) >= _SAYS.index(watch.signal) for other in alike if other != watch
        ):
            yield watch


def _watch(watch: Watch) -> WatchView:
    looked = limb_words(watch)
    told = [_chance(watch), _range(watch), ASKING if watch.asks else "", _assumed(watch)]
    return WatchView(
        f"{looked[:1].upper()}{looked[1:]}; scale {watch.series.scale}",
        tuple(filter(None, told)),
        tuple(_grade(watch, row) for row in watch.rows),
    )


def _chance(watch: Watch) -> str:
    half, whole = SIZES[watch.series.scale]
    if watch.signal == NONE:
        return f"The grades raise a suspicion that it is worse by {half} or more ({in_ten(watch.p_any)})."
    told = chance_words(watch)
    return f"{told[:1].upper()}{told[1:]}; by {whole} or more: {in_ten(watch.p_worse)}."


def _range(watch: Watch) -> str:
    if watch.since is None or watch.since.earliest == watch.since.latest:
        return ""
    return f"It likely began between {words.day(watch.since.earliest)} and {words.day(watch.since.latest)} (8 in 10)."


def _assumed(watch: Watch) -> str:
    if not watch.assumed:
        return ""
    number = len(watch.assumed)
    does = "does" if number == 1 else "do"
    return f"{words.counted(number, 'note')} {does} not say how the horse was looked at and count as its usual look."


def _grade(watch: Watch, row: int) -> GradeView:
    point = next(point for point in watch.series.points if point.row == row)
    told = (
        f"by {point.seen_by}" if point.seen_by else "",
        f"{point.than_last} than last time" if point.than_last in ("better", "worse") else "",
        "the same as last time" if point.than_last == "same" else "",
        "under pain relief" if point.masked else "",
        "written days later" if row in watch.late else "",
    )
    return GradeView(words.day(point.date), f"{point.score:g}", ", ".join(filter(None, told)), row)


def _changing(found: Alternating) -> str:
    legs = [f"{FOOT_WORDS[leg]} on {words.counted(days, 'day')}" for leg, days in found.days.items()]
    return (
        f"The lame leg has changed there and back since {words.day(found.since)}: {', '.join(legs)}. "
        "Tell the vet that it changes."
    )
