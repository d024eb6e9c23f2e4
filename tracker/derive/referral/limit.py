"""The one number of a rule that a horse may have more carefully: declared here, set on the Limits sheet.

Rules have none for which a number would say nothing: a sign is there or not; the top grade is itself a sign, of no weight
borne; a swollen joint and the lameness of weeks begin at the least grade that is told from none; a pulse is a word; the
levels of the grades' filter are fitted together; a horse's own trim interval stands on the Horses sheet.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.reference.body import BREATHING, HEART, TEMPERATURE
from tracker.reference.urgent import OLDER, TEMPERATURE_AT_ONCE, UNEVEN_PAIR, WEIGHT_LOSS
from tracker.terms import SCALES

CELSIUS, BEATS, BREATHS = "°C", "beats a minute", "breaths a minute"
HOURS, DAYS, WEEKS, MONTHS, YEARS = "hours", "days", "weeks", "months", "years"
PERCENT, DEGREES = "%", "°"
OF_FIVE, OF_TEN = "of 5", "of 10"


@dataclass(frozen=True, slots=True)
class Limit:
    """The number of the rule `rule`, in `unit`; a horse's own lies between it and `end`, on the careful side.

    Where `end` is lower, a lower number is the more careful. Beyond `end` the warning would nearly always stand: such
    a number is more likely a slip of the pen, or of another unit. A grade's is on the 0-5 scale, and `of_ten` the same
    on the other: a horse may have either or both, and none is converted.
    """

    rule: str
    value: float
    unit: str
    end: float
    of_ten: Limit | None = None

    @property
    def key(self) -> str:
        """What tells it from all others."""
        return f"{self.rule} {self.unit}" if self.unit == OF_TEN else self.rule

    @property
    def parts(self) -> tuple[Limit, ...]:
        """Itself, and that of the other scale."""
        return (self, self.of_ten) if self.of_ten else (self,)

    @property
    def by_scale(self) -> dict[str, Limit]:
        """A grade's, by its scale."""
        return dict(zip(SCALES, self.parts, strict=True))

    @property
    def lower_is_careful(self) -> bool:
        """Whether a lower number warns sooner."""
        return self.end < self.value

    def more_careful(self, one: float, other: float) -> float:
        """That of two numbers which warns sooner."""
        return min(one, other) if self.lower_is_careful else max(one, other)

    def words(self, number: float) -> str:
        """A number in the rule's unit, such as 38.4 °C, 5 % or 1 day."""
        unit = self.unit.removesuffix("s") if number == 1 else self.unit
        return f"{number:.4g}{'' if self.unit == DEGREES else ' '}{unit}"

    def own_words(self, own: float) -> str:
        """That a horse has its own number, beside the rule's."""
        return f"The limit is this horse's own, {self.words(own)}; the rule's is {self.words(self.value)}."

    @property
    def allowed(self) -> str:
        """What a horse's own may be, such as "38.9 °C or lower, down to 37.2 °C"."""
        way = "lower, down to" if self.lower_is_careful else "higher, up to"
        told = f"{self.words(self.value)} or {way} {self.words(self.end)}"
        return f"{told}; or {self.of_ten.allowed}" if self.of_ten else told


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """What one horse has instead of a rule's number, and the cell where it was set."""

    value: float
    cell: str


def whole_days(number: float) -> dt.timedelta:
    """A span of days; a part of a day is left off, since only days are recorded and the sooner is the more careful."""
    return dt.timedelta(days=int(round(number, 6)))  # 40 / 7 × 7 is a little less than 40 to a computer


_COOL, _SLOW = TEMPERATURE.low.value, HEART.low.value
TEMPERATURE_NOW = Limit("temperature-above-40-6", TEMPERATURE_AT_ONCE.value, CELSIUS, _COOL)
TEMPERATURE_ASK = Limit("temperature-above-38-9", TEMPERATURE.ask_from.value, CELSIUS, _COOL)
TEMPERATURE_TWICE = Limit("temperature-above-38-6-twice", TEMPERATURE.high.value, CELSIUS, _COOL)
TEMPERATURE_ABSCESS = Limit("abscess-and-fever-or-off-feed", TEMPERATURE.high.value, CELSIUS, _COOL)
HEART_NOW = Limit("heart-rate-60-twice", HEART.ask_from.value, BEATS, _SLOW)
HEART_ONCE = Limit("heart-rate-60-once", HEART.ask_from.value, BEATS, _SLOW)
HEART_TWICE = Limit("heart-rate-above-44-twice", HEART.high.value, BEATS, _SLOW)
BREATHING_TWICE = Limit("breathing-above-24-twice", BREATHING.high.value, BREATHS, BREATHING.low.value)

NOT_BETTER = Limit("abscess-not-better-48-h", 48, HOURS, 24)
OPEN_LONG = Limit("abscess-open-14-days", 14, DAYS, 1)
BACK_WITHIN = Limit("abscess-back", 14, DAYS, 90)
SAME_FOOT_WITHIN = Limit("abscess-again-same-foot", 12, MONTHS, 60)
OTHER_FOOT_WITHIN = Limit("abscess-again-other-foot", 12, MONTHS, 60)
OLDER_FROM = Limit("abscess-again-older-horse", OLDER.value, YEARS, 4)

NEW_FOR = Limit("new-lameness-not-better", 2, DAYS, 1)
OPPOSITE_FROM = Limit("opposite-foot-changed", 3, DAYS, 1)
FEEL_FROM = Limit("opposite-foot-to-feel", 3, DAYS, 1)
RELIEF_FOR = Limit("pain-relief-without-vet", 24, HOURS, 1)
SORE_FOR = Limit("sore-after-trim", 48, HOURS, 24)
TRIM_WITHIN = Limit("trim-past-8-weeks", 8, WEEKS, 2)
WEIGHT_LOST = Limit("condition-or-weight-lost", WEIGHT_LOSS.value, PERCENT, 1)
LAME_FROM = Limit("lame-at-walk", 4, OF_FIVE, 1, Limit("lame-at-walk", 7, OF_TEN, 2))
SWOLLEN_FROM = Limit(
    "tendon-or-badly-swollen-leg", 3, OF_FIVE, 0.5, Limit("tendon-or-badly-swollen-leg", 6, OF_TEN, 1)
)
WORK_FROM = Limit("worked-while-lame", 3, OF_FIVE, 0.5, Limit("worked-while-lame", 4, OF_TEN, 1))
UNEVEN_FROM = Limit("left-and-right-differ", UNEVEN_PAIR.value, DEGREES, 0.1)

LIMITS = {
    limit.rule: limit
    for limit in (
        TEMPERATURE_NOW, TEMPERATURE_ASK, TEMPERATURE_TWICE, TEMPERATURE_ABSCESS,
        HEART_NOW, HEART_ONCE, HEART_TWICE, BREATHING_TWICE,
        NOT_BETTER, OPEN_LONG, BACK_WITHIN, SAME_FOOT_WITHIN, OTHER_FOOT_WITHIN, OLDER_FROM,
        NEW_FOR, OPPOSITE_FROM, FEEL_FROM, RELIEF_FOR, SORE_FOR, TRIM_WITHIN, WEIGHT_LOST, UNEVEN_FROM,
        LAME_FROM, SWOLLEN_FROM, WORK_FROM,
    )
}  # fmt: skip
"""Every rule that has one, by its name."""
