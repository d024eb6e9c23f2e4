"""The words a record is written in: limbs, scales, gaits, pulses, signs, and what people type for them."""

from __future__ import annotations

FEET = ("LF", "RF", "LH", "RH")
PAIRS = {"front": ("LF", "RF"), "hind": ("LH", "RH")}
FOOT_WORDS = {"LF": "left front", "RF": "right front", "LH": "left hind", "RH": "right hind"}
NOT_SURE = "not sure"
UNNAMED = "the horse"  # a workbook that names no horse still tells of one
LIMB_GROUPS = {"both fronts": ("LF", "RF"), "both hinds": ("LH", "RH"), "all": FEET, NOT_SURE: (NOT_SURE,)}

# The top grade of each scale; no conversion between the two is published (Hewetson et al. 2006).
SCALES = {"0-5": 5.0, "0-10": 10.0}
DEFAULT_SCALE = "0-5"

GAITS = ("stand", "walk", "trot")
GROUNDS = ("hard", "soft", "stony")
LINES = ("straight", "circle left", "circle right")
THAN_LAST = ("better", "same", "worse")
PULSES = ("none", "just felt", "raised", "bounding")
PULSE_RAISED = 2

# What people type for a pulse, and the steps that it can mean (common practice, no published source).
PULSE_WORDS: dict[str, tuple[int, ...]] = {
    "none": (0,),
    "absent": (0,),
    "no pulse": (0,),
    "not felt": (0,),
    "can't feel": (0,),
    "cannot feel": (0,),
    "normal": (0, 1),  # a normal pulse is faint or not felt
    "usual": (0, 1),
    "just felt": (1,),
    "barely felt": (1,),
    "faint": (1,),
    "weak": (1,),
    "slight": (1,),
    "slightly": (1,),
    "mild": (1,),
    "raised": (2,),
    "increased": (2,),
    "elevated": (2,),
    "strong": (2, 3),
    "stronger": (2, 3),
    "very raised": (2, 3),
    "bounding": (3,),
    "pounding": (3,),
    "throbbing": (3,),
}

NO_WEIGHT = "won't bear weight"
NO_MOVE = "won't move"
SHIFTS = "shifts weight"
STILTED = "short stilted walk"
HARD_TURN = "hard to turn"
OBJECT = "object or hole in foot"
WOUND = "wound near a joint"
SWEATING = "sweating or trembling"
POINTS = "points a foot"
LIES_DOWN = "lies down more"
SWELLING = "swelling up the leg"
JOINT = "joint swollen"
JOINT_FLUID = "joint fluid leaking"
TENDON = "tendon swollen or sore"
PUS = "pus or discharge"
OFF_FEED = "off feed"
SIGNS = (
    NO_WEIGHT,
    NO_MOVE,
    SHIFTS,
    STILTED,
    HARD_TURN,
    POINTS,
    LIES_DOWN,
    OBJECT,
    WOUND,
    SWELLING,
    JOINT,
    JOINT_FLUID,
    TENDON,
    SWEATING,
    PUS,
    OFF_FEED,
)

