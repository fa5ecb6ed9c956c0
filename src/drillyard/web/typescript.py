"""TypeScript types of every wire message, written from the pydantic models.

``python -m drillyard.web.typescript`` writes ``web/src/lib/proto.ts``; with ``--check`` it only compares and ends with
status 1 where they differ.  What the server sends has every field; what a client sends may leave out a field that has
a default.
"""

import argparse
import json
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Final

from pydantic import BaseModel, TypeAdapter
from pydantic.json_schema import GenerateJsonSchema

from drillyard.core.signals.waves import WAVE_CODES, WAVE_RATE_PER_S
from drillyard.web import command_messages as command
from drillyard.web import debrief_messages as debrief
from drillyard.web import home_messages as home
from drillyard.web import messages as live
from drillyard.web import wire

SENT_BY_SERVER: Final[tuple[type[BaseModel], ...]] = (
    live.Snapshot, live.Delta, live.LookAhead, command.Ack, command.Refused, command.ParseAnswer,
    command.CauseChoices, command.FindAnswer,
    wire.Health, wire.RefusalView, wire.Done,
    home.HomeView, home.SessionForm, home.Started, home.PersonView, home.CloseForm, home.SettingsView, home.RunSheet,
    debrief.DebriefView, debrief.WhatIfAnswer, debrief.NoteView,
)  # fmt: skip
SENT_BY_CLIENT: Final[tuple[type[BaseModel], ...]] = (
    command.CommandSent, command.ParseAsked, command.FindAsked,
    home.StartAsked, home.PersonAsked, home.CloseAsked, home.SettingsChange,
    debrief.WhatIfAsked, debrief.NoteAsked,
)  # fmt: skip

TARGET: Final = Path(__file__).parents[3] / "web" / "src" / "lib" / "proto.ts"

_HEAD = """\
// Made from src/drillyard/web by `python -m drillyard.web.typescript`.  Do not edit: change the messages there.
// Numbers are in the unit at the end of their name; times of a run are seconds from time zero.

"""

Schema = Mapping[str, Any]


class _AllFieldsThere(GenerateJsonSchema):
    """In an answer every field is there, also those of plain dataclasses, which have no configuration of their own."""

    def field_is_required(self, field: Any, total: bool) -> bool:
        return self.mode == "serialization" or super().field_is_required(field, total)


def type_text(schema: Schema) -> str:  # noqa: PLR0911 - one case a kind of schema
    """The TypeScript type of one JSON Schema.

    Raises:
        ValueError: a schema of a kind that no message uses yet.
    """
    if "$ref" in schema:
        return str(schema["$ref"]).rsplit("/", 1)[-1]
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema:
        return " | ".join(json.dumps(value) for value in schema["enum"])
    for union in ("anyOf", "oneOf"):
        if union in schema:
            return " | ".join(dict.fromkeys(type_text(part) for part in schema[union]))
    kind = schema.get("type")
    match kind:
        case "string":
            return "string"
        case "number" | "integer":
            return "number"
        case "boolean":
            return "boolean"
        case "null":
            return "null"
        case "array" if "prefixItems" in schema:
            return "[" + ", ".join(type_text(item) for item in schema["prefixItems"]) + "]"
        case "array":
            inner = type_text(schema["items"])
            return f"({inner})[]" if "|" in inner else f"{inner}[]"
        case "object" if "additionalProperties" in schema and isinstance(schema["additionalProperties"], Mapping):
            return f"Record<string, {type_text(schema['additionalProperties'])}>"
    raise ValueError(f"no TypeScript for the schema {json.dumps(schema)[:200]}")


def _comment(text: str, indent: str = "") -> list[str]:
    lines = [line.strip() for line in text.strip().splitlines()]
    if not lines or not lines[0]:
        return []
    if len(lines) == 1:
        return [f"{indent}/** {lines[0]} */"]
    return [f"{indent}/**", *(f"{indent} * {line}".rstrip() for line in lines), f"{indent} */"]


def interface_text(name: str, schema: Schema) -> str:
    """One ``export interface``, or ``export type`` where the schema is not an object with named fields."""
    comment = _comment(schema.get("description", ""))
    if "properties" not in schema:
        return "\n".join([*comment, f"export type {name} = {type_text(schema)};", ""])
    lines = [*comment, f"export interface {name} {{"]
    required = set(schema.get("required", ()))
    for field, part in schema["properties"].items():
        lines += _comment(part.get("description", ""), "  ")
        # The word that tells kinds apart is always sent, although it has a default.
        is_there = field in required or ("const" in part and field in ("type", "do", "kind"))
        lines.append(f"  {field}{'' if is_there else '?'}: {type_text(part)};")
    return "\n".join([*lines, "}", ""])


def _definitions(models: Iterable[type[BaseModel]], mode: Any) -> dict[str, Schema]:
    inputs = [(model, mode, TypeAdapter(model)) for model in models]
    _, whole = TypeAdapter.json_schemas(inputs, schema_generator=_AllFieldsThere)
    definitions: dict[str, Schema] = whole["$defs"]
    return definitions


def proto_text() -> str:
    """The whole of ``proto.ts``."""
    sent = _definitions(SENT_BY_SERVER, "serialization")
    received = _definitions(SENT_BY_CLIENT, "validation")
    shared = sorted(name for name in sent.keys() & received.keys() if sent[name] != received[name])
    if shared:
        raise ValueError(f"messages used both ways with different shapes: {', '.join(shared)}")
    parts = [_HEAD]
    parts += [interface_text(name, schema) + "\n" for name, schema in sorted((sent | received).items())]
    parts.append("export type ServerMessage = Snapshot | Delta | LookAhead | Ack | Refused;\n")
    parts.append('export type Command = CommandSent["command"];\n\n')
    parts.append("/** A wave's code in a binary frame. */\n")
    parts.append(f"export const WAVE_CODES = {_constant(WAVE_CODES)} as const;\n")
    parts.append("/** Samples a second of each wave. */\n")
    parts.append(f"export const WAVE_RATE_PER_S = {_constant(WAVE_RATE_PER_S)} as const;\n")
    return "".join(parts)


def _constant(values: Mapping[str, int]) -> str:
    return "{ " + ", ".join(f"{name}: {value}" for name, value in values.items()) + " }"


def main(arguments: list[str] | None = None) -> int:
    """Write or compare ``proto.ts``; 0 when all is well."""
    parser = argparse.ArgumentParser(prog="python -m drillyard.web.typescript", description=__doc__)
    parser.add_argument("--check", action="store_true", help="compare only")
    parser.add_argument("--out", type=Path, default=TARGET, help="the file (default: web/src/lib/proto.ts)")
    asked = parser.parse_args(arguments)
    text = proto_text()
    if asked.check:
        if asked.out.exists() and asked.out.read_text(encoding="utf-8") == text:
            return 0
        sys.stderr.write(f"{asked.out.name} differs from the messages; run: python -m drillyard.web.typescript\n")
        return 1
    asked.out.parent.mkdir(parents=True, exist_ok=True)
    asked.out.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
