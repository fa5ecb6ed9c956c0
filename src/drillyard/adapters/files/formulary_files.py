"""Drug files: YAML with units in text, read into checked drugs, or into faults with file and line.

As in every file a number is written with its unit and its key stands without it (``v1: 10.1 L`` for ``v1_l``).  A
number that needs a source takes the ``source`` of its block, or brings its own:
``{value: 10.1 L, source: Bae2020, note: ...}``.
"""

import re
import typing
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from pydantic import TypeAdapter
from ruamel.yaml.comments import CommentedMap

from drillyard.adapters.files.document import Document
from drillyard.adapters.files.reader import Reader, file_fields
from drillyard.core.formulary import Delivery, Drug, Effect, Formulary, Sourced, Strength, UsualDose, drug_faults
from drillyard.core.formulary.model import AMOUNT_UNIT
from drillyard.core.formulary.vocabulary import SUBSTANCE_UNIT
from drillyard.core.quantities.faults import Fault, Place, Refusal

FORMAT: Final = 1
DATA: Final = Path(__file__).parents[2] / "data"
AMOUNTS: Final[dict[str, dict[str, float]]] = {
    "mg": {"pg": 1e-9, "ng": 1e-6, "ug": 1e-3, "mcg": 1e-3, "mg": 1.0, "g": 1e3},
    "units": {"uU": 1e-6, "mU": 1e-3, "U": 1.0, "units": 1.0},
    "mmol": {"umol": 1e-3, "mmol": 1.0, "mEq": 1.0, "mol": 1e3},
    "mL": {"mL": 1.0, "L": 1e3},
    "mosm": {"mosm": 1.0, "osm": 1e3},
}
"""How amounts are written, by the unit in which the drug's amount is counted."""
_PER: Final[dict[str, dict[str, float]]] = {
    "L": {"L": 1.0, "dL": 10.0, "mL": 1e3}, "mL": {"mL": 1.0, "L": 1e-3}, "min": {"min": 1.0, "h": 1.0 / 60.0}, "": {},
}  # fmt: skip
_OWN_UNIT: Final[dict[type, dict[str, str]]] = {
    Drug: {"impossible": "", "impossible_rate": "min"},
    Strength: {"strength": "mL"},
    Effect: {"half": "L", "half_amount": ""},
}
"""Numbers whose unit hangs on how the drug is counted: key -> what they are per."""
_DOSE_UNITS: Final[dict[str, tuple[str, ...]]] = {
    "mg": ("mg", "ug", "g"), "units": ("units",), "mmol": ("mmol",), "mL": ("mL", "L"),
}  # fmt: skip
_DOSE_SAME: Final = {"mcg": "ug", "U": "units", "mEq": "mmol"}
_MASSES: Final = ("low", "high", "high_limit")
_TOLD_BY_UNIT: Final = ("unit", "by_mass", "per_time")
"""Fields of a usual dose that nobody writes: the unit of its amounts says them."""
_NUMBER_AND_UNIT: Final = re.compile(r"^\s*([-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)\s*(\S*)\s*$")


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
        self._amount_unit = "mg"

    def drug(self, node: CommentedMap) -> Any:
        """The drug of a file; not to be used while there are faults."""
        version = node.pop("format", None)
        if version != FORMAT:
            said = "the file does not say its format" if version is None else f"format {version} is not known here"
            place = Place(file=self.file, line=1, field="format")
            self.faults.append(Fault(code="wrong format", said=said, place=place, allowed=f"{FORMAT}"))
        self._amount_unit = {str(key): unit for key, unit in AMOUNT_UNIT.items()}.get(str(node.get("dose_unit")), "mg")
        return self.record(node, Drug)

    def record(self, node: Any, record: type, path: str = "", unit: str | None = "1") -> Any:
        if not isinstance(node, CommentedMap):
            return super().record(node, record, path, unit)
        handed_down = self._sources[-1] if self._sources else ""
        self._sources.append(str(node.get("source", handed_down)))
        if record is UsualDose:
            self._tell_dose_unit(node, path)
        for key, per in _OWN_UNIT.get(record, {}).items():
            self._into_own_unit(node, key, per, path)
        if record is Delivery:
            self._into_content(node, path)
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

    def _into_own_unit(self, node: CommentedMap, key: str, per: str, path: str) -> None:
        """Turns an amount with its unit into the drug's own unit (mg, units, mmol, mL), per litre where it is one."""
        amounts = AMOUNTS[self._amount_unit]
        wanted = f"{self._amount_unit}/{per}" if per else self._amount_unit

        def factor(unit: str) -> float | None:
            amount, _, below = unit.partition("/")
            if amount not in amounts or (below not in _PER[per] if per else below):
                return None
            return amounts[amount] * (_PER[per][below] if per else 1.0)

        self._convert(node, key, factor, wanted, f"/{per}" if per else "", path)

    def _into_content(self, node: CommentedMap, path: str) -> None:
        """Turns "6.8 mmol/g" into the substance's own unit in one unit of the drug's amount."""
        unit_of_substance = SUBSTANCE_UNIT.get(str(node.get("substance")), "mmol")

        def factor(unit: str) -> float | None:
            above, _, below = unit.partition("/")
            part, whole = AMOUNTS[unit_of_substance].get(above), AMOUNTS[self._amount_unit].get(below)
            return None if part is None or whole is None else part / whole

        self._convert(node, "content", factor, f"{unit_of_substance}/{self._amount_unit}", "", path)

    def _convert(
        self, node: CommentedMap, key: str, factor: Callable[[str], float | None], wanted: str, mark: str, path: str
    ) -> None:
        """Puts ``number x factor(unit)`` in the place of what was written at ``key``, or a fault."""
        holder, inner = (node[key], "value") if isinstance(node.get(key), CommentedMap) else (node, key)
        if inner not in holder:
            return
        match = _NUMBER_AND_UNIT.match(str(holder[inner]).replace("µ", "u"))
        found = factor(match[2]) if match else None
        if match is None or found is None:
            line = node.lc.key(key)[0] + 1
            place = Place(file=self.file, line=line, field=f"{path}.{key}" if path else key)
            said = f"'{holder[inner]}' cannot be turned into {wanted}"
            if match is not None and not match[2]:
                said = f"'{holder[inner]}' has no unit, and it could be read in more than one"
            remedy = f"write for instance '10 {wanted}'"
            self.faults.append(Fault(code="wrong unit", said=said, place=place, remedy=remedy))
            holder[inner] = f"1 {mark}".strip() if mark else 1.0
            return
        number = float(f"{float(match[1]) * found:.12g}")
        holder[inner] = f"{number!r} {mark}" if mark else number

    def _tell_dose_unit(self, node: CommentedMap, path: str) -> None:
        """Turns the amounts of a dose into numbers in one unit, and puts that unit beside them."""
        units: set[str] = set()
        faults_before = len(self.faults)
        known = _DOSE_UNITS[self._amount_unit]
        for key in _MASSES:
            if key not in node:
                continue
            number, _, written = str(node[key]).partition(" ")
            amount, *rest = written.strip().replace("µ", "u").split("/")
            amount = _DOSE_SAME.get(amount, amount)
            if key == "high_limit" and rest[:1] == ["kg"]:
                amount = ""
            if amount not in known or rest not in ([], ["kg"], ["min"], ["h"], ["kg", "min"], ["kg", "h"]):
                line = node.lc.key(key)[0] + 1
                place = Place(file=self.file, line=line, field=f"{path}.{key}")
                said = f"'{node[key]}' is not a dose of a drug counted in {self._amount_unit}"
                allowed = f"{', '.join(known)}; with /kg, and with /min or /h for an infusion"
                self.faults.append(Fault(code="wrong unit", said=said, place=place, allowed=allowed))
            by_mass = "/kg" if rest[:1] == ["kg"] or (key == "high_limit" and any("/kg" in u for u in units)) else ""
            units.add(f"{amount}{by_mass}" + "".join(f"/{part}" for part in rest if part != "kg"))
            node[key] = number
        if len(units) > 1 and len(self.faults) == faults_before:
            self._fault("mixed units", "low, high and high_limit are not in one unit", path)
        amount, *rest = next(iter(units), "mg").split("/")
        node["unit"], node["by_mass"] = amount or known[0], "kg" in rest
        node["per_time"] = next((part for part in rest if part != "kg"), "")


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
    written = {**body, "properties": properties, "required": required, "additionalProperties": False}
    if name == "Kinetics":
        own = ["v1", "cl", "scaling", "reference_mass"]
        written["anyOf"] = [{"required": ["model"]}, {"required": own}]
    return written
