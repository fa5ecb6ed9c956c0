"""Drug files: YAML with units in text, read into checked drugs, or into faults with file and line.

As in every file a number is written with its unit and its key stands without it (``v1: 10.1 L`` for ``v1_l``).  A
number that needs a source takes the ``source`` of its block, or brings its own:
``{value: 10.1 L, source: Bae2020, note: ...}``.
"""

import typing
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from pydantic import TypeAdapter
from ruamel.yaml.comments import CommentedMap

from drillyard.adapters.files.document import Document
from drillyard.adapters.files.reader import Reader, file_fields
from drillyard.core.formulary import Drug, Formulary, Sourced, UsualDose, drug_faults
from drillyard.core.quantities.faults import Fault, Place, Refusal

FORMAT: Final = 1
DATA: Final = Path(__file__).parents[2] / "data"
_DOSE_UNITS: Final = ("mg", "ug", "mg/kg", "ug/kg")
_MASSES: Final = ("low", "high", "high_limit")
_TOLD_BY_UNIT: Final = ("unit", "by_mass")
"""Fields of a usual dose that nobody writes: the unit of its masses says both."""


@lru_cache(maxsize=1)
def packaged_formulary() -> Formulary:
    """The drugs that come with the program."""
    return load_formulary(DATA / "formulary", DATA / "citations.yaml")


def load_formulary(folder: Path, citations_file: Path) -> Formulary:
    """Every ``*.yaml`` of a folder as one formulary.

    Raises:
        Refusal: with every fault of every file.
    """
    citations, faults = read_citations(citations_file)
    drugs = []
    for file in sorted(folder.glob("*.yaml")):
        drug, found = _drug(Document.read(file), citations)
        faults += found
        if drug is not None:
            drugs.append(drug)
    if faults:
        raise Refusal(*faults)
    return Formulary(drugs)


def read_citations(file: Path) -> tuple[dict[str, str], list[Fault]]:
    """Citation key -> full source."""
    document = Document.read(file)
    citations: dict[str, str] = {}
    for key, entry in (document.data or {}).items():
        if isinstance(entry, CommentedMap) and isinstance(entry.get("text"), str):
            citations[str(key)] = entry["text"]
        else:
            line = document.data.lc.key(key)[0] + 1 if document.data is not None else None
            place = Place(file=document.file, line=line, field=str(key))
            document.faults.append(Fault(code="no source text", said="a citation needs 'text'", place=place))
    return citations, document.faults


def read_drug(text: str, file: str, citations: Mapping[str, str]) -> tuple[Drug | None, list[Fault]]:
    """One drug file.

    Args:
        text: the YAML.
        file: its name, for the faults.
        citations: citation key -> full source.

    Returns:
        The drug and no fault, or ``None`` and every fault found.
    """
    return _drug(Document.of_text(text, file), citations)


def _drug(document: Document, citations: Mapping[str, str]) -> tuple[Drug | None, list[Fault]]:
    if document.data is None:
        return None, document.faults
    reader = DrugReader(document.file)
    reader.faults += document.faults
    drug = reader.drug(document.data)
    if not reader.faults:
        reader.faults += [reader.placed(_as_written(fault)) for fault in drug_faults(drug, citations)]
    return (None, reader.faults) if reader.faults else (drug, [])


def _as_written(fault: Fault) -> Fault:
    """A fault of the core names fields with their units; in the file the keys stand without."""
    parts = [_key_of_field(part) for part in fault.place.field.split(".")]
    return replace(fault, place=replace(fault.place, field=".".join(parts)))


def _key_of_field(part: str) -> str:
    name, bracket, index = part.partition("[")
    return _KEYS.get(name, name) + bracket + index


