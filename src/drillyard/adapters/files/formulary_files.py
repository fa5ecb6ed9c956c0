"""Drug files: YAML with units in text, read into checked drugs, or into faults with file and line.

A number is written with its unit (``v1: 10.1 L``) and its key stands without it (``v1`` for ``v1_l``).  A number that
needs a source takes the ``source`` of its block, or brings its own: ``{value: 10.1 L, source: Bae2020, note: ...}``.
"""

import difflib
import types
import typing
from collections.abc import Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any, Final, Literal, get_args, get_origin

from pydantic import TypeAdapter
from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError

from drillyard.core.formulary import Drug, Formulary, Sourced, UsualDose, drug_faults
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.quantities.units import quantity_from_text, unit_of_name

FORMAT: Final = 1
_DOSE_UNITS: Final = ("mg", "ug", "mg/kg", "ug/kg")
_MASSES: Final = ("low", "high", "high_limit")


def load_formulary(folder: Path, citations_file: Path) -> Formulary:
    """Every ``*.yaml`` of a folder as one formulary.

    Raises:
        Refusal: with every fault of every file.
    """
    faults: list[Fault] = []
    citations, found = read_citations(citations_file)
    faults += found
    drugs = []
    for file in sorted(folder.glob("*.yaml")):
        drug, found = read_drug(file.read_text(encoding="utf-8"), file.name, citations)
        faults += found
        if drug is not None:
            drugs.append(drug)
    if faults:
        raise Refusal(*faults)
    return Formulary(drugs)


def read_citations(file: Path) -> tuple[dict[str, str], list[Fault]]:
    """Citation key -> full source."""
    node, faults = _parse(file.read_text(encoding="utf-8"), file.name)
    citations: dict[str, str] = {}
    if node is None:
        return citations, faults
    for key in node:
        entry = node[key]
        if isinstance(entry, CommentedMap) and isinstance(entry.get("text"), str):
            citations[str(key)] = entry["text"]
        else:
            place = _place(node, key, file.name, str(key))
            faults.append(Fault(code="no source text", said="a citation needs 'text'", place=place))
    return citations, faults


def read_drug(text: str, file: str, citations: Mapping[str, str]) -> tuple[Drug | None, list[Fault]]:
    """One drug file.

    Args:
        text: the YAML.
        file: its name, for the faults.
        citations: citation key -> full source.

    Returns:
        The drug and no fault, or ``None`` and every fault found.
    """
    node, faults = _parse(text, file)
    if node is None:
        return None, faults
    reader = _Reader(file)
    version = node.get("format")
    if version != FORMAT:
        allowed = f"{FORMAT}"
        said = "the file does not say its format" if version is None else f"format {version} is not known here"
        where = _place(node, "format", file, "format")
        reader.faults.append(Fault(code="wrong format", said=said, place=where, allowed=allowed))
    drug = reader.record(node, Drug, "", "", skip=("format",))
    if reader.faults or drug is None:
        return None, reader.faults
    found = drug_faults(drug, citations)
    return (None, [reader.placed(fault) for fault in found]) if found else (drug, [])


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
    keys = {field: _file_key(field)[0] for field in body["properties"]}
    properties = {}
    for field, inner in body["properties"].items():
        plain = inner.get("type") == "number" or any(
            choice.get("type") == "number" for choice in inner.get("anyOf", ())
        )
        properties[keys[field]] = {"type": ["string", "number"]} if plain else inner
    required = [keys[field] for field in body.get("required", ())]
    if name == "UsualDose":
        for taken in ("unit", "by_mass"):  # told by the unit of low and high
            properties.pop(taken)
        required.remove("unit")
    if any("Sourced" in str(inner) for inner in body["properties"].values()):
        properties["source"] = {"type": "string", "description": "source of every number here that brings none"}
    return {**body, "properties": properties, "required": required, "additionalProperties": False}


