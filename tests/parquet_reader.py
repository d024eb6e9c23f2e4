"""In a process of its own, where pyarrow may be loaded: a workbook given out as Parquet files, and these read by pyarrow.

`python tests/parquet_reader.py FILE DAY FOLDER` prints each table's columns with their types, and its rows.
"""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path

import pyarrow.parquet

from tracker import export_book


def read(file: Path) -> dict[str, object]:
    """A table as pyarrow reads it, with its days and moments as texts."""
    found = pyarrow.parquet.read_table(file)
    return {
        "types": {field.name: str(field.type) for field in found.schema},
        "rows": [[_plain(value) for value in row.values()] for row in found.to_pylist()],
    }


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, dt.date) else value


if __name__ == "__main__":
    workbook, day, folder = sys.argv[1:]
    counted = export_book(workbook, folder, on=dt.date.fromisoformat(day), format="parquet")
    tables = {
        file.relative_to(folder).with_suffix("").as_posix(): read(file)
        for file in Path(folder).rglob("*.parquet")
    }
    print(json.dumps({"counted": dict(counted), "tables": tables}))
