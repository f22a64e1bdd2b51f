"""A sheet as the text of its file, exactly as the page writes it, and the name of that file."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from builder.model.base import StrictModel
from builder.model.record import Sheet


def sheet_text(sheet: Sheet) -> str:
    """A sheet as JSON, one entry a line, so that two records can be compared by eye."""
    lines = [f'  "{key}": {_value(value)}' for key, value in plain(sheet).items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _value(value: Any) -> str:  # noqa: ANN401 - plain data
    if not isinstance(value, list) or not value:
        return _line(value)
    return "[\n" + ",\n".join(f"    {_line(one)}" for one in value) + "\n  ]"


def _line(value: Any) -> str:  # noqa: ANN401 - plain data
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def plain(value: Any) -> Any:  # noqa: ANN401 - any part of a sheet
    """A part of a sheet as plain data, under the keys of the file."""
    match value:
        case StrictModel():
            fields = type(value).model_fields
            return {field.alias or name: plain(getattr(value, name)) for name, field in fields.items()}
        case Mapping():
            return {str(key): plain(item) for key, item in value.items()}
        case tuple():
            return [plain(item) for item in value]
        case int():
            return value
        case _:
            return str(value)


def file_name(code: str, sheet: Sheet) -> str:
    """The name of a sheet's file: `P16-fit-poured-mains.json`, and the run where it is not the final one."""
    words = [code, str(sheet.procedure), "" if sheet.run == "final" else str(sheet.run)]
    return re.sub(r"[^A-Za-z0-9._-]+", "-", "-".join(filter(None, words))) + ".json"
