"""A horse's abscesses in the barn's words: what stands around each, how often they came, where the crack is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.derive.abscess import Episode
from tracker.derive.abscesses.crack import HAIRLINE, Crack, MarkFit
from tracker.derive.abscesses.horse import AbscessRecord
from tracker.derive.abscesses.often import HALVES, LEAST_DAYS, SHOES_OFF, Compared, Often
from tracker.derive.abscesses.story import NEAR, TRIM, Again, Beside, Story
from tracker.derive.statistics.interval import Estimate
from tracker.reference.growing import RENEWAL_SOURCES
from tracker.show import words
from tracker.terms import FOOT_WORDS

NOTE = (
    f"What was written down in the {NEAR.days // 7} weeks before an abscess stands beside it by date only: that one thing "
    "came before another does not make it the cause."
)
OFTEN_NOTE = (
    "No usual number of abscesses after shoe removal is published, so none is given to compare with. A range in brackets "
    "holds the true rate 19 times in 20; it is wide where few were counted (exact Poisson limits, Garwood 1936)."
)
COMPARED_NOTE = "A range with 1 in it: too few to tell whether they came more or less often. Where several days are compared, one can stand out by chance alone, and what else changed is not taken out."
HALF_A_YEAR = 182  # days; over less, a rate for a year would speak of time that nobody has seen
_ORDINALS = {2: "second", 3: "third", 4: "fourth", 5: "fifth"}


@dataclass(frozen=True, slots=True)
class StoryView:
    """One episode: its dates, how long it lasted, and what is to be told of it, sentence by sentence."""

    title: str
    foot: str
    first_seen: str
    opened: str
    comfortable: str
    lasted: str
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ComparedView:
    """Before and after one day: "boots: boots for the fronts", how many on each side, the later over the earlier."""

    what: str
    before: str
    after: str
    ratio: str


@dataclass(frozen=True, slots=True)
class AbscessesView:
    """A horse's abscesses, the newest first; `often` is empty where nothing can be said of how often they come."""

    stories: tuple[StoryView, ...]
    often: tuple[str, ...]
    compared: tuple[ComparedView, ...]

    def __bool__(self) -> bool:
        """Whether any was written down."""
        return bool(self.stories)


def abscesses_view(found: AbscessRecord) -> AbscessesView:
    """A horse's abscesses as a shape to show. How often they come is told only where there was one."""
    often = found.often if found.stories else None
    return AbscessesView(
        stories=tuple(_story(story) for story in reversed(found.stories)),
        often=tuple(filter(None, (_rate(often), _halves(often)))) if often else (),
        compared=tuple(_compared(one) for one in often.compared if one.what != HALVES and one.ratio)
        if often
        else (),
    )


def _story(story: Story) -> StoryView:
    episode = story.episode
    foot = FOOT_WORDS[episode.foot]
    told = (
        _began(story),
        _opened(story),
        _again(story.again, foot) if story.again else "",
        _beside(story.beside) if story.beside else "",
        *(_crack(story.crack) if story.crack else (_not_followed(episode),)),
    )
    return StoryView(
        title=f"{foot[0].upper()}{foot[1:]}{f', {episode.where}' if episode.where else ''}: {words.day(episode.first_seen)}",
        foot=foot,
        first_seen=words.day(episode.first_seen),
        opened=_opened_at(episode),
        comfortable=words.day(episode.comfortable),
        lasted=f"{words.span(episode.days)}{' so far' if episode.is_open else ''}",
        told=tuple(filter(None, told)),
    )


def _opened_at(episode: Episode) -> str:
    place = f", {episode.opened_at}" if episode.opened and episode.opened_at else ""
    return f"{words.day(episode.opened)}{place}"


def _began(story: Story) -> str:
    if story.noted_before is None:
        return "There is no note before it, so it may have begun earlier than it was seen."
    if not story.earlier_days:
        return ""
    return (
        f"The last day written down before it is {words.day(story.noted_before)}: it may have begun up to "
        f"{words.span(story.earlier_days)} before it was first seen."
    )


def _opened(story: Story) -> str:
    if story.opened_after is None:
        return ""
    least, most = story.opened_after
    after = f"{words.span(least)} after it was first seen" if least else "the day it was first seen"
    longest = f", {words.span(most)} after it began at most" if most is not None and most > least else ""
    eased = "" if story.eased_after is None else f"; comfortable again {_later(story.eased_after)}"
    return f"It opened {after}{longest}{eased}."


def _later(days: int) -> str:
    return f"{words.span(days)} after that" if days else "the same day"


def _again(again: Again, foot: str) -> str:
    number = _ORDINALS.get(again.number)
    begun = f"The {number}" if number else f"Number {again.number} of those"
    place = "in the same place" if again.same_place else "in another place, or one that is not told"
    return (
        f"{begun} written down for the {foot}: the one before, {place}, was over on "
        f"{words.day(again.before.comfortable)}, {words.span(again.free_days)} earlier."
    )


def _beside(found: tuple[Beside, ...]) -> str:
    told = [_near(one) for one in found]
    return f"Written down in the {NEAR.days // 7} weeks before: {'; '.join(told)}."


def _near(one: Beside) -> str:
    when = f"{words.span(one.days_before)} before" if one.days_before else "the same day"
    what = TRIM if one.kind == TRIM else f"{one.kind}{f' ({one.what})' if one.what else ''}"
    return f"{words.day(one.date)}, {what}, {when}"


