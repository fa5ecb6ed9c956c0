"""From a YAML tree to frozen records: every fault collected, each with its line.

A number is written with its unit and its key stands without it: field ``held_for_s`` is ``held_for: 20 s`` in a file.
Records are built from their own type hints, so a new field needs nothing here.
"""

import dataclasses
import re
import types
import typing
from collections.abc import Callable
from dataclasses import MISSING, dataclass, replace
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from ruamel.yaml.comments import CommentedMap, CommentedSeq

from drillyard.core.formulary import Sourced
from drillyard.core.formulary.strengths import MG_PER_ML_IN_PERCENT, STRENGTH_UNITS
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.quantities.units import quantity_from_text, unit_of_name
from drillyard.core.signals.findings import FINDINGS


class _Nothing:
    """Stands for a value that could not be read; its fault is already in the list."""


_NOTHING: Final = _Nothing()


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a record as it is written in a file."""

    name: str
    key: str
    unit: str
    hint: Any
    is_required: bool


def file_fields(record: type) -> tuple[Field, ...]:
    """The fields of a record type, with their keys in files and the units of their numbers."""
    hints = typing.get_type_hints(record, include_extras=True)
    names = {item.name for item in dataclasses.fields(record)}
    rows = []
    for item in dataclasses.fields(record):
        if item.name == "dose_unit" and "dose" in names:
            continue  # written with the dose: "dose: 150 ug"
        if item.name == "amount_unit" and "concentration_per_ml" in names:
            continue  # written with the concentration: "concentration: 100 units/mL"
        split = unit_of_name(item.name) if _holds_number(hints[item.name]) else None
        key, unit = split or (item.name, "1")
        is_required = item.default is MISSING and item.default_factory is MISSING
        rows.append(Field(item.name, key, unit, hints[item.name], is_required))
    return tuple(rows)


def _holds_number(hint: Any) -> bool:
    if get_origin(hint) in (types.UnionType, typing.Union, tuple):
        return any(_holds_number(choice) for choice in get_args(hint))
    return hint is float or hint is Sourced


UnitOf = Callable[[CommentedMap], str | None]
"""The unit of a number that depends on its neighbours; ``None`` where it cannot be told."""


def _unit_of_signal(node: CommentedMap) -> str | None:
    signal = SIGNALS.get(str(node.get("signal", "")))
    return signal.unit if signal else None


def _unit_of_finding(node: CommentedMap) -> str | None:
    finding = FINDINGS.get(str(node.get("finding", "")))
    return finding.level_unit if finding else None


_STRENGTH: Final = re.compile(r"^(\d+(?:\.\d*)?|\.\d+)\s*(\S+)$")

NEIGHBOUR_UNITS: Final[dict[tuple[str, str], UnitOf]] = {
    ("ValueCheck", "low"): _unit_of_signal,
    ("ValueCheck", "high"): _unit_of_signal,
    ("TimeCheck", "value"): _unit_of_signal,
    ("FindingShown", "steps"): _unit_of_finding,
    ("FindingShown", "step_size"): _unit_of_finding,
    ("FindingShown", "low"): _unit_of_finding,
    ("FindingShown", "high"): _unit_of_finding,
}
INHERITED_UNITS: Final = {("Step", "level")}
"""Numbers whose unit is that of the list they stand in."""


class Reader:
    """Reads one tree.  ``faults`` collects; ``places`` knows the line of every field that was read."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.places: dict[str, Place] = {}

    def record(self, node: Any, record: type, path: str = "", unit: str | None = "1") -> Any:
        """A record from a block, or a stand-in after a fault in it (then never use it; see ``faults``).

        ``unit`` is that of the list the block stands in, for numbers that inherit it.
        """
        if not isinstance(node, CommentedMap):
            self._fault("not a block", "a block of 'key: value' lines belongs here", path)
            return _NOTHING
        known = {row.key: row for row in file_fields(record)}
        for key in node:
            here = _join(path, str(key))
            self.places[here] = _place_of_key(node, key, self.file, here)
            if key not in known:
                self._unknown_key(str(key), known, here)
        values: dict[str, Any] = {}
        for key, row in known.items():
            here = _join(path, key)
            if key in node:
                values |= self._field(node, record, row, here, unit)
            elif row.is_required:
                self._fault("missing", f"'{key}' is missing", path, remedy=_example(row), at=node)
        if any(value is _NOTHING for value in values.values()) or any(
            row.is_required and row.name not in values for row in known.values()
        ):
            return _NOTHING
        return record(**values)

    def _unknown_key(self, key: str, known: dict[str, Field], path: str) -> None:
        by_full_name = {row.name: row.key for row in known.values()}
        near = (by_full_name[key],) if key in by_full_name else near_matches(key, known)
        remedy = "the unit is written beside the number, not in the key" if key in by_full_name else ""
        if not near and " " in key:
            remedy = "if it is part of a text with a comma, put the whole text in quotes"
        allowed = "" if near else ", ".join(known)
        self._fault("unknown key", f"'{key}' is not known here", path, allowed, remedy=remedy, near=near)

    def _field(self, node: CommentedMap, record: type, row: Field, path: str, inherited: str | None) -> dict[str, Any]:
        value = node[row.key]
        if row.name == "dose" and any(item.name == "dose_unit" for item in dataclasses.fields(record)):
            return self._dose(value, record, path)
        if row.name == "concentration_per_ml":
            return self._concentration(value, path)
        unit = inherited if (record.__name__, row.name) in INHERITED_UNITS else row.unit
        neighbour = NEIGHBOUR_UNITS.get((record.__name__, row.name))
        if neighbour:
            unit = neighbour(node)
        return {row.name: self.value(value, row.hint, path, unit)}

    def _dose(self, value: Any, record: type, path: str) -> dict[str, Any]:
        units = get_args(typing.get_type_hints(record)["dose_unit"])
        text = str(value).strip()
        unit = text.lstrip("+-.0123456789eE ").replace("µg", "ug").replace("mcg", "ug").replace("ml", "mL")
        if unit not in units:
            said = f"'{value}' is not a dose with a unit" if unit else f"'{value}' has no unit"
            self._fault("wrong unit", said, path, ", ".join(units), remedy=f"write for instance '150 {units[-1]}'")
            return {"dose": _NOTHING}
        return {"dose": self.value(value, float, path, unit), "dose_unit": unit}

    def _concentration(self, value: Any, path: str) -> dict[str, Any]:
        """A strength in the unit in which the drug is counted: "10 mg/mL", "100 units/mL", "1 mmol/mL", "10 %"."""
        found = _STRENGTH.match(str(value).strip().lower())
        if found is not None and found[2] in STRENGTH_UNITS:
            unit, factor = STRENGTH_UNITS[found[2]]
            return {"concentration_per_ml": float(f"{float(found[1]) * factor:.12g}"), "amount_unit": unit}
        if found is not None and found[2] == "%":
            of_mass = float(f"{float(found[1]) * MG_PER_ML_IN_PERCENT:.12g}")
            return {"concentration_per_ml": of_mass, "amount_unit": "mg"}
        return {"concentration_per_ml": self.value(value, float, path, "mg/mL"), "amount_unit": "mg"}

    def value(self, node: Any, hint: Any, path: str, unit: str | None = "1") -> Any:
        """A value of any type a record may hold."""
        origin = get_origin(hint)
        if origin is Annotated:
            return self.value(node, get_args(hint)[0], path, unit)
        if origin in (types.UnionType, typing.Union):
            return self._choice(node, get_args(hint), path, unit)
        if origin is tuple:
            return self._sequence(node, get_args(hint)[0], path, unit)
        if origin is Literal:
            return self._word(node, get_args(hint), path)
        if dataclasses.is_dataclass(hint):
            return self.record(node, typing.cast(type, hint), path, unit)
        return self._scalar(node, hint, path, unit)

    def _choice(self, node: Any, choices: tuple[Any, ...], path: str, unit: str | None) -> Any:
        if type(None) in choices:
            rest = [choice for choice in choices if choice is not type(None)]
            return None if node is None else self.value(node, rest[0], path, unit)
        tag = next(name for name in ("kind", "do") if name in choices[0].__dataclass_fields__)
        by_tag = {choice.__dataclass_fields__[tag].default: choice for choice in choices}
        if not isinstance(node, CommentedMap):
            self._fault("not a block", f"a block with '{tag}: ...' belongs here", path, ", ".join(by_tag))
            return _NOTHING
        if tag not in node:
            self._fault("missing", f"'{tag}' is missing", path, ", ".join(by_tag), at=node)
            return _NOTHING
        if node[tag] not in by_tag:
            where = _join(path, tag)
            self.places[where] = _place_of_key(node, tag, self.file, where)
            near = near_matches(str(node[tag]), by_tag)
            self._fault("unknown word", f"'{node[tag]}' is not allowed here", where, ", ".join(by_tag), near=near)
            return _NOTHING
        return self.record(node, by_tag[node[tag]], path)

    def _sequence(self, node: Any, hint: Any, path: str, unit: str | None) -> Any:
        if not isinstance(node, CommentedSeq):
            self._fault("not a list", "a list belongs here", path, remedy="begin each item with '- '")
            return _NOTHING
        values = []
        for i, item in enumerate(node):
            here = f"{path}[{i}]"
            line, column = node.lc.item(i)
            self.places[here] = Place(file=self.file, line=line + 1, column=column + 1, field=here)
            values.append(self.value(item, hint, here, unit))
        return _NOTHING if any(value is _NOTHING for value in values) else tuple(values)

    def _word(self, node: Any, words: tuple[Any, ...], path: str) -> Any:
        if node in words and type(node) is not bool:
            return str(node)
        near = near_matches(str(node), [str(word) for word in words])
        self._fault("unknown word", f"'{node}' is not allowed here", path, ", ".join(map(str, words)), near=near)
        return _NOTHING

    def _scalar(self, node: Any, hint: Any, path: str, unit: str | None) -> Any:
        if hint is float:
            return self._number(node, path, unit)
        if hint is bool:
            return self._exactly(node, bool, path, "true nor false", "true, false")
        if hint is int:
            return self._exactly(node, int, path, "a whole number")
        if node is None or isinstance(node, bool | CommentedMap | CommentedSeq):
            said = "a text is missing here" if node is None else "a text belongs here"
            self._fault("not text", said, path, remedy="put it in quotes, or leave the key out")
            return _NOTHING
        return str(node)

    def _exactly(self, node: Any, kind: type, path: str, name: str, allowed: str = "") -> Any:
        if isinstance(node, kind) and isinstance(node, bool) == (kind is bool):
            return kind(node)
        word = "neither" if kind is bool else "not"
        self._fault(f"not {name}", f"'{node}' is {word} {name}", path, allowed)
        return _NOTHING

    def _number(self, node: Any, path: str, unit: str | None) -> Any:
        try:
            wanted = "1" if unit is None and not isinstance(node, str) else unit
            if wanted is None:
                return 0.0  # its signal is unknown, which is a fault of its own
            return quantity_from_text(node, wanted, self._place(path))
        except Refusal as refusal:
            self.faults += refusal.faults
            return _NOTHING

    def _place(self, path: str) -> Place:
        return self.places.get(path, Place(file=self.file, field=path))

    def _fault(
        self, code: str, said: str, path: str, allowed: str = "", *, remedy: str = "",
        near: tuple[str, ...] = (), at: Any = None,
    ) -> None:  # fmt: skip
        place = self._place(path)
        if place.line is None and at is not None:
            place = Place(file=self.file, line=at.lc.line + 1, column=at.lc.col + 1, field=path)
        self.faults.append(Fault(code=code, said=said, place=place, allowed=allowed, remedy=remedy, near=near))

    def placed(self, fault: Fault) -> Fault:
        """A fault of the core, with file and line of its field or of the nearest block around it."""
        path = fault.place.field
        while path and path not in self.places:
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        near = self.places.get(path, Place(file=self.file))
        return replace(fault, place=replace(near, field=fault.place.field))


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def _example(row: Field) -> str:
    return f"write for instance '{row.key}: 10 {row.unit}'" if row.unit != "1" else ""


def _place_of_key(node: CommentedMap, key: Any, file: str, path: str) -> Place:
    try:
        line, column = node.lc.key(key)
    except (KeyError, TypeError, AttributeError):  # a key that came by an alias has no place of its own
        line, column = node.lc.line, node.lc.col
    return Place(file=file, line=line + 1, column=column + 1, field=path)
