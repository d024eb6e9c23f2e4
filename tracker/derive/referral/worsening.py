"""Rules on grades that get worse: what the filter in `tracker.derive.worsening` makes of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from tracker.derive.referral.facts import Facts
from tracker.derive.referral.firing import Found, day
from tracker.derive.referral.rule import NEXT_VISIT, OWN, OWNER, WITHIN_A_WEEK, Rule
from tracker.derive.worsening.comparable import WORST
from tracker.derive.worsening.record import ACT, WATCH, Watch
from tracker.sheets import SOUNDNESS
from tracker.terms import FOOT_WORDS

ANSWERED = dt.timedelta(days=28)
"""A vet who is recorded since the change began answers it for so long, unless the grades rise again."""
SETTLED = dt.timedelta(days=7)
"""After the vet's visit: by then the lasting level shows what the vet saw. Our own choice."""
SIZES = {"0-5": ("half a grade", "a whole grade"), "0-10": ("one of ten", "two of ten")}
_CELLS = 6


def likely(facts: Facts) -> Iterator[Found]:
    """Grades that are likely lastingly worse."""
    yield from _found(facts, ACT)


def perhaps(facts: Facts) -> Iterator[Found]:
    """Grades that are perhaps lastingly worse; silent where others are told to be likely so."""
    if not any(likely(facts)):
        yield from _found(facts, WATCH)


def _found(facts: Facts, signal: str) -> Iterator[Found]:
    told = [
        watch
        for watch in facts.worked_out.watches
        if watch.signal == signal and watch.since and not _answered(facts, watch, watch.since.likely)
    ]
    if not told:
        return
    worst = meant(told)
    assert worst.since
    ways = len({_way(watch) for watch in told})
    more = f" So are those of {ways - 1} other way{'s' if ways > 2 else ''} of looking." if ways > 1 else ""
    yield Found(
        worst.since.likely,
        f"Grades of {limb_words(worst)}: {chance_words(worst)}.{more}",
        tuple(facts.cell(SOUNDNESS.name, "score", row) for row in worst.rows[-_CELLS:]),
    )


def meant(told: Sequence[Watch]) -> Watch:
    """The one to name: the likeliest; a limb rather than the worst limb, where one limb stands out."""
    likeliest = max(told, key=lambda watch: watch.p_any)
    alike = [watch for watch in told if _way(watch) == _way(likeliest)]
    limbs = [watch for watch in alike if watch.series.limb in FOOT_WORDS]
    if len(limbs) == 1:
        return limbs[0]
    return next((watch for watch in alike if watch.series.limb not in FOOT_WORDS), likeliest)


def _way(watch: Watch) -> tuple[str, ...]:
    series = watch.series
    return series.scale, series.gait, series.ground, series.line


def _answered(facts: Facts, watch: Watch, began: dt.date) -> bool:
    """A vet who saw an abscess saw that foot; where the limb is not known, any."""
    limbs = (watch.series.limb,) if watch.series.limb in FOOT_WORDS else ()
    visit = facts.last_vet(limbs)
    recent = visit is not None and visit >= max(began, facts.on - ANSWERED)
    return recent and not _risen_since(watch, visit)


def _risen_since(watch: Watch, visit: dt.date | None) -> bool:
    """Whether the whole band of the lasting level lies above that of the days after the visit."""
    then = [day for day in watch.days if visit and day.date <= visit + SETTLED]
    return bool(then) and watch.days[-1].low > then[-1].high


def limb_words(watch: Watch) -> str:
    """Which limb, seen how, such as "left front, trot, hard, straight"."""
    series = watch.series
    limb = "the worst limb" if series.limb == WORST else FOOT_WORDS.get(series.limb, series.limb)
    return ", ".join(filter(None, (limb, series.gait, series.ground, series.line)))


def chance_words(watch: Watch) -> str:
    """How likely it is worse and since when, such as "likely worse since about 12 May 2026 (9 in 10)"."""
    word = "likely" if watch.signal == ACT else "perhaps"
    since = f" since about {day(watch.since.likely)}" if watch.since else ""
    return f"{word} worse by {SIZES[watch.series.scale][0]} or more{since} ({in_ten(watch.p_any)})"


def in_ten(p: float) -> str:
    """A probability in words, never as certainty: "9 in 10", "more than 19 in 20", "less than 1 in 10"."""
    if p >= 0.95:
        return "more than 19 in 20"
    return f"{round(10 * p)} in 10" if p >= 0.1 else "less than 1 in 10"


_SOURCE = "our own reading of the grades, measured on simulated diaries only"
_WAIT = "Look at the horse the same way each time, and feel all four feet for warmth and pulse."
RULES = (
    Rule(
        "grades-likely-worse", WITHIN_A_WEEK, "lameness",
        "Tell the vet this week, and write a note every day until then.", _WAIT,
        "the grades seen the same way have risen for good, by what the filter makes of them: the level that gives "
        "about one false alarm in two years on simulated diaries",
        _SOURCE, OWN,
        likely,
    ),
    Rule(
        "grades-perhaps-worse", NEXT_VISIT, "lameness",
        "Write a note today and on the next days, seen the same way. If they go on like this, tell the vet.", _WAIT,
        "the same, at the level that gives about two false alarms a year on simulated diaries",
        _SOURCE, OWN,
        perhaps, OWNER,
    ),
)  # fmt: skip
