"""A book as ready words and figures. The pages, the terminal and the charts show these and decide nothing."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.book import Book, Changes, HorseRecord
from tracker.derive.change import Change
from tracker.derive.hooves import STAGES, HoofRecord
from tracker.derive.referral.firing import Firing
from tracker.derive.referral.together import by_cause
from tracker.derive.relief import Overlap, overlaps
from tracker.derive.shoes import days_since
from tracker.derive.soundness import Series
from tracker.derive.trims import days_since_trim
from tracker.problem import DOUBT, ERROR, Problem
from tracker.show import words
from tracker.show.abscesses import AbscessesView, abscesses_view
from tracker.show.answers import AnswerView, answer_views, state_of
from tracker.show.body import BodyView, body_view
from tracker.show.growth import GrowthView, growth_view
from tracker.show.progress import ProgressView, progress_view
from tracker.show.trimming import TrimsView, trims_view
from tracker.show.work import WorkView, work_view
from tracker.show.worsening import WorseningView, worsening_view
from tracker.terms import FEET, FOOT_WORDS, PAIRS, UNNAMED

MAIN_MEASURES = (
    "toe_angle", "heel_angle", "heel_lag", "hairline_angle", "pastern_angle", "axis_break",
    "toe_length", "heel_length", "heel_height", "heel_run", "support_length", "toe_heel_ratio",
)  # fmt: skip
UNNAMED_ROWS = "a horse not named"


@dataclass(frozen=True, slots=True)
class WarningView:
    """One warning: how urgent, why, what to do, since when, its cells, and who says so.

    `answers` are the latest first; `state` says where an answered one stands, `quiet` whether it is folded away;
    `name` is how an answer names it. `waiting` is what anybody may do until then; warnings of one `cause` are
    told together.
    """

    rule: str
    urgency: str
    headline: str
    because: str
    to_do: str
    since: str
    cells: tuple[str, ...]
    source: str
    sure: str
    name: str = ""
    answers: tuple[AnswerView, ...] = ()
    state: str = ""
    quiet: bool = False
    cause: str = ""
    waiting: str = ""


@dataclass(frozen=True, slots=True)
class MoveView:
    """How far one measure moved, since when, and whether that is more than the measuring error."""

    moved: str
    since: str
    beyond_error: bool


@dataclass(frozen=True, slots=True)
class MeasureView:
    """One measure of one foot, with its changes and where it comes from."""

    key: str
    name: str
    explained: str
    value: str
    how: str
    since_last: str
    since_first: str
    provisional: bool
    main: bool
    last: MoveView | None = None
    first: MoveView | None = None


@dataclass(frozen=True, slots=True)
class FootView:
    """The latest record of one foot; `when` is "" where there is none."""

    foot: str
    title: str
    when: str
    measures: tuple[MeasureView, ...]
    differences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SeriesView:
    """One comparable series of scores, in words."""

    looked: str
    limb: str
    scale: str
    count: int
    masked: int
    last: str
    last_day: dt.date
    last_masked: bool


@dataclass(frozen=True, slots=True)
class EpisodeView:
    """One abscess episode, in words."""

    foot: str
    first_seen: str
    opened: str
    comfortable: str
    lasted: str


@dataclass(frozen=True, slots=True)
class HorseView:
    """One horse, ready to be shown; `late` holds where some of its grades were written down days later."""

    name: str
    since: tuple[str, ...]
    warnings: tuple[WarningView, ...]
    series: tuple[SeriesView, ...]
    feet: tuple[FootView, ...]
    episodes: tuple[EpisodeView, ...]
    relief: tuple[str, ...]
    progress: ProgressView
    worsening: WorseningView
    growth: GrowthView
    trims: TrimsView
    abscesses: AbscessesView
    body: BodyView
    work: WorkView
    late: bool
    watched: bool
    answers: tuple[AnswerView, ...] = ()

    @property
    def open_warnings(self) -> tuple[WarningView, ...]:
        """The warnings that no answer keeps folded away."""
        return tuple(warning for warning in self.warnings if not warning.quiet)

    @property
    def messages(self) -> tuple[tuple[WarningView, ...], ...]:
        """The open warnings by their cause, the most urgent of each first: none is dropped."""
        return tuple(by_cause(self.open_warnings, lambda warning: warning.cause))

    @property
    def quiet_warnings(self) -> tuple[WarningView, ...]:
        """The warnings that an answer keeps folded away."""
        return tuple(warning for warning in self.warnings if warning.quiet)


@dataclass(frozen=True, slots=True)
class BookView:
    """A whole workbook, ready to be shown."""

    workbook: str
    as_of: str
    horses: tuple[HorseView, ...]
    problems: tuple[Problem, ...]
    errors: int
    doubts: int


def book_view(book: Book) -> BookView:
    """The workbook as shapes to show."""
    return BookView(
        workbook=book.path.name,
        as_of=words.day(book.as_of),
        horses=tuple(horse_view(horse, book.as_of) for horse in book.horses),
        problems=book.problems,
        errors=count(book.problems, ERROR),
        doubts=count(book.problems, DOUBT),
    )


def count(problems: tuple[Problem, ...], severity: str) -> int:
    """How many problems are of that severity."""
    return sum(problem.severity == severity for problem in problems)


def horse_view(horse: HorseRecord, as_of: dt.date) -> HorseView:
    """One horse as shapes to show."""
    series = sorted(horse.series, key=lambda found: found.points[-1].date, reverse=True)
    return HorseView(
        name=shown_name(horse.name),
        since=tuple(_since(pair, horse.shoes_off.get(pair), as_of) for pair in PAIRS),
        warnings=tuple(warning_view(firing) for firing in horse.warnings),
        series=tuple(_series(found) for found in series),
        feet=tuple(_foot(foot, horse) for foot in FEET),
        episodes=tuple(
            EpisodeView(
                foot=FOOT_WORDS[episode.foot],
                first_seen=words.day(episode.first_seen),
                opened=words.day(episode.opened),
                comfortable=words.day(episode.comfortable),
                lasted=f"{words.span(episode.days)}{' so far' if episode.is_open else ''}",
            )
            for episode in sorted(horse.episodes, key=lambda episode: episode.first_seen, reverse=True)
        ),
        relief=(
            *(_relief(course.product, course.first, course.last) for course in horse.courses),
            *(_overlap(found) for found in overlaps(horse.courses)),
        ),
        progress=progress_view(horse.progress),
        worsening=worsening_view(horse.watches, horse.alternating),
        growth=growth_view(horse.growth),
        trims=trims_view(horse.trimming),
        abscesses=abscesses_view(horse.abscesses),
        body=body_view(horse.body),
        work=work_view(horse.work),
        late=bool(horse.late_rows),
        watched=bool(horse.watches),
        answers=answer_views(horse.answers),
    )


def shown_name(name: str) -> str:
    """The horse's name, or words for a horse that none was given for."""
    return UNNAMED_ROWS if not name else name[0].upper() + name[1:] if name == UNNAMED else name


