"""Every kind of problem: one tiny workbook that has it, and the exact words the owner reads.

`python tests/test_problem_catalogue.py` writes the words anew after a change; read the difference before you commit it.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from books import checked, raw
from photo_points import ALSO, MISTAKES

from tracker import Marking, lines_beside
from tracker.check import dates
from tracker.derive.photo.lost import lost_photographs
from tracker.derive.photo.markings import point_rows
from tracker.entry.look import look_over
from tracker.problem import KINDS, NotWritten, Problem, Unreadable

WORDS = Path(__file__).with_name("messages.txt")
NAMED = "Horse | Usual scale\nBramble | 0-5"
TWO = "Horse | Usual scale\nBramble | 0-5\nMoss | 0-5"


def note(heading: str, cell: str, horses: str = NAMED) -> dict[str, str]:
    """A workbook of one daily note with a score, and one more cell."""
    return {"Horses": horses, "Soundness": f"Date | Score | {heading}\n@2026-03-04 | 2/5 | {cell}"}


def answer(warning: str, quiet_until: str = "") -> dict[str, str]:
    """A workbook of one note of a horse that is lame at walk, and an answer to a warning a day later."""
    return {
        "Horses": NAMED,
        "Soundness": "Date | Score\n@2026-03-04 | 4/5",
        "Follow-up": f"Date | Warning | Quiet until\n@2026-03-05 | {warning} | {quiet_until}",
    }


def limit(*rows: str) -> dict[str, str]:
    """A workbook of one horse and its own limits."""
    return {"Horses": NAMED, "Limits": "\n".join(["Warning | Limit", *rows])}


BESIDE = {"scale-unread": "choice-unknown"}
EXAMPLES: dict[str, dict[str, str]] = {
    "cell-error": note("Gait", "#N/A"),
    "required-empty": {"Horses": NAMED, "Soundness": "Date | Score\n | 2"},
    "date-unreadable": {"Horses": NAMED, "Soundness": "Date | Score\nsoon | 2"},
    "date-no-such-day": {"Horses": NAMED, "Soundness": "Date | Score\n31 Feb 2026 | 2"},
    "date-out-of-range": {"Horses": NAMED, "Soundness": "Date | Score\n4 Mar 1026 | 2"},
    "date-in-future": {"Horses": NAMED, "Soundness": "Date | Score\n4 Mar 2036 | 2"},
    "date-year-missing": {"Horses": NAMED, "Soundness": "Date | Score\n4 Mar | 2"},
    "date-order-unclear": {"Horses": NAMED, "Soundness": "Date | Score\n4/3/26 | 2"},
    "date-year-first": {"Horses": NAMED, "Soundness": "Date | Score\n26-06-01 | 2"},
    "date-run-together": {"Horses": NAMED, "Soundness": "Date | Score\n40326 | 2"},
    "date-weekday": {"Horses": NAMED, "Soundness": "Date | Score\nSunday 4 March 2026 | 2"},
    "dates-turned": {
        "Horses": NAMED,
        "Soundness": "Date | Score\n@2026-04-03 | 2\n@2026-05-03 | 2\n13/3/2026 | 2\n14/3/2026 | 2",
    },
    "time-unreadable": {"Horses": NAMED, "Body": "Date | Time | Temperature\n@2026-03-04 | evening | 37.9"},
    "number-became-date": {
        "Horses": NAMED,
        "Soundness": "Date | Score | Limb\n@2026-03-04 | @2026-05-02 | LF",
    },
    "number-unreadable": {"Horses": NAMED, "Hooves": "Date | Foot | Toe angle\n@2026-03-04 | LF | steep"},
    "number-range": {"Horses": NAMED, "Hooves": "Date | Foot | Toe angle\n@2026-03-04 | LF | 52-54"},
    "number-about": {"Horses": NAMED, "Hooves": "Date | Foot | Toe angle\n@2026-03-04 | LF | about 52"},
    "number-or-more": {"Horses": NAMED, "Hooves": "Date | Foot | Toe length\n@2026-03-04 | LF | 89+"},
    "fraction-unclear": {"Horses": NAMED, "Hooves": "Date | Foot | Toe length\n@2026-03-04 | LF | 3 1/2 cm"},
    "grade-other-scale": {"Horses": NAMED, "Body": "Date | Condition score\n@2026-03-04 | 3/5"},
    "unit-unknown": {"Horses": NAMED, "Hooves": "Date | Foot | Toe length\n@2026-03-04 | LF | 1 hand"},
    "unit-unclear": {
        "Horses": NAMED,
        "Hooves": "Date | Foot | Heel length\n@2026-03-04 | LF | 30\n@2026-03-04 | RF | 2.5",
    },
    "unit-by-size": {"Horses": NAMED, "Hooves": "Date | Foot | Toe length\n@2026-03-04 | LF | 3.5"},
    "out-of-range": {"Horses": NAMED, "Hooves": "Date | Foot | Toe angle\n@2026-03-04 | LF | 500"},
    "score-unreadable": {
        "Horses": NAMED,
        "Soundness": "Date | Score | Than last time\n@2026-03-04 | sore | same",
    },
    "score-beyond-scale": {"Horses": NAMED, "Soundness": "Date | Score\n@2026-03-04 | 9/5"},
    "score-range": {"Horses": NAMED, "Soundness": "Date | Score\n@2026-03-04 | 2-3"},
    "score-plus": {"Horses": NAMED, "Soundness": "Date | Score\n@2026-03-04 | 2+"},
    "score-between": {"Horses": NAMED, "Soundness": "Date | Score\n@2026-03-04 | 2.3"},
    "scale-contradicts": {"Horses": NAMED, "Soundness": "Date | Scale | Score\n@2026-03-04 | 0-5 | 4/10"},
    "sign-in-score": {"Horses": NAMED, "Soundness": "Date | Score\n@2026-03-04 | non weight bearing"},
    "sign-in-remarks": {"Horses": NAMED, "Soundness": "Date | Remarks\n@2026-03-04 | sweating, wet field"},
    "score-with-words": {"Horses": NAMED, "Soundness": "Date | Score\n@2026-03-04 | 2/5 lost nail"},
    "scale-assumed": {"Horses": "Horse\nBramble", "Soundness": "Date | Score\n@2026-03-04 | 2"},
    "scale-unread": {
        "Horses": "Horse | Usual scale\nBramble | 0-10",
        "Soundness": "Date | Scale | Score\n@2026-03-04 | obel | 2",
    },
    "limb-unknown": note("Limb", "tail"),
    "foot-not-one": {"Horses": NAMED, "Abscesses": "Foot | First seen\nboth fronts | @2026-03-04"},
    "choice-unknown": note("Gait", "trott"),
    "pulse-unsure": note("Pulse LF", "2-3"),
    "pulse-unknown": note("Pulse LF", "4"),
    "sign-near": note("Signs", "off feeed"),
    "sign-unknown": note("Signs", "grumpy"),
    "nothing-observed": {"Horses": NAMED, "Soundness": "Date | Score | Remarks\n@2026-03-04 | | sunny"},
    "which-horse": note("Horse", "", TWO),
    "horse-not-listed": note("Horse", "Mos", TWO),
    "horse-twice": {"Horses": "Horse\nMoss\nMOSS"},
    "same-row-twice": {"Horses": NAMED, "Visits": "Date | Purpose\n@2026-03-04 | trim\n@2026-03-04 | trim"},
    "dates-out-of-order": {
        "Horses": NAMED,
        "Abscesses": "Foot | First seen | Opened\nLF | @2026-03-04 | @2026-03-01",
    },
    "abscess-open-twice": {
        "Horses": NAMED,
        "Abscesses": "Foot | First seen | Where\nLF | @2026-03-04 | toe\nLF | @2026-03-20 | sole",
    },
    "abscesses-overlap": {
        "Horses": NAMED,
        "Abscesses": "Foot | First seen | Comfortable again\nLF | @2026-03-04 | @2026-03-20\nLF | @2026-03-10 | @2026-03-12",
    },
    "abscess-typed-twice": {
        "Horses": NAMED,
        "Abscesses": "Foot | First seen | Comfortable again\nLF | @2026-03-04 | @2026-03-10\nLF | @2026-03-04 |",
    },
    "notes-contradict": {
        "Horses": NAMED,
        "Soundness": "Date | Limb | Score\n@2026-03-04 | LF | 4\n@2026-03-04 | left front | 1",
    },
    "plan-steps-overlap": {
        "Horses": NAMED,
        "Plan": "Step | From | Until | What\n1 | @2026-03-04 | @2026-03-20 | walk\n2 | @2026-03-18 | | trot",
    },
    "work-day-too-long": {
        "Horses": NAMED,
        "Work": "Date | What | Minutes\n@2026-03-04 | trot | 1200\n@2026-03-04 | canter | 800",
    },
    "size-unlike-others": {
        "Horses": NAMED,
        "Body": "Date | Girth (cm)\n@2026-03-04 | 186\n@2026-04-04 | 73\n@2026-05-04 | 185",
    },
    "size-unusual": {"Horses": NAMED, "Body": "Date | Girth (cm)\n@2026-03-04 | 71"},
    "measured-twice": {
        "Horses": NAMED,
        "Hooves": "Date | Foot | Toe angle\n@2026-03-04 | LF | 48\n@2026-03-04 | LF | 58",
    },
    "heel-height-greater": {
        "Horses": NAMED,
        "Hooves": "Date | Foot | Heel length | Heel height\n@2026-03-04 | LF | 38 | 48",
    },
    "mark-went-up": {
        "Horses": NAMED,
        "Hooves": "Date | Foot | Growth mark | Growth mark below hairline\n"
        "@2026-03-04 | LF | ring | 40\n@2026-05-04 | LF | ring | 25",
    },
    "trim-no-feet": {"Horses": NAMED, "Visits": "Date | Purpose | Feet\n@2026-03-04 | trim |"},
    "answer-unknown-warning": answer("lame-at-wlak"),
    "answer-no-such-warning": answer("wound-near-a-joint"),
    "answer-several": {
        "Horses": NAMED,
        "Abscesses": "Foot | First seen\nLF | @2026-03-03\nRH | @2026-03-04",
        "Follow-up": "Date | Warning | Quiet until\n@2026-03-05 | abscess-suspected | @2026-03-20",
    },
    "answer-part-unread": answer("lame-at-walk tail"),
    "answer-quiet-before": answer("lame-at-walk", "@2026-03-02"),
    "answer-quiet-now": {
        "Horses": NAMED,
        "Soundness": "Date | Signs\n@2026-03-04 | won't bear weight",
        "Follow-up": "Date | Warning | Quiet until\n@2026-03-05 | not-bearing-weight | @2026-03-20",
    },
    "answer-quiet-long": answer("lame-at-walk", "@2027-03-20"),
    "limit-unknown-warning": limit("temprature above 38.9 | 38.5"),
    "limit-no-number": limit("not-bearing-weight | 3"),
    "limit-unreadable": limit("temperature-above-38-9 | low"),
    "limit-less-careful": limit("temperature-above-38-9 | 39.5"),
    "limit-too-far": limit("temperature-above-38-9 | 3.85"),
    "limit-by-size": limit("temperature-above-38-9 | 101"),
    "limit-twice": limit("temperature-above-38-9 | 38.5", "temperature-above-38-9 | 38.3"),
    "heading-missing": {"Horses": NAMED, "Abscesses": "Foot | Seen first\nLF | @2026-03-04"},
    "heading-near": {"Horses": NAMED, "Soundness": "Date | Score | Grond\n@2026-03-04 | 2 | hard"},
    "heading-twice": {"Horses": NAMED, "Soundness": "Date | Score | Score\n@2026-03-04 | 2 | 3"},
    "heading-unit-unknown": {
        "Horses": NAMED,
        "Hooves": "Date | Foot | Toe length (hands)\n@2026-03-04 | LF | 89",
    },
    "second-table": {
        "Horses": NAMED,
        "Soundness": "Date | Score\n@2026-03-04 | 2\n | \nDate | Score\n@2026-03-05 | 2",
    },
    "totals-row": {"Horses": NAMED, "Soundness": "Date | Score\n@2026-03-04 | 2\nAverage | 2"},
    "sheet-near": {"Horses": NAMED, "Soundnes": "Date | Score\n@2026-03-04 | 2"},
    "no-horses": {"Soundness": "Date | Score\n@2026-03-04 | 2/5"},
}

LIMBLESS = {"Horses": NAMED, "Soundness": "Date | Score | Remarks\n@2026-03-04 | 2"}

# What is typed into a form, for which sheet, and for which row: (workbook, sheet, typed, row).
ENTRIES: dict[str, tuple[dict[str, str], str, dict[str, str], int | None]] = {
    "entry-nothing": (LIMBLESS, "Soundness", {}, None),
    "entry-no-field": (LIMBLESS, "Soundness", {"Scor": "2"}, None),
    "entry-no-column": (LIMBLESS, "Soundness", {"Score": "2", "Limb": "LF"}, None),
    "entry-no-sheet": (LIMBLESS, "Abscesses", {"Foot": "LF", "First seen": "4 Mar 2026"}, None),
    "entry-no-row": (LIMBLESS, "Soundness", {"Score": "2"}, 7),
}

# What is typed for a line to compare with: its kind, and the text.
LINES = {"guide-angle": ("hairline", "steep"), "guide-depth": ("heel", "30 in")}

# Why the file of a photograph is refused.
NO_PHOTOGRAPH = {
    f"photo-{why}" for why in ("empty", "other-type", "heic", "damaged", "moving", "too-large", "missing")
}

# A workbook whose points lie on a photograph that is not beside it.
LOST = {
    "Horses": NAMED,
    "Photo points": "Photo | Date | Foot | View | Point | X | Y\nlf.jpg | @2026-03-04 | LF | side | toe_ground | 5 | 5",
}

# Some kinds need more than a table of text can hold.
BY_HAND = {"merged-down", "formula-unsaved", "sheet-twice"}


def words_of(slug: str) -> str:
    """What the owner reads of the one problem that the example has."""
    if slug.startswith("file-"):
        words = {"path": "my-horse.xlsx", "sheet": "Soundness", "ref": "XFD1048576", "row": "12"}
        return str(Unreadable(slug, **words))
    if slug in NO_PHOTOGRAPH:
        words = {"path": "hoof.jpg", "folder": "my-horse.xlsx photos", "found": "a GIF picture"}
        if slug == "photo-too-large":
            words |= {"found": "101 megapixels", "allowed": "60 megapixels"}
        return str(Unreadable(slug, **words))
    if slug.startswith("write-"):
        words = {"path": "my-horse.xlsx", "sheet": "Soundness", "ref": "A52", "copy": "my-horse-copy.xlsx"}
        return str(
            NotWritten(
                slug,
                **words,
                lock="~$my-horse.xlsx",
                reason="the reason",
                found="a day before 1900",
                row="14",
            )
        )
    if slug == "photo-not-there":
        table = checked(**LOST).tables["Photo points"]
        (problem,) = lost_photographs(table, point_rows(table, str), "my-horse.xlsx photos", (), ())
        return str(problem)
    if slug in MISTAKES:
        told = [problem for problem in MISTAKES[slug]().problems if problem.kind not in ALSO.get(slug, ())]
        assert [problem.kind for problem in told] == [slug]
        return str(told[0])
    if slug in ENTRIES:
        book, sheet, typed, row = ENTRIES[slug]
        refusals = look_over(raw(**book), sheet, typed, row).problems
        assert [problem.kind for problem in refusals] == [slug]
        return str(refusals[0])
    if slug in LINES:
        (line,) = lines_beside(
            Marking("lf.jpg", "side"), [LINES[slug]], focal_px=None, image_size=(4000, 3000)
        )
        assert line.problem
        assert line.problem.kind == slug
        return str(line.problem)
    problem = _example(slug)
    assert problem.kind == slug
    return str(problem)


def _example(slug: str) -> Problem:
    """The one problem of its example, but for what cannot be without it."""
    problems = checked(**EXAMPLES[slug]).problems
    (problem,) = [one for one in problems if one.kind != BESIDE.get(slug)]
    return problem


def catalogue() -> str:
    """All words, kind by kind."""
    return "\n\n".join(f"# {slug}\n{words_of(slug)}" for slug in KINDS if slug not in BY_HAND) + "\n"


@pytest.fixture(autouse=True)
def _day_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dates, "machine_day_first", lambda: True)


def test_every_kind_has_its_example() -> None:
    with_example = {slug for slug in KINDS if not slug.startswith(("file-", "write-"))} - NO_PHOTOGRAPH
    assert (
        with_example
        == set(EXAMPLES) | set(ENTRIES) | set(MISTAKES) | set(LINES) | {"photo-not-there"} | BY_HAND
    )


def test_the_words_are_the_ones_agreed() -> None:
    assert catalogue() == WORDS.read_text("utf-8")


@pytest.mark.parametrize("slug", EXAMPLES)
def test_every_problem_names_its_place_and_what_to_do(slug: str) -> None:
    problem = _example(slug)
    assert problem.sheet
    assert problem.message.endswith((".", "?"))
    assert problem.hint.endswith(".")
    assert problem.allowed
    assert problem.cell or slug == "no-horses"
    empty = ("required-empty", "nothing-observed", "which-horse", "no-horses", "trim-no-feet")
    assert problem.found or slug in empty


if __name__ == "__main__":
    dates.machine_day_first = lambda: True
    WORDS.write_text(catalogue(), "utf-8")
    sys.exit()
