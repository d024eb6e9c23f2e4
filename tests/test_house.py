"""The plan of the house holds: floors, no rings, one door for each outside library, small rooms."""

from __future__ import annotations

import ast
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGES = ("tracker", "dashboards", "sample_workbooks")

# A file imports only from lower floors, or from its own room. The longest matching name counts.
FLOORS = {
    "tracker.problem": 1, "tracker.whole_file": 1, "tracker.terms": 1, "tracker.reference": 1,
    "tracker.sheets": 2,
    "tracker.cells": 3, "tracker.table": 3,
    "tracker.workbook": 4,
    "tracker.check": 5, "tracker.derive": 5, "tracker.photos": 5,
    "tracker.book": 6,
    "tracker.show": 7, "tracker.entry": 7,
    "tracker": 8, "sample_workbooks": 8,
    "dashboards": 9, "tracker.cli_note": 9,
    "tracker.cli_asked": 10, "tracker.cli_answer": 10,
    "tracker.cli_export": 11, "tracker.cli_letter": 11, "tracker.cli_paper": 11,
    "tracker.cli": 12,
}  # fmt: skip

# Where an outside library may be used; a library that is not here may be used nowhere.
DOORS = {
    "openpyxl": ("tracker.workbook",),
    "python_calamine": ("tracker.workbook",),
    "pandas": ("tracker",),
    "xlsxwriter": ("tracker.workbook",),
    "numpy": ("tracker", "sample_workbooks"),
    "dateutil": ("tracker",),
    "plotly": ("tracker.show",),
    "jinja2": ("tracker.show.letter",),
    "icalendar": ("tracker.show.calendar",),
    "pyarrow": ("tracker.show.export.parquet",),
    "typst": ("tracker.show.pdf",),
    "typer": (
        "tracker.cli",
        "tracker.cli_export",
        "tracker.cli_letter",
        "tracker.cli_note",
        "tracker.cli_answer",
        "tracker.cli_paper",
    ),
    "filelock": ("tracker.workbook",),
    "PIL": ("tracker.photos", "sample_workbooks.foot_jpeg"),  # the latter packs what we drew ourselves
    "dash": ("dashboards",),
    "flask": ("dashboards",),
    "werkzeug": ("dashboards",),
    "waitress": ("dashboards",),
}
FILE_FORMATS = {"zipfile": ("tracker.workbook",), "zlib": ("tracker.workbook",), "xml": ("tracker.workbook",)}

FILES = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))


def module(path: Path) -> str:
    """The dotted name of a file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {module(path): path for path in FILES}


def imports(path: Path) -> set[str]:
    """Every module that the file imports, inside functions too, but not for type checking alone."""
    tree = ast.parse(path.read_text("utf-8"))
    skipped = {id(node) for block in ast.walk(tree) if _for_types_only(block) for node in ast.walk(block)}
    found: set[str] = set()
    for node in ast.walk(tree):
        if id(node) in skipped:
            continue
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write the whole name of what is imported"
            names = {f"{node.module}.{alias.name}" for alias in node.names}
            found.update(name if name in MODULES else str(node.module) for name in names)
    return found


def _for_types_only(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def floor(name: str) -> tuple[int, str]:
    """The floor and the room of a module."""
    room = max((known for known in FLOORS if name == known or name.startswith(f"{known}.")), key=len)
    return FLOORS[room], room


@pytest.mark.parametrize("name", MODULES)
def test_a_file_imports_only_from_lower_floors_or_its_own_room(name: str) -> None:
    level, room = floor(name)
    for other in imports(MODULES[name]):
        if other.split(".")[0] in PACKAGES:
            other_level, other_room = floor(other)
            assert other_room == room or other_level < level, f"{name} must not import {other}"


def test_there_is_no_ring_of_imports() -> None:
    graph = {
        name: {other for other in imports(path) if other in MODULES} - {name}
        for name, path in MODULES.items()
    }
    assert list(TopologicalSorter(graph).static_order())


@pytest.mark.parametrize("name", MODULES)
def test_an_outside_library_comes_in_by_its_one_door(name: str) -> None:
    import sys

    for other in imports(MODULES[name]):
        top = other.split(".")[0]
        if top in PACKAGES or (top in sys.stdlib_module_names and top not in FILE_FORMATS):
            continue
        doors = (DOORS | FILE_FORMATS).get(top, ())
        assert any(name == door or name.startswith(f"{door}.") for door in doors), (
            f"{name} must not import {top}"
        )


def test_the_dashboard_uses_only_public_names_and_what_is_made_to_be_shown() -> None:
    for name, path in MODULES.items():
        if name.startswith("dashboards"):
            own = {other for other in imports(path) if other.startswith("tracker")}
            assert {
                other for other in own if other != "tracker" and not other.startswith("tracker.show")
            } == set(), name


@pytest.mark.parametrize("name", MODULES)
def test_rooms_are_small(name: str) -> None:
    assert len(MODULES[name].read_text("utf-8").splitlines()) <= 450


def test_the_library_is_light_to_import() -> None:
    import subprocess
    import sys

    code = (
        "import tracker, sys; print(sorted({'pandas', 'numpy', 'dash', 'plotly', 'PIL'} & set(sys.modules)))"
    )
    found = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"


@pytest.mark.parametrize("path", [*FILES, *sorted((ROOT / "tests").rglob("*.py"))], ids=str)
def test_no_file_tells_of_a_machine_or_a_workplace(path: Path) -> None:
    text = path.read_text("utf-8")
    assert not [
        word for word in ("/" + "work/", "/" + "home/", ".." + "/shared", "C:" + "\\Users") if word in text
    ]