def limb_words(limb: str) -> str:
    """A limb, or several, written out: left front; LF + RH stays as it is."""
    return FOOT_WORDS.get(limb, limb)


def _since(pair: str, off: dt.date | None, as_of: dt.date) -> str:
    days = days_since(off, as_of)
    if off is None:
        return f"{pair.capitalize()} shoes: no day given (never shod, or still shod)"
    if days is None:
        return f"{pair.capitalize()} shoes come off {words.day(off)}"
    weeks = f"{days // 7} weeks ({days} days)" if days > 31 else words.span(days)
    return f"{pair.capitalize()} shoes off {words.day(off)}: {weeks} ago"


def warning_view(firing: Firing) -> WarningView:
    """One warning as a shape to show."""
    return WarningView(
        rule=firing.rule,
        urgency=firing.urgency,
        headline=words.URGENCY_WORDS[firing.urgency],
        because=firing.because,
        to_do=firing.words,
        since=words.day(firing.since) if firing.since else "a date that cannot be read",
        cells=firing.cells,
        source=firing.source,
        sure=firing.sure,
        name=firing.name,
        answers=answer_views(firing.answers),
        state=state_of(firing),
        quiet=firing.quiet,
        cause=firing.cause or firing.rule,
        waiting=firing.waiting,
    )


