"""JSON Schema of the files that people write: ``python -m drillyard.adapters.exchange.schemas [--check]``.

Made from the same records that the reader builds, with keys and numbers as they stand in files, so that an editor
completes and checks exactly what ``drillyard check`` accepts.
"""

import argparse
import dataclasses
import json
import sys
import typing
from pathlib import Path
from typing import Any, Final

from pydantic import TypeAdapter

from drillyard.adapters.files.formulary_files import drug_file_schema
from drillyard.adapters.files.lab_folder import LabFile
from drillyard.adapters.files.reader import INHERITED_UNITS, NEIGHBOUR_UNITS, Field, file_fields
from drillyard.core.manikin.profile import Profile
from drillyard.core.proving import Crew
from drillyard.core.scenario.kit import Kit
from drillyard.core.scenario.model import Scenario

FOLDER: Final = Path("docs/files")
RECORDS: Final[dict[str, type]] = {"scenario": Scenario, "manikin": Profile, "kit": Kit, "crew": Crew, "lab": LabFile}
_NUMBER: Final = r"^\s*[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?\s*"


def schemas() -> dict[str, dict[str, Any]]:
    """The schema of every kind of file, by the kind's name."""
    return {name: record_schema(record) for name, record in RECORDS.items()} | {"drug": drug_file_schema()}


def record_schema(record: type) -> dict[str, Any]:
    """The schema of one kind of file."""
    schema = TypeAdapter(record).json_schema()
    inner = schema.pop("$defs", {})
    types = {kind.__name__: kind for kind in _records_in(record, set())}
    written = {name: _written(types[name], body) for name, body in inner.items()}
    top = _written(record, schema)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return head | top | ({"$defs": written} if written else {})


def _records_in(hint: Any, seen: set[type]) -> set[type]:
    """Every record type that a hint can hold, nested ones included."""
    if dataclasses.is_dataclass(hint) and hint not in seen:
        seen.add(typing.cast(type, hint))
        for inner in typing.get_type_hints(hint, include_extras=True).values():
            _records_in(inner, seen)
    for part in typing.get_args(hint):
        _records_in(part, seen)
    return seen


def _written(record: type, body: dict[str, Any]) -> dict[str, Any]:
    """The schema of one record with keys and numbers as they are written."""
    rows = file_fields(record)
    properties = {row.key: _property(record, row, body["properties"][row.name]) for row in rows}
    return {
        "title": record.__name__,
        "description": (record.__doc__ or "").strip(),
        "type": "object",
        "properties": properties,
        "required": [row.key for row in rows if row.is_required],
        "additionalProperties": False,
    }


def _property(record: type, row: Field, body: dict[str, Any]) -> dict[str, Any]:
    body = {key: value for key, value in body.items() if key != "title"}
    if row.name == "dose" and any(item.name == "dose_unit" for item in dataclasses.fields(record)):
        return {"type": "string", "pattern": _NUMBER + "(mg|ug|mcg|µg|mL)$", "description": "a dose, '150 ug'"}
    if row.name == "concentration_per_ml":
        units = "mg|ug|mcg|µg|g|units|mmol|mEq"
        said = "a strength, '10 mg/mL', '100 units/mL', '1 mmol/mL' or '10 %' (10 mg/mL a per cent)"
        return {"type": "string", "pattern": _NUMBER + f"(({units})/mL|%)$", "description": said}
    own = (record.__name__, row.name)
    unit = None if own in NEIGHBOUR_UNITS or own in INHERITED_UNITS else row.unit
    return typing.cast(dict[str, Any], _with_units(body, unit))


def _with_units(body: Any, unit: str | None) -> Any:
    """Numbers become text with a unit; a default is turned the same way."""
    if isinstance(body, list):
        return [_with_units(part, unit) for part in body]
    if not isinstance(body, dict):
        return body
    if body.get("type") == "number":
        return _quantity(unit) | ({"default": _default(body["default"], unit)} if "default" in body else {})
    changed = {key: value if key == "default" else _with_units(value, unit) for key, value in body.items()}
    if isinstance(body.get("default"), float):
        changed["default"] = _default(body["default"], unit)
    return changed


def _default(value: float, unit: str | None) -> str | float:
    return value if unit in (None, "1") else f"{value:g} {unit}"


def _quantity(unit: str | None) -> dict[str, Any]:
    if unit is None:
        return {
            "type": ["number", "string"],
            "description": "a number in the unit of what it belongs to, unit beside it",
        }
    if unit == "1":
        return {"type": ["number", "string"], "description": "a number without unit; a share may be written '40 %'"}
    return {"type": "string", "pattern": _NUMBER + r"\S.*$", "description": f"a number with its unit, '10 {unit}'"}


def text_of(schema: dict[str, Any]) -> str:
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def main() -> int:
    """Writes the schemas, or with ``--check`` says which of them are out of date."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="change nothing; exit 1 if a schema is out of date")
    args = parser.parse_args()
    stale = 0
    for name, schema in schemas().items():
        path, text = FOLDER / f"{name}.schema.json", text_of(schema)
        if args.check:
            if not path.is_file() or path.read_text(encoding="utf-8") != text:
                print(f"{path} is out of date: run python -m drillyard.adapters.exchange.schemas", file=sys.stderr)
                stale = 1
        else:
            path.write_text(text, encoding="utf-8")
    return stale


if __name__ == "__main__":
    sys.exit(main())
