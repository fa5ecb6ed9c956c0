"""Words in, records out: the same kinds and fields that files and logs use, with units as text where wanted."""

import dataclasses
import difflib
import types
from functools import lru_cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from drillyard.core.care.actions import Action
from drillyard.core.care.problems import Problem
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.quantities.units import quantity_from_text, unit_of_name


@lru_cache(maxsize=4)
def _records(union: Any) -> dict[str, type]:
    """The record types of a discriminated union, by their ``kind``."""
    members = get_args(get_args(union)[0] if get_origin(union) is Annotated else union)
    return {member.__dataclass_fields__["kind"].default: member for member in members}


def record(union: Any, kind: str, fields: dict[str, Any]) -> Any:
    """The record ``kind`` of a union with ``fields``.

    A field may be written by its full name with a number (``rate_ml_per_min=180``) or by its stem with the unit
    as text (``rate="180 mL/min"``).

    Raises:
        Refusal: unknown kind or field, wrong unit, missing field, a word that is not one of those allowed.
    """
    records = _records(union)
    if kind not in records:
        near = tuple(difflib.get_close_matches(kind, records, n=3))
        raise Refusal(
            Fault(code="unknown kind", said=f"there is no '{kind}'", allowed=", ".join(sorted(records)), near=near)
        )
    made = records[kind]
    hints = get_type_hints(made)
    known = {field.name: field for field in dataclasses.fields(made) if field.name != "kind"}
    stems = {unit_of_name(name)[0]: name for name in known if unit_of_name(name) is not None}  # type: ignore[index]
    values: dict[str, Any] = {}
    for written, value in fields.items():
        name = written if written in known else stems.get(written)
        if name is None:
            raise Refusal(
                Fault(
                    code="unknown field",
                    said=f"'{kind}' has no field '{written}'",
                    allowed=", ".join([*known]),
                    near=tuple(difflib.get_close_matches(written, [*known, *stems], n=3)),
                )
            )
        values[name] = _value(kind, name, value, hints[name])
    missing = [
        name
        for name, field in known.items()
        if field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING and name not in values
    ]
    if missing:
        raise Refusal(Fault(code="missing field", said=f"'{kind}' needs {', '.join(missing)}"))
    return made(**values)


def _value(kind: str, name: str, value: Any, hint: Any) -> Any:
    options = _options(hint)
    if options and value not in options:
        raise Refusal(
            Fault(
                code="not one of the words allowed",
                said=f"'{value}' cannot stand for {name} of '{kind}'",
                allowed=", ".join(str(option) for option in options if option is not None),
                near=tuple(difflib.get_close_matches(str(value), [str(option) for option in options], n=2)),
            )
        )
    unit = unit_of_name(name)
    if hint is float and isinstance(value, str):
        return quantity_from_text(value, unit[1] if unit else "1", Place(field=f"{kind}, {name}"))
    if hint is float and isinstance(value, int) and not isinstance(value, bool):
        return float(value)
    return value


def _options(hint: Any) -> tuple[Any, ...]:
    if get_origin(hint) is Literal:
        return get_args(hint)
    if get_origin(hint) in (Union, types.UnionType):
        inner = [option for part in get_args(hint) for option in _options(part)]
        return (*inner, None) if inner and type(None) in get_args(hint) else tuple(inner)
    return ()


def action(kind: str, **fields: Any) -> Any:
    """An action of ``core/care/actions.py`` by its words."""
    return record(Action, kind, fields)


def problem(kind: str, **fields: Any) -> Any:
    """A problem of ``core/care/problems.py`` by its words; ``name`` defaults to the kind."""
    return record(Problem, kind, {"name": kind, **fields})


def problem_kinds() -> frozenset[str]:
    """The kinds of problem that this version of the body knows."""
    return frozenset(_records(Problem))