def _not_followed(episode: Episode) -> str:
    """Why the crack of an exit at the hairline is not reckoned with."""
    if episode.opened_at != HAIRLINE:
        return ""
    why = "is not written" if episode.opened is None else "lies before the day it was first seen"
    return f"It came out at the hairline, but the day it opened {why}, so the crack is not followed down. Look at Opened."


def _crack(crack: Crack) -> tuple[str, ...]:
    rate = f"{_tenth(crack.pace.low)} to {_tenth(crack.pace.high)} mm a month {crack.pace.source}"
    start = f"It came out at the hairline on {words.day(crack.exit)}, which leaves a crack that grows down with the wall."
    told = (
        f"{start} At {rate}, {_where(crack)}.",
        _by_months(*crack.months) if crack.months else "",
        _fit(crack.mark) if crack.mark else "",
    )
    return tuple(filter(None, (" ".join(filter(None, told[:2])), told[2])))


def _tenth(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _where(crack: Crack) -> str:
    """How far down it should be, and when it reaches the ground; by now no depth where even slow growth has it there."""
    first, last = (month(day) for day in crack.ground)
    when = f"between {first} and {last}" if first != last else f"in {last}"
    if crack.is_at_ground:
        return f"it should have reached the ground {when}"
    low, high = f"{crack.low:.0f}", f"{crack.high:.0f}"
    below = f"{high} mm" if low == high else f"{low} to {high} mm"
    if crack.may_be_at_ground:
        return f"it should now lie {low} mm or more below the hairline, if it is not at the ground, and reach the ground {when}"
    return f"it should now lie {below} below the hairline, and reach the ground {when}"


def _by_months(shortest: int, longest: int) -> str:
    return (
        f"The wall there is not measured: the ground is reckoned by the published {shortest} to {longest} months until "
        f"such a wall is new ({'; '.join(RENEWAL_SOURCES)})."
    )


def month(day: dt.date) -> str:
    """A day by its month alone, where no day would be true: "Mar 2027"."""
    return f"{day:%b %Y}"


def _fit(mark: MarkFit) -> str:
    expected = f"{mark.low:.0f} to {mark.high:.0f} mm"
    found = f"The mark “{mark.name}” lay {mark.found:.0f} mm below the hairline on {words.day(mark.date)}"
    if mark.fits:
        return f"{found}, which fits it: {expected} were to be expected."
    return f"{found}, which does not fit it: {expected} were to be expected. Look at the day it opened, the reading, and which mark it is."


def _rate(often: Often) -> str:
    number = "1 abscess" if often.episodes == 1 else f"{often.episodes} abscesses"
    if often.days < LEAST_DAYS:
        return ""
    since = (
        "the shoes came off"
        if often.since == often.shoes_off
        else f"{words.day(often.since)}, when the record begins"
    )
    return (
        f"{number} began in the {words.span(often.days)} since {since}: {_limits(often.per_100_days, 'for each 100 days')}"
        f"{', or ' + _limits(often.per_year, 'a year') if often.days >= HALF_A_YEAR else ''}.{_not_counted(often.earlier)}"
    )


def _not_counted(earlier: int) -> str:
    if not earlier:
        return ""
    were = "1 was" if earlier == 1 else f"{earlier} were"
    return f" {were} first seen before that; not counted, since others of that time may not have been written down."


def _limits(rate: Estimate, per: str) -> str:
    return f"{_often_as(rate.value)} {per} ({words.limits(rate, _often_as)})"


def _often_as(value: float) -> str:
    return f"{value:.1f}" if value >= 0.05 or not value else f"{value:.2f}"


def _halves(often: Often) -> str:
    halves = next((one for one in often.compared if one.what == HALVES), None)
    if halves is None or halves.ratio is None or halves.before + halves.after < 2:
        return ""
    return (
        f"Of these {halves.before} in the first half of that time and {halves.after} in the second, from "
        f"{words.day(halves.split)}: {_verdict(halves)}."
    )


def _verdict(one: Compared) -> str:
    assert one.ratio is not None
    limits = f"(the later rate is {words.limits(one.ratio, _times, ' times the earlier')})"
    if one.ratio.low > 1:
        return f"more often later than chance explains {limits}"
    if one.ratio.high < 1:
        return f"less often later than chance explains {limits}"
    return f"too few to tell whether they come more or less often {limits}"


def _span(one: Compared) -> str:
    """The later rate as times the earlier, with a word where that is more than chance."""
    assert one.ratio is not None
    low, high = one.ratio.low, one.ratio.high
    times = words.limits(one.ratio, _times, " times")
    return f"{times}: {'more often' if low > 1 else 'less often'}" if low > 1 or high < 1 else times


def _times(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}" if value >= 1 else f"{value:.1g}"


def _compared(one: Compared) -> ComparedView:
    what = "the shoes came off" if one.what == SHOES_OFF else one.what
    if one.change and one.change.what:
        what = f"{one.what}: {one.change.what}"
    return ComparedView(
        what=f"{words.day(one.split)}, {what}",
        before=f"{one.before} in {words.span(one.days_before)}",
        after=f"{one.after} in {words.span(one.days_after)}",
        ratio=_span(one),
    )
