"""Events as plain data: ``Event`` <-> dict <-> one line of JSON, and old versions brought up to date.

Each happening carries the version of its own shape.  ``VERSIONS`` holds today's version of every kind that is past
its first; ``UPGRADES`` holds one step per old version, so that a log of any age is read by walking the steps.  A
version newer than ours is refused, never guessed at.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from math import isfinite
from typing import Any, Final, NoReturn, get_args

from pydantic import TypeAdapter, ValidationError

from drillyard.core.care.actions import Action
from drillyard.core.care.problems import Problem
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.session.events import Event, Happening

EVENT_ADAPTER: Final[TypeAdapter[Event]] = TypeAdapter(Event)
"""The one description of an event that JSON, JSON Schema and the checks are made from."""

KINDS: Final[tuple[str, ...]] = tuple(
    member.__dataclass_fields__["kind"].default for member in get_args(get_args(Happening)[0])
)
"""Every ``kind`` that a log may hold."""

_NOWHERE: Final = Place()
_TAGS: Final = frozenset(
    member.__dataclass_fields__["kind"].default
    for union in (Happening, Action, Problem)
    for member in get_args(get_args(union)[0])
)

Plain = dict[str, Any]
Upgrade = Callable[[Plain], Plain]

VERSIONS: Final[dict[str, int]] = {}
"""Today's version of a kind; a kind that is not listed is at version 1."""

UPGRADES: Final[dict[tuple[str, int], Upgrade]] = {}
"""``(kind, n)`` -> a function from the body at version n to the body at version n + 1."""


def version_of(kind: str) -> int:
    """Today's version of the shape of a kind of happening."""
    return VERSIONS.get(kind, 1)


def event_to_dict(event: Event) -> Plain:
    """The event as JSON-ready plain data.

    Raises:
        Refusal: a number in it is not finite.
    """
    plain: Plain = EVENT_ADAPTER.dump_python(event, mode="json")
    _refuse_non_finite(plain)
    return plain


def event_to_line(event: Event) -> str:
    """The event as one line of JSON without the line's end.

    Raises:
        Refusal: a number in it is not finite.
    """
    return json.dumps(event_to_dict(event), ensure_ascii=False, separators=(",", ":"))


def event_from_dict(
    plain: Mapping[str, Any],
    place: Place = _NOWHERE,
    versions: Mapping[str, int] = VERSIONS,
    upgrades: Mapping[tuple[str, int], Upgrade] = UPGRADES,
) -> Event:
    """An event from plain data of today's or any older version.

    ``versions`` and ``upgrades`` are arguments so that the walk over old versions can be tested.

    Raises:
        Refusal: unknown kind, newer version, a field that is missing, wrong or unknown.
    """
    body = plain.get("body")
    kind = body.get("kind") if isinstance(body, Mapping) else None
    if not isinstance(body, Mapping) or kind not in KINDS:
        _refuse(
            place,
            "unknown kind of event",
            "the log holds a kind of event that this version does not know",
            value=str(kind),
            remedy=_NEWER,
        )
    written, known = plain.get("version", 1), versions.get(kind, 1)
    if not isinstance(written, int) or written < 1:
        _refuse(place, "bad version", f"'{kind}' has the version {written!r}", allowed=f"1 to {known}")
    if written > known:
        _refuse(
            place,
            "newer version",
            f"'{kind}' is written in version {written}, this version knows {known}",
            value=str(written),
            allowed=f"1 to {known}",
            remedy=_NEWER,
        )
    current = dict(body)
    for version in range(written, known):
        current = upgrades[(kind, version)](current)
    wanted = {**plain, "body": current, "version": known}
    try:
        event = EVENT_ADAPTER.validate_json(json.dumps(wanted, allow_nan=False), strict=True)
    except ValidationError as wrong:
        raise Refusal(*(_fault_of(error, place) for error in wrong.errors(include_url=False))) from None
    except ValueError:
        _refuse(place, "not a number", f"'{kind}' holds a number that is not finite", allowed="finite numbers")
    unknown = list(_fields_missing(wanted, EVENT_ADAPTER.dump_python(event, mode="json"), ""))
    if unknown:
        _refuse(
            place,
            "unknown field",
            f"'{kind}' holds fields that this version does not know: {', '.join(unknown)}",
            remedy=_NEWER,
        )
    return event


def event_from_line(line: str, place: Place = _NOWHERE) -> Event:
    """An event from one line of JSON.

    Raises:
        Refusal: as ``event_from_dict``; also where the line is not one JSON object (a line cut short by a crash).
    """
    try:
        plain = json.loads(line)
    except ValueError as wrong:
        _refuse(
            place,
            "broken line",
            f"the line is not complete JSON ({wrong})",
            value=line[:60],
            remedy="the line may have been cut short; restore the log from a back-up",
        )
    if not isinstance(plain, dict):
        _refuse(place, "broken line", "the line is not a JSON object", value=line[:60])
    return event_from_dict(plain, place)


def events_from_lines(lines: Iterable[str], file: str = "") -> list[Event]:
    """All events of a log file, empty lines left out.

    Raises:
        Refusal: with every fault of every line, each with its line number.
    """
    events: list[Event] = []
    faults: list[Fault] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            events.append(event_from_line(line, Place(file=file, line=number)))
        except Refusal as refusal:
            faults.extend(refusal.faults)
    if faults:
        raise Refusal(*faults)
    return events


_NEWER: Final = "open it with the newer version of Drillyard that wrote it"


def _refuse(place: Place, code: str, said: str, *, value: str = "", allowed: str = "", remedy: str = "") -> NoReturn:
    raise Refusal(Fault(code=code, said=said, place=place, value=value, allowed=allowed, remedy=remedy))


def _fault_of(error: Any, place: Place) -> Fault:
    # Pydantic adds the tag of a union to the path; a reader of the file wants the path in the file.
    field = ".".join(str(part) for part in error["loc"] if part not in _TAGS)
    return Fault(
        code="bad field",
        said=f"the event's field is wrong ({error['msg']})",
        place=Place(file=place.file, line=place.line, field=field),
        value=str(error.get("input", ""))[:60],
    )


def _fields_missing(written: Any, read: Any, path: str) -> Iterator[str]:
    if isinstance(written, Mapping) and isinstance(read, Mapping):
        for key, value in written.items():
            if key not in read:
                yield f"{path}{key}"
            else:
                yield from _fields_missing(value, read[key], f"{path}{key}.")


def _refuse_non_finite(plain: Plain) -> None:
    for path, number in _numbers(plain, ""):
        if not isfinite(number):
            raise Refusal(
                Fault(
                    code="not a number",
                    said=f"the event cannot be kept, {path} is {number}",
                    allowed="finite numbers",
                    remedy="enter the value again",
                )
            )


def _numbers(plain: Any, path: str) -> Iterator[tuple[str, float]]:
    if isinstance(plain, float):
        yield path, plain
    elif isinstance(plain, Mapping):
        for key, value in plain.items():
            yield from _numbers(value, f"{path}.{key}" if path else key)
    elif isinstance(plain, list):
        for value in plain:
            yield from _numbers(value, path)