def _parse(text: str, file: str) -> tuple[CommentedMap | None, list[Fault]]:
    yaml = YAML(typ="rt")
    try:
        node = yaml.load(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark
        place = Place(file=file, line=mark.line + 1, column=mark.column + 1) if mark is not None else Place(file=file)
        said = (error.problem or "not readable as YAML").strip().splitlines()[0]
        return None, [Fault(code="not YAML", said=said, place=place, remedy="check indents, quotes and repeated keys")]
    if not isinstance(node, CommentedMap):
        said = "the file holds no 'key: value' lines"
        return None, [Fault(code="not YAML", said=said, place=Place(file=file, line=1))]
    return node, []


def _place(node: CommentedMap, key: object, file: str, path: str) -> Place:
    try:
        line, column = node.lc.key(key)
    except (KeyError, TypeError):
        line, column = node.lc.line, node.lc.col
    return Place(file=file, line=line + 1, column=column + 1, field=path)


def _file_key(field: str) -> tuple[str, str]:
    return unit_of_name(field) or (field, "1")


@dataclass
class _Shape:
    """What a field of a record may hold."""

    kind: Any
    optional: bool
    many: bool


def _shape(hint: Any) -> _Shape:
    optional = False
    if get_origin(hint) in (types.UnionType, typing.Union):
        choices = [choice for choice in get_args(hint) if choice is not type(None)]
        optional, hint = True, choices[0]
    if get_origin(hint) is tuple:
        return _Shape(get_args(hint)[0], optional, True)
    return _Shape(hint, optional, False)


class _Reader:
    """Turns one parsed file into records and collects what is wrong with it."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.places: dict[str, Place] = {}

    def placed(self, fault: Fault) -> Fault:
        """The same fault with the line of its field, or of the nearest block around it."""
        path = fault.place.field
        while path and path not in self.places:
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        place = self.places.get(path, Place(file=self.file))
        shown = ".".join(_file_key(part)[0] for part in fault.place.field.split("."))
        kept = Place(file=self.file, line=place.line, column=place.column, field=shown)
        return Fault(
            code=fault.code, said=fault.said, place=kept, value=fault.value, allowed=fault.allowed,
            remedy=fault.remedy, near=fault.near,
        )  # fmt: skip

    def record(self, node: Any, kind: Any, path: str, source: str, skip: tuple[str, ...] = ()) -> Any:
        """A record of dataclass ``kind`` from a block; ``None`` after a fault in it."""
        before = len(self.faults)
        if not isinstance(node, CommentedMap):
            self._fault(
                "not a block",
                "a block of 'key: value' lines belongs here",
                self.places.get(path, Place(file=self.file)),
            )
            return None
        block_source = node.get("source", source)
        values: dict[str, Any] = {}
        known = {}
        for item in fields(kind):
            key = _file_key(item.name)[0]
            known[key] = item
        if kind is UsualDose:
            values |= self._dose(node, path)
            for name in (*_MASSES, "unit", "by_mass"):
                known.pop(name)
        own = {*known, *skip, *(_MASSES if kind is UsualDose else ())}
        if any(_shape(hint).kind is Sourced for hint in typing.get_type_hints(kind).values()):
            own.add("source")
        for key in node:
            if key not in own:
                near = tuple(difflib.get_close_matches(str(key), own, n=2))
                allowed = "" if near else ", ".join(sorted(own))
                place = _place(node, key, self.file, _join(path, str(key)))
                self._fault("unknown key", f"'{key}' is not known here", place, allowed, near)
        hints = typing.get_type_hints(kind)
        for key, item in known.items():
            here = _join(path, item.name)
            if key in node:
                self.places[here] = _place(node, key, self.file, _join(path, key))
                values[item.name] = self._value(node[key], item, hints[item.name], here, str(block_source))
            elif item.default is MISSING:
                self._fault("missing", f"'{key}' is missing", _place(node, None, self.file, path))
        if len(self.faults) > before:
            return None
        return kind(**values)

    def _value(self, node: Any, item: Field[Any], hint: Any, path: str, source: str) -> Any:
        shape = _shape(hint)
        if shape.many:
            if not isinstance(node, CommentedSeq):
                self._fault("not a list", "a list belongs here", self.places[path])
                return ()
            return tuple(
                self._item(part, item, shape.kind, f"{path}[{i}]", source, node, i) for i, part in enumerate(node)
            )
        return self._one(node, item, shape.kind, path, source)

    def _item(self, node: Any, item: Field[Any], kind: Any, path: str, source: str, sequence: Any, index: int) -> Any:
        line, column = sequence.lc.item(index)
        self.places[path] = Place(file=self.file, line=line + 1, column=column + 1, field=path)
        return self._one(node, item, kind, path, source)

    def _one(self, node: Any, item: Field[Any], kind: Any, path: str, source: str) -> Any:
        place = self.places[path]
        if kind is Sourced:
            return self._sourced(node, _file_key(item.name)[1], path, source)
        if is_dataclass(kind):
            return self.record(node, kind, path, source)
        if get_origin(kind) is Literal:
            if node not in get_args(kind):
                words = [str(word) for word in get_args(kind)]
                near = tuple(difflib.get_close_matches(str(node), words, n=2))
                self._fault("unknown word", f"'{node}' is not allowed here", place, ", ".join(words), near)
            return node
        if kind is float:
            return self._number(node, _file_key(item.name)[1], place)
        if kind is str and not isinstance(node, str):
            self._fault("not text", f"{node!r} is not text; put it in quotes", place)
        return str(node)

    def _number(self, text: Any, unit: str, place: Place) -> float:
        try:
            return quantity_from_text(text, unit, place)
        except Refusal as refusal:
            self.faults += refusal.faults
            return 0.0

    def _sourced(self, node: Any, unit: str, path: str, source: str) -> Sourced:
        place = self.places[path]
        note = ""
        if isinstance(node, CommentedMap):
            for key in node:
                if key not in ("value", "source", "note"):
                    self._fault("unknown key", f"'{key}' is not known here", place, "value, source, note")
            source, note = str(node.get("source", source)), str(node.get("note", ""))
            if "value" not in node:
                self._fault("missing", "'value' is missing", place)
                return Sourced(value=0.0, source=source)
            node = node["value"]
        if not source.strip():
            remedy = "write {value: ..., source: ...}, or 'source:' once for the whole block"
            self.faults.append(Fault(code="no source", said="a number without a source", place=place, remedy=remedy))
        return Sourced(value=self._number(node, unit, place), source=source, note=note)

    def _dose(self, node: CommentedMap, path: str) -> dict[str, Any]:
        """Masses of a usual dose: all in one unit, per kg or not; the limit is a plain mass."""
        values: dict[str, Any] = {}
        units = set()
        before = len(self.faults)
        for key in _MASSES:
            if key not in node:
                if key != "high_limit":
                    self._fault("missing", f"'{key}' is missing", _place(node, None, self.file, path))
                continue
            place = _place(node, key, self.file, _join(path, key))
            self.places[_join(path, key)] = place
            number, _, unit = str(node[key]).partition(" ")
            unit = unit.strip()
            if unit not in _DOSE_UNITS or (key == "high_limit" and unit.endswith("/kg")):
                self._fault("wrong unit", f"'{node[key]}' is not a dose", place, ", ".join(_DOSE_UNITS))
                continue
            values[key] = self._number(number, "1", place)
            units.add(unit.removesuffix("/kg") if key == "high_limit" else unit)
        plain = {unit.removesuffix("/kg") for unit in units}
        ends = {str(node[key]).rpartition(" ")[2] for key in ("low", "high") if key in node}
        if len(self.faults) == before and (len(plain) > 1 or len(ends) > 1):
            self._fault("mixed units", "low, high and high_limit are not in one unit", self.places[path])
        values["unit"] = next(iter(plain), "mg")
        values["by_mass"] = any(unit.endswith("/kg") for unit in units)
        return values

    def _fault(self, code: str, said: str, place: Place, allowed: str = "", near: tuple[str, ...] = ()) -> None:
        self.faults.append(Fault(code=code, said=said, place=place, allowed=allowed, near=near))


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def packaged_formulary() -> Formulary:
    """The drugs that come with the program."""
    data = Path(__file__).parents[2] / "data"
    return load_formulary(data / "formulary", data / "citations.yaml")