class DrugReader(Reader):
    """The reader of all files, with sources that a block hands down to its numbers and doses in their own unit."""

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self._sources: list[str] = []

    def drug(self, node: CommentedMap) -> Any:
        """The drug of a file; not to be used while there are faults."""
        version = node.pop("format", None)
        if version != FORMAT:
            said = "the file does not say its format" if version is None else f"format {version} is not known here"
            place = Place(file=self.file, line=1, field="format")
            self.faults.append(Fault(code="wrong format", said=said, place=place, allowed=f"{FORMAT}"))
        return self.record(node, Drug)

    def record(self, node: Any, record: type, path: str = "", unit: str | None = "1") -> Any:
        if not isinstance(node, CommentedMap):
            return super().record(node, record, path, unit)
        handed_down = self._sources[-1] if self._sources else ""
        self._sources.append(str(node.get("source", handed_down)))
        if record is UsualDose:
            self._tell_dose_unit(node, path)
        found = super().record(node, record, path, unit)
        self._sources.pop()
        return found

    def value(self, node: Any, hint: Any, path: str, unit: str | None = "1") -> Any:
        return self._sourced(node, path, unit) if hint is Sourced else super().value(node, hint, path, unit)

    def _unknown_key(self, key: str, known: dict[str, Any], path: str) -> None:
        if key == "source" and any(_is_sourced(row.hint) for row in known.values()):
            return
        super()._unknown_key(key, known, path)

    def _sourced(self, node: Any, path: str, unit: str | None) -> Any:
        source, note = self._sources[-1], ""
        if isinstance(node, CommentedMap):
            for key in node:
                if key not in ("value", "source", "note"):
                    self._fault("unknown key", f"'{key}' is not known here", path, "value, source, note")
            source, note = str(node.get("source", source)), str(node.get("note", ""))
            node = node.get("value")
        if not source.strip():
            remedy = "write {value: ..., source: ...}, or 'source:' once for the whole block"
            self._fault("no source", "a number without a source", path, remedy=remedy)
        number = self._number(node, path, unit)
        return Sourced(value=number, source=source, note=note) if isinstance(number, float) else number

    def _tell_dose_unit(self, node: CommentedMap, path: str) -> None:
        """Turns the masses of a dose into numbers in one unit, and puts that unit beside them."""
        units = set()
        faults_before = len(self.faults)
        for key in _MASSES:
            if key not in node:
                continue
            number, _, unit = str(node[key]).partition(" ")
            unit = unit.strip()
            if unit not in _DOSE_UNITS or (key == "high_limit" and unit.endswith("/kg")):
                line = node.lc.key(key)[0] + 1
                place = Place(file=self.file, line=line, field=f"{path}.{key}")
                said = f"'{node[key]}' is not a dose"
                self.faults.append(Fault(code="wrong unit", said=said, place=place, allowed=", ".join(_DOSE_UNITS)))
            units.add(f"{unit}/kg" if key == "high_limit" and f"{unit}/kg" in units else unit)
            node[key] = number
        if len(units) > 1 and len(self.faults) == faults_before:
            self._fault("mixed units", "low, high and high_limit are not in one unit", path)
        unit = next(iter(units), "mg")
        node["unit"], node["by_mass"] = unit.removesuffix("/kg"), unit.endswith("/kg")


def _is_sourced(hint: Any) -> bool:
    return hint is Sourced or Sourced in typing.get_args(hint)


def _fields_by_key(record: Any) -> dict[str, str]:
    keys = {}
    for row in file_fields(record):
        keys[row.name] = row.key
        for inner in (row.hint, *typing.get_args(row.hint)):
            if hasattr(inner, "__dataclass_fields__") and inner is not Sourced:
                keys |= _fields_by_key(inner)
    return keys


_KEYS: Final = _fields_by_key(Drug)
"""Every field of a drug file's records -> its key in the file."""


def drug_file_schema() -> dict[str, Any]:
    """JSON Schema of a drug file, for editors: the record's own schema with keys and numbers as they are written."""
    schema = TypeAdapter(Drug).json_schema()
    definitions = schema.pop("$defs")
    definitions["Drug"] = {key: value for key, value in schema.items() if not key.startswith("$")}
    written = {name: _written_schema(name, body) for name, body in definitions.items() if name != "Sourced"}
    number = {"anyOf": [{"type": "number"}, {"type": "string", "description": "number and unit, '10.1 L'"}]}
    written["Sourced"] = {
        "anyOf": [
            *number["anyOf"],
            {
                "type": "object",
                "properties": {"value": number, "source": {"type": "string"}, "note": {"type": "string"}},
                "required": ["value", "source"],
                "additionalProperties": False,
            },
        ]
    }
    drug = written.pop("Drug")
    drug["properties"]["format"] = {"const": FORMAT}
    drug["required"] = ["format", *drug.get("required", [])]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Drug file", **drug, "$defs": written}


def _written_schema(name: str, body: dict[str, Any]) -> dict[str, Any]:
    if "properties" not in body:
        return body
    keys = {field: _KEYS.get(field, field) for field in body["properties"]}
    properties = {}
    for field, inner in body["properties"].items():
        plain = inner.get("type") == "number" or any(
            choice.get("type") == "number" for choice in inner.get("anyOf", ())
        )
        properties[keys[field]] = {"type": ["string", "number"]} if plain else inner
    required = [keys[field] for field in body.get("required", ())]
    if name == "UsualDose":
        for told in _TOLD_BY_UNIT:
            properties.pop(told)
        required.remove("unit")
    if any("Sourced" in str(inner) for inner in body["properties"].values()):
        properties["source"] = {"type": "string", "description": "source of every number here that brings none"}
    return {**body, "properties": properties, "required": required, "additionalProperties": False}
