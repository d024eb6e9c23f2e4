"""The same tables as Parquet files, for programs that read them; the library for it need not be installed."""

from __future__ import annotations

from importlib.util import find_spec
from io import BytesIO
from typing import Any

import pandas as pd

from tracker.problem import NotWritten
from tracker.show.export.part import DAY, LIST, MOMENT, NUMBER, TEXT, TRUTH, WHOLE, Field, Part
from tracker.workbook.exported.kept_cell import fit

ENDING = ".parquet"
_TYPES = {TEXT: "object", WHOLE: "Int64", NUMBER: "Float64", DAY: "object", MOMENT: "datetime64[us]", TRUTH: "boolean", LIST: "object"}  # fmt: skip


def require_parquet() -> None:
    """Raise NotWritten where the library is not there."""
    if find_spec("pyarrow") is None:
        raise NotWritten("write-no-parquet")


def parquet(part: Part) -> bytes:
    """The table as a Parquet file. Lists are lists; texts are as they are, since no formula can run there."""
    require_parquet()
    held = BytesIO()
    frame_of(part).to_parquet(held, engine="pyarrow", index=False, schema=_schema(part))
    return held.getvalue()


def _schema(part: Part) -> Any:
    """The columns' types as the library has them: of a column in which nothing stands it could not know one."""
    import pyarrow as pa

    types = {
        TEXT: pa.string(), WHOLE: pa.int64(), NUMBER: pa.float64(), DAY: pa.date32(), MOMENT: pa.timestamp("us"),
        TRUTH: pa.bool_(), LIST: pa.list_(pa.string()),
    }  # fmt: skip
    return pa.schema([(one.name, types[one.type]) for one in part.fields])


def frame_of(part: Part) -> pd.DataFrame:
    """The table with a type for each column, so that an empty one has it too."""
    columns = {one.name: _series(one, [row[at] for row in part.rows]) for at, one in enumerate(part.fields)}
    return pd.DataFrame(columns)


def _series(one: Field, values: list[Any]) -> pd.Series:
    """A column. A day among moments is its midnight; an empty text or list is nothing, as in the CSV files."""
    if one.type == MOMENT:
        values = [None if value is None else pd.Timestamp(value) for value in values]
    elif one.type == LIST:
        values = [None if not value else [fit(str(part)) for part in value] for value in values]
    elif one.type == TEXT:
        values = [None if value in (None, "") else fit(str(value)) for value in values]
    return pd.Series(values, dtype=_TYPES[one.type])