# What people type instead of the words above. Left: as typed, folded; right: the word.
SYNONYMS: dict[str, str] = {
    "walking": "walk",
    "in walk": "walk",
    "at walk": "walk",
    "at the walk": "walk",
    "trotting": "trot",
    "in trot": "trot",
    "at trot": "trot",
    "at the trot": "trot",
    "jog": "trot",
    "standing": "stand",
    "hard ground": "hard",
    "on hard": "hard",
    "concrete": "hard",
    "tarmac": "hard",
    "road": "hard",
    "firm": "hard",
    "soft ground": "soft",
    "on soft": "soft",
    "grass": "soft",
    "sand": "soft",
    "stones": "stony",
    "gravel": "stony",
    "straight line": "straight",
    "left circle": "circle left",
    "left rein": "circle left",
    "circle l": "circle left",
    "right circle": "circle right",
    "right rein": "circle right",
    "circle r": "circle right",
    "0-5 aaep": "0-5",
    "aaep": "0-5",
    "aaep 0-5": "0-5",
    "0 to 5": "0-5",
    "0 to 10": "0-10",
    "5": "0-5",
    "10": "0-10",
    "/5": "0-5",
    "/10": "0-10",
    "same as last time": "same",
    "same as before": "same",
    "as before": "same",
    "about the same": "same",
    "no change": "same",
    "unchanged": "same",
    "=": "same",
    "a bit better": "better",
    "a little better": "better",
    "slightly better": "better",
    "much better": "better",
    "improved": "better",
    "a bit worse": "worse",
    "a little worse": "worse",
    "slightly worse": "worse",
    "much worse": "worse",
    "before": "before trim",
    "pre trim": "before trim",
    "pre-trim": "before trim",
    "after": "after trim",
    "post trim": "after trim",
    "post-trim": "after trim",
    "angle gauge": "gauge",
    "hoof gauge": "gauge",
    "tape": "ruler",
    "photograph": "photo",
    "x-ray": "radiograph",
    "xray": "radiograph",
    "x-rays": "radiographs",
    "xrays": "radiographs",
    "farrier": "trimmer",
    "veterinarian": "vet",
    "trimming": "trim",
    "vet exam": "vet examination",
    "vet visit": "vet examination",
    "coronet": "hairline",
    "coronary band": "hairline",
    "whiteline": "white line",
    "coronet band": "hairline",
    "hair line": "hairline",
    "heel bulb": "bulb",
    "heel bulbs": "bulb",
    "hand walk": "hand-walk",
    "hand walking": "hand-walk",
    "hand-walking": "hand-walk",
    "handwalk": "hand-walk",
    "handwalking": "hand-walk",
    "in hand": "hand-walk",
    "walk in hand": "hand-walk",
    "walked in hand": "hand-walk",
    "walking in hand": "hand-walk",
    "led walk": "hand-walk",
    "walk under saddle": "ridden walk",
    "cantering": "canter",
    "turn out": "turnout",
    "turn-out": "turnout",
    "turned out": "turnout",
    "rain": "weather",
    "snow": "weather",
    "frost": "weather",
    "hay": "feed",
    "feeding": "feed",
    "hoof boots": "boots",
    "bearing no weight": NO_WEIGHT,
    "not bearing weight": NO_WEIGHT,
    "non weight bearing": NO_WEIGHT,
    "non-weight-bearing": NO_WEIGHT,
    "won't put weight on it": NO_WEIGHT,
    "will not bear weight": NO_WEIGHT,
    "wont bear weight": NO_WEIGHT,
    "three-legged": NO_WEIGHT,
    "three legged lame": NO_WEIGHT,
    "3 legged lame": NO_WEIGHT,
    "3 legged": NO_WEIGHT,
    "on three legs": NO_WEIGHT,
    "no weight bearing": NO_WEIGHT,
    "no weight on it": NO_WEIGHT,
    "unable to bear weight": NO_WEIGHT,
    "nwb": NO_WEIGHT,
    "toe touching": NO_WEIGHT,
    "wont move": NO_MOVE,
    "will not move": NO_MOVE,
    "refuses to move": NO_MOVE,
    "won't walk": NO_MOVE,
    "shifting weight": SHIFTS,
    "weight shifting": SHIFTS,
    "stilted": STILTED,
    "short-striding": STILTED,
    "short strided": STILTED,
    "stiff to turn": HARD_TURN,
    "pointing a foot": POINTS,
    "pointing": POINTS,
    "lying down more": LIES_DOWN,
    "nail in foot": OBJECT,
    "hole in foot": OBJECT,
    "nail in sole": OBJECT,
    "nail in frog": OBJECT,
    "stepped on a nail": OBJECT,
    "hole in sole": OBJECT,
    "joint wound": WOUND,
    "wound over a joint": WOUND,
    "object in foot": OBJECT,
    "puncture": OBJECT,
    "puncture wound": OBJECT,
    "puncture in foot": OBJECT,
    "nail": OBJECT,
    "stood on a nail": OBJECT,
    "puncture wound near a joint": WOUND,
    "swollen leg": SWELLING,
    "leg swollen": SWELLING,
    "swollen joint": JOINT,
    "joint swelling": JOINT,
    "swelling of a joint": JOINT,
    "swollen fetlock": JOINT,
    "swollen knee": JOINT,
    "swollen hock": JOINT,
    "leaking joint fluid": JOINT_FLUID,
    "joint fluid from a wound": JOINT_FLUID,
    "joint leaking": JOINT_FLUID,
    "swollen tendon": TENDON,
    "tendon swollen": TENDON,
    "tendon swelling": TENDON,
    "sore tendon": TENDON,
    "bowed tendon": TENDON,
    "tendon injury": TENDON,
    "pus from the foot": PUS,
    "discharge from the foot": PUS,
    "discharge": PUS,
    "draining pus": PUS,
    "sweating": SWEATING,
    "trembling": SWEATING,
    "off his feed": OFF_FEED,
    "off her feed": OFF_FEED,
    "not eating": OFF_FEED,
}

YES = frozenset({"yes", "y", "x", "✓", "✔", "✅", "☑", "true", "1"})
NO = frozenset({"no", "n", "false", "0"})

# Typed to say that there is nothing to say. The workbook keeps the sign; the program reads an empty cell.
EMPTY = frozenset({"", "n/a", "na", "n.a.", "-", "--", "−", "–", "—", "?", "none", "nil"})

VET_CALLED, VET_SEEN = "vet called", "vet seen"
WAYS_ANSWERED = (VET_CALLED, VET_SEEN)
"""What is most often done about a warning; any other words will do."""
