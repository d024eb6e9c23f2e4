"""Every sheet and column of the workbook, declared once, as rows.

The reader, the checks, the blank workbook and the README's tables are all made from this list.
To add a column, add a row here.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from tracker import terms
from tracker.reference.body import FORMULAS

# What a column can hold. Each is read by the function of the same name in tracker.cells.
TEXT, HORSE, CHOICE, SIGNS = "text", "horse", "choice", "signs"
DATE, MOMENT, TIME, BORN = "date", "moment", "time", "born"
FOOT, LIMBS, LIMBS_OR_YES, CHECKED = "foot", "limbs", "limbs_or_yes", "checked"
SCORE, PULSE = "score", "pulse"
LENGTH, ANGLE, TEMPERATURE, WEIGHT, NUMBER = "length", "angle", "temperature", "weight", "number"
QUANTITIES = (LENGTH, ANGLE, TEMPERATURE, WEIGHT, NUMBER)

UNITS = {LENGTH: "mm", ANGLE: "°", TEMPERATURE: "°C", WEIGHT: "kg", NUMBER: ""}


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, what it holds, and what it may hold.

    `low` and `high` bound what is possible, in the canonical unit; `usual` is the span in which a number
    without a unit is recognised by its size. `ahead` allows a date still to come. `hint` is shown beside
    the cell in the blank workbook and printed in the README.
    """

    heading: str
    holds: str
    hint: str
    required: bool = False
    choices: tuple[str, ...] = ()
    low: float = float("-inf")
    high: float = float("inf")
    usual: tuple[float, float] | None = None
    ahead: bool = False
    width: int = 12
    unit_note: str = ""

    @property
    def key(self) -> str:
        """The column's name in code, such as "toe_angle"."""
        return self.heading.lower().replace(" ", "_").replace("-", "_")

    @property
    def unit(self) -> str:
        """The canonical unit: mm, °, °C, kg, or none."""
        return self.unit_note or UNITS.get(self.holds, "")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its name, what a row of it is, and its columns in order."""

    name: str
    about: str
    columns: tuple[Column, ...]
    everyday: bool = False
    by_key: dict[str, Column] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_key", {column.key: column for column in self.columns})

    @property
    def required(self) -> tuple[Column, ...]:
        """The columns that a record cannot do without."""
        return tuple(column for column in self.columns if column.required)


def _date(heading: str, hint: str, **more: object) -> Column:
    return Column(heading, DATE, hint, width=13, **more)  # type: ignore[arg-type]


def _horse() -> Column:
    return Column(
        "Horse", HORSE, "The horse's name. May stay empty while the workbook holds one horse.", width=14
    )


def _length(heading: str, hint: str, low: float, high: float, usual: tuple[float, float]) -> Column:
    return Column(
        heading,
        LENGTH,
        f"{hint} In mm; or write the unit, such as 3 1/2 in.",
        low=low,
        high=high,
        usual=usual,
    )


def _angle(heading: str, hint: str) -> Column:
    return Column(heading, ANGLE, f"{hint} In degrees to the ground.", low=1, high=120)


def _pulse(foot: str) -> Column:
    return Column(
        f"Pulse {foot}",
        PULSE,
        f"The pulse at the {terms.FOOT_WORDS[foot]} fetlock: 0 none, 1 just felt, 2 raised, 3 bounding.",
        choices=("0", "1", "2", "3"),
        width=9,
    )


_REMARKS = Column("Remarks", TEXT, "Anything else, in your own words.", width=40)

HORSES = Sheet(
    "Horses",
    "One row a horse.",
    (
        Column("Horse", HORSE, "The name you use in the other sheets.", required=True, width=14),
        Column("Born", BORN, "The year, or the date."),
        Column("Sex", TEXT, "Mare, gelding, stallion.", choices=("mare", "gelding", "stallion")),
        _date("Front shoes off", "The day the front shoes came off. Empty: never shod, or still shod."),
        _date("Hind shoes off", "The day the hind shoes came off. Empty: never shod, or still shod."),
        Column(
            "Usual check",
            TEXT,
            "How you usually look: gait, ground, line. For example: trot, hard, straight.",
            width=20,
        ),
        Column("Usual scale", CHOICE, "0-5 (the AAEP grade) or 0-10.", choices=tuple(terms.SCALES)),
        Column(
            "Trim every",
            NUMBER,
            "The horse's own interval between trims, in weeks.",
            low=1,
            high=26,
            unit_note="weeks",
        ),
        Column("Trimmer", TEXT, "Who trims.", width=18),
        Column("Vet", TEXT, "Your vet or practice.", width=18),
        Column("Vet phone", TEXT, "The number you would ring at night.", width=16),
        Column("Known conditions", TEXT, "What a vet has told you.", width=28),
        Column(
            "Weight formula",
            CHOICE,
            "Whose formula turns girth and body length into a weight: any grown horse (so too if empty), or Icelandic.",
            choices=tuple(FORMULAS),
        ),
        _REMARKS,
    ),
    everyday=True,
)

SOUNDNESS = Sheet(
    "Soundness",
    "The daily note. Several rows a day are fine. A row needs a Score, a Pulse, a Sign or a Than last time.",
    (
        _date("Date", "The day you looked.", required=True),
        _horse(),
        Column("Seen by", TEXT, "Owner, trimmer, vet, other, or a name.", choices=("owner", "trimmer", "vet", "other")),
        Column("Gait", CHOICE, "Stand, walk or trot.", choices=terms.GAITS),
        Column("Ground", CHOICE, "Hard, soft or stony.", choices=terms.GROUNDS),
        Column("Line", CHOICE, "Straight, circle left, circle right.", choices=terms.LINES),
        Column("Limb", LIMBS, "The lame limb: LF, RF, LH, RH, both fronts, both hinds, all, not sure.",
               choices=(*terms.FEET, *terms.LIMB_GROUPS)),
        Column("Scale", CHOICE, "0-5 (the AAEP grade) or 0-10.", choices=tuple(terms.SCALES), width=8),
        Column("Score", SCORE, "The grade on that scale, whole or half. 0 is a score, empty is none.", low=0, high=10, width=8),
        Column("Than last time", CHOICE, "Better, same or worse than last time.", choices=terms.THAN_LAST),
        *(_pulse(foot) for foot in terms.FEET),
        Column("Warm", LIMBS, "Feet that feel warmer than the others.", choices=(*terms.FEET, "both fronts", "both hinds", "all")),
        Column("Signs", SIGNS, "Warning signs from the list, with commas between them.", choices=terms.SIGNS, width=30),
        Column("Boots", LIMBS_OR_YES, "Boots on during the check: the feet, or yes.",
               choices=("yes", "no", *terms.FEET, "both fronts", "both hinds", "all")),
        Column("Written", MOMENT, "When the note was made, if that was another day. May stay empty.", width=16),
        _REMARKS,
    ),
    everyday=True,
)  # fmt: skip

VISITS = Sheet(
    "Visits",
    "One row a visit: trimmer, vet, or another.",
    (
        _date("Date", "The day of the visit.", required=True),
        _horse(),
        Column("Name", TEXT, "Who came.", width=18),
        Column("Role", CHOICE, "Trimmer, vet or other.", choices=("trimmer", "vet", "other")),
        Column("Purpose", CHOICE, "Trim, check, vet examination, radiographs, other.",
               choices=("trim", "check", "vet examination", "radiographs", "other"), width=16),
        Column("Feet", LIMBS, "Which feet.", choices=(*terms.FEET, "both fronts", "both hinds", "all")),
        Column("Findings", TEXT, "What was found.", width=36),
        Column("Advice", TEXT, "What was advised.", width=36),
        _date("Next due", "When the next visit is due.", ahead=True),
        _REMARKS,
    ),
    everyday=True,
)  # fmt: skip

ABSCESSES = Sheet(
    "Abscesses",
    "One row an episode, suspected or seen by the vet.",
    (
        _horse(),
        Column("Foot", FOOT, "LF, RF, LH or RH.", required=True, choices=terms.FEET, width=8),
        _date("First seen", "The first day of it.", required=True),
        Column("Where", TEXT, "Toe, quarter, heel, bulb or sole; inner or outer.", width=16,
               choices=("toe", "inner quarter", "outer quarter", "inner heel", "outer heel", "bulb", "sole")),
        _date("Opened", "The day it opened, by itself or by the vet."),
        Column("Opened at", CHOICE, "Sole, white line, hairline or bulb.", choices=("sole", "white line", "hairline", "bulb")),
        _date("Comfortable again", "The first day the horse was comfortable again."),
        _date("Vet seen", "The day a vet saw it."),
        Column("Care given", TEXT, "What was done.", width=36),
        _REMARKS,
    ),
    everyday=True,
)  # fmt: skip

HOOVES = Sheet(
    "Hooves",
    "One row a foot, a day, a stage. Fill in what you measured.",
    (
        _date("Date", "The day you measured.", required=True),
        _horse(),
        Column("Foot", FOOT, "LF, RF, LH or RH.", required=True, choices=terms.FEET, width=8),
        Column(
            "Stage",
            CHOICE,
            "Before trim, after trim, or between.",
            choices=("before trim", "after trim", "between"),
        ),
        Column(
            "Measured with",
            CHOICE,
            "Gauge, ruler, photo or radiograph.",
            choices=("gauge", "ruler", "photo", "radiograph"),
            width=14,
        ),
        _angle("Toe angle", "The front wall."),
        _angle("Heel angle", "The wall at the heel."),
        _angle("Hairline angle", "The hairline, seen from the side."),
        _angle("Pastern angle", "The front of the pastern."),
        _length("Toe length", "Down the front wall, hairline to ground.", 25, 200, (50, 130)),
        _length("Heel length", "Down the wall at the heel, hairline to ground.", 5, 120, (15, 70)),
        _length("Heel height", "Straight up from the ground to the hairline at the heel.", 2, 100, (10, 60)),
        _length("Support length", "On the ground, from toe to heel, seen from the side.", 40, 220, (70, 160)),
        _length("Hoof length", "On the sole, from the toe to a line across the heels.", 40, 250, (80, 180)),
        _length("Hoof width", "On the sole, where it is widest.", 40, 250, (80, 180)),
        _length("Frog length", "From its point to the back.", 20, 180, (50, 130)),
        _length("Frog width", "At its widest.", 10, 140, (25, 90)),
        _length("Heel bulb distance", "Between the heel bulbs.", 10, 150, (30, 110)),
        _length("Coronet girth", "Around the hoof just below the hairline.", 150, 650, (220, 480)),
        _length(
            "Groove depth at frog tip",
            "The groove beside the frog's point, from a straight edge.",
            0,
            60,
            (4, 40),
        ),
        _length(
            "Groove depth at heel",
            "The groove beside the frog at the back, from a straight edge.",
            0,
            80,
            (5, 50),
        ),
        _length("Medial heel length", "The inner heel, down the wall.", 5, 120, (15, 70)),
        _length("Lateral heel length", "The outer heel, down the wall.", 5, 120, (15, 70)),
        _angle("Medial wall angle", "The inner wall, seen from the front."),
        _angle("Lateral wall angle", "The outer wall, seen from the front."),
        Column("Growth mark", TEXT, "A name for a mark on the wall, to follow it down.", width=14),
        _length("Growth mark below hairline", "From the hairline down to that mark.", 0, 200, (3, 130)),
        Column("Photo", TEXT, "The picture's file name.", width=18),
        Column("Checked on the live horse", CHECKED, "Yes, no, or by whom.", choices=("yes", "no"), width=14),
        _REMARKS,
    ),
    everyday=True,
)

PHOTO_POINTS = Sheet(
    "Photo points",
    "Points marked on a photograph.",
    (
        Column("Photo", TEXT, "The picture's file name.", required=True, width=18),
        _date("Date", "The day of the picture.", required=True),
        _horse(),
        Column("Foot", FOOT, "LF, RF, LH or RH.", required=True, choices=terms.FEET, width=8),
        Column(
            "View", CHOICE, "Side, front or sole.", required=True, choices=("side", "front", "sole"), width=8
        ),
        Column("Point", TEXT, "The point's name.", required=True, width=16),
        Column("X", NUMBER, "Pixels from the left edge.", required=True, low=-100000, high=100000, width=9),
        Column("Y", NUMBER, "Pixels from the upper edge.", required=True, low=-100000, high=100000, width=9),
        Column("Size", TEXT, "On a scale point: the true distance, or the card's width x height."),
        _REMARKS,
    ),
)

PAIN_RELIEF = Sheet(
    "Pain relief",
    "One row a course. No dose: that is between you and your vet.",
    (
        _horse(),
        Column("Product", TEXT, "The name on the packet.", required=True, width=20),
        Column("First given", MOMENT, "Date, or date and time.", required=True, width=16),
        Column("Last given", MOMENT, "Date, or date and time. Empty: still being given.", width=16),
        Column("Given by order of", TEXT, "The vet who ordered it.", width=20),
        _REMARKS,
    ),
)

WORK = Sheet(
    "Work",
    "One row a session of work or turnout.",
    (
        _date("Date", "The day.", required=True),
        _horse(),
        Column("What", CHOICE, "Hand-walk, ridden walk, trot, canter, turnout, other.",
               choices=("hand-walk", "ridden walk", "trot", "canter", "turnout", "other")),
        Column("Minutes", NUMBER, "How long.", low=0, high=1440, width=9, unit_note="minutes"),
        Column("Ground", CHOICE, "Hard, soft or stony.", choices=terms.GROUNDS),
        Column("Boots", LIMBS_OR_YES, "Boots on: the feet, or yes.", choices=("yes", "no", *terms.FEET, "both fronts", "both hinds", "all")),
        _REMARKS,
    ),
)  # fmt: skip

PLAN = Sheet(
    "Plan",
    "The steps of a return to work, as the vet set it.",
    (
        _horse(),
        Column("Step", TEXT, "The step's number or name.", required=True, width=9),
        _date("From", "First day.", ahead=True),
        _date("Until", "Last day.", ahead=True),
        Column("What", TEXT, "What to do.", width=24),
        Column("Minutes a day", NUMBER, "How long each day.", low=0, high=1440, unit_note="minutes"),
        Column("Move on when", TEXT, "What must hold before the next step.", width=28),
        Column("Set by", TEXT, "The vet who set it.", width=18),
    ),
)

CHANGES = Sheet(
    "Changes",
    "One row a change in the horse's life.",
    (
        _date("Date", "The day.", required=True),
        _horse(),
        Column("Kind", CHOICE, "Feed, turnout, ground, weather, boots, bedding, herd, other.",
               choices=("feed", "turnout", "ground", "weather", "boots", "bedding", "herd", "other")),
        Column("What", TEXT, "What changed.", width=40),
    ),
)  # fmt: skip

BODY = Sheet(
    "Body",
    "One row a set of body readings.",
    (
        _date("Date", "The day.", required=True),
        _horse(),
        Column("Time", TIME, "The hour, such as 14:30. May stay empty.", width=8),
        Column(
            "Temperature",
            TEMPERATURE,
            "At rest, in °C; or write the unit, such as 100.2 F.",
            low=30,
            high=45,
            usual=(34, 44),
        ),
        Column("Heart rate", NUMBER, "Beats a minute at rest.", low=10, high=250, unit_note="beats a minute"),
        Column(
            "Breathing rate",
            NUMBER,
            "Breaths a minute at rest.",
            low=2,
            high=200,
            unit_note="breaths a minute",
        ),
        Column("Condition score", NUMBER, "1 to 9.", low=1, high=9, unit_note="of 9"),
        Column("Crest score", NUMBER, "0 to 5.", low=0, high=5, unit_note="of 5"),
        _length("Girth", "Around the chest.", 500, 3000, (1000, 2600)),
        _length("Body length", "Point of shoulder to point of buttock.", 500, 3000, (1000, 2600)),
        Column("Weight", WEIGHT, "In kg; or write the unit, such as 1,100 lb.", low=20, high=1600),
        _REMARKS,
    ),
)

FOLLOW_UP = Sheet(
    "Follow-up",
    "The answer to a warning.",
    (
        _date("Date", "The day.", required=True),
        _horse(),
        Column("Warning", TEXT, "The warning's name.", required=True, width=26),
        Column("What was done", TEXT, "In your own words.", width=36),
        Column("By", TEXT, "Who did it.", width=16),
        Column("Outcome", TEXT, "What came of it.", width=30),
        _date("Quiet until", "Do not show it again before.", ahead=True),
    ),
)

LIMITS = Sheet(
    "Limits",
    "A horse's own limit of a warning, where it is to come sooner than for other horses. It can only be more careful.",
    (
        _horse(),
        Column(
            "Warning", TEXT, "The warning's name, such as temperature-above-38-9.", required=True, width=26
        ),
        Column("Limit", TEXT, "The number, such as 38.5 °C, 24 hours or 6 weeks.", required=True, width=14),
        _REMARKS,
    ),
)

SHEETS = (
    HORSES, SOUNDNESS, VISITS, ABSCESSES, HOOVES,
    PHOTO_POINTS, PAIN_RELIEF, WORK, PLAN, CHANGES, BODY, FOLLOW_UP, LIMITS,
)  # fmt: skip
BY_NAME = {sheet.name: sheet for sheet in SHEETS}