def _series(found: Series) -> SeriesView:
    last = found.points[-1]
    return SeriesView(
        looked=words.looked(found.gait, found.ground, found.line),
        limb=found.limb or "limb not given",
        scale=found.scale,
        count=len(found.points),
        masked=sum(point.masked for point in found.points),
        last=words.score(last.score, found.scale),
        last_day=last.date,
        last_masked=last.masked,
    )


def latest_foot(foot: str, horse: HorseRecord) -> tuple[HoofRecord, Changes] | None:
    """The foot's newest record of anything but a growth mark; of one day the one after the trim."""
    own = [pair for pair in horse.feet if pair[0].foot == foot and pair[0].measures]
    return max(own, key=lambda pair: (pair[0].date, STAGES.index(pair[0].stage)), default=None)


def _foot(foot: str, horse: HorseRecord) -> FootView:
    latest = latest_foot(foot, horse)
    title = FOOT_WORDS[foot].capitalize()
    if latest is None:
        return FootView(foot, title, "", (), ())
    record, changed = latest
    when = ", ".join(
        part for part in (words.day(record.date), record.stage, _since_trim(record, horse)) if part
    )
    keys = [
        *(key for key in MAIN_MEASURES if key in record.measures),
        *(k for k in record.measures if k not in MAIN_MEASURES),
    ]
    differences = tuple(
        f"{words.name(pair.name)}, left minus right: {words.difference(pair.measure)}, "
        f"{'at least' if pair.beyond_error else 'within'} the measuring error"
        for pair in horse.pairs
        if foot in PAIRS[pair.pair] and pair.date == record.date and pair.stage == record.stage
        and pair.name in ("toe_angle", "heel_angle", "toe_length", "heel_length", "hoof_width")
    )  # fmt: skip
    return FootView(foot, title, when, tuple(_measure(key, record, changed) for key in keys), differences)


def _since_trim(record: HoofRecord, horse: HorseRecord) -> str:
    """How long after the foot's last trim it was measured; growth lowers the angles between trims."""
    days = days_since_trim(record.foot, record.date, horse.trims)
    if days is None:
        return ""
    return f"{words.span(days)} after the last trim" if days else "the day of a trim"


def _measure(key: str, record: HoofRecord, changed: Changes) -> MeasureView:
    found = record.measures[key]
    provisional = "photo" in found.how and record.checked in ("", "no")
    own = changed.get(key, {})
    return MeasureView(
        key=key,
        name=words.name(key),
        explained=words.EXPLAINED.get(key, ""),
        value=words.measure(found),
        how=f"{found.how}{', not yet checked on the live foot' if provisional else ''}",
        since_last=words.change(own["since_last"]) if "since_last" in own else "",
        since_first=words.change(own["since_first"]) if "since_first" in own else "",
        provisional=provisional,
        main=key in MAIN_MEASURES,
        last=_move(own.get("since_last")),
        first=_move(own.get("since_first")),
    )


def _move(found: Change | None) -> MoveView | None:
    if found is None:
        return None
    moved = words.number(found.value, found.detectable, found.unit, sign=True)
    return MoveView(moved, words.day(found.since), found.beyond_error)


def _overlap(found: Overlap) -> str:
    names = " and ".join(dict.fromkeys((found.product, found.other)))
    given = _relief(names, found.first, found.last)
    return f"Given on the same days: {given}. Ask the vet whether both are meant."


def _relief(product: str, first: dt.date, last: dt.date | None) -> str:
    begun = words.day(first)
    return f"{product}, {begun} to {words.day(last)}" if last else f"{product}, since {begun}, no end given"
