"""The page of the run log, made from the records: ``python -m drillyard.adapters.exchange.log_page``."""

import dataclasses
import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final, Literal, get_args, get_origin

from drillyard.core.care.actions import Action
from drillyard.core.care.problems import Problem
from drillyard.core.session.codec import version_of
from drillyard.core.session.events import Event, Happening

PAGE: Final = Path("docs/files/log.md")
_HEAD: Final = """# The run log

A run is an append-only list of events: one line of JSON each in `log.jsonl`, one row each in `lab.db`. State, screens,
measures and records are made from it; nothing in it is ever changed. What is taken back, corrected or entered late is
an event of its own that says so.

Every line is one event. `body` is what happened, told apart by `kind`; `version` is the version of the shape of that
kind. A line of an older version is brought up to date when it is read; a line of a newer version, of an unknown kind or
with an unknown field is refused with its line number, never skipped.

Events whose `client_id` begins with `core-` were found by the program itself (a rule that fired and what it did, a
finished cuff cycle, the end of the case). A replay finds them again and compares.

Made from `src/drillyard/core/session/events.py`; edit there.
"""


def page() -> str:
    """The page as text."""
    lines = [_HEAD, "## The envelope\n", *_fields(Event)]
    for title, union in (("Happenings", Happening), ("Actions", Action), ("Problems", Problem)):
        lines.append(f"\n## {title}")
        for kind in get_args(get_args(union)[0]):
            word = kind.__dataclass_fields__["kind"].default
            about = f" (version {version_of(word)})" if union is Happening else ""
            lines += [f"\n### {word}{about}\n", *_about(kind), *_fields(kind)]
    return "\n".join(lines) + "\n"


def _about(kind: Any) -> Iterator[str]:
    text = inspect.getdoc(kind) or ""
    if text and not text.startswith(f"{kind.__name__}("):
        yield " ".join(text.replace("``", "`").split()) + "\n"


def _fields(kind: Any) -> list[str]:
    rows = []
    for item in dataclasses.fields(kind):
        if item.name == "kind":
            continue
        needed = item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING
        default = "needed" if needed else "none" if item.default is dataclasses.MISSING else f"`{item.default!r}`"
        rows.append(f"| `{item.name}` | {_type_text(item.type)} | {default} |")
    return ["| field | type | default |", "|---|---|---|", *rows] if rows else ["No fields.\n"]


_WORDS: Final = {str: "text", int: "whole number", float: "number", bool: "true or false", type(None): "none"}


def _type_text(kind: Any) -> str:
    """A type in the words of somebody who reads a log."""
    for union, words in ((Happening, "happenings"), (Action, "actions"), (Problem, "problems")):
        if kind == union:
            return f"one of the {words} below"
    if kind in _WORDS:
        return _WORDS[kind]
    parts = [part for part in get_args(kind) if part is not Ellipsis]
    if get_origin(kind) is Literal:
        return ", ".join(f'"{part}"' for part in parts)
    if get_origin(kind) is tuple:
        return f"list of {_type_text(parts[0])}"
    return " or ".join(_type_text(part) for part in parts)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
