"""Hypothesis strategies: one for every kind of happening, made from the dataclasses themselves."""

import types
from dataclasses import MISSING, fields
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from drillyard.core.session.events import Event, Happening

HAPPENINGS: tuple[type, ...] = get_args(get_args(Happening)[0])

_TEXT = st.text(max_size=12)
_FLOAT = st.floats(-1e6, 1e6, allow_nan=False)
_WHOLE = st.integers(0, 10_000)


def of_type(kind: Any) -> st.SearchStrategy[Any]:
    """Values of a type that an event's field may have; an unknown type is an error, never left out."""
    origin = get_origin(kind)
    if origin is Literal:
        return st.sampled_from(get_args(kind))
    if origin in (Union, types.UnionType):
        return st.one_of([of_type(part) for part in get_args(kind)])
    if origin is tuple:
        return st.lists(of_type(get_args(kind)[0]), max_size=3).map(tuple)
    if hasattr(kind, "__metadata__"):
        return of_type(get_args(kind)[0])
    if isinstance(kind, type) and hasattr(kind, "__dataclass_fields__"):
        return of_dataclass(kind)
    simple = {str: _TEXT, float: _FLOAT, int: _WHOLE, bool: st.booleans(), type(None): st.none()}
    return simple[kind]


def of_dataclass(kind: type) -> st.SearchStrategy[Any]:
    hints = get_type_hints(kind, include_extras=True)
    parts = {}
    for part in fields(kind):
        has_default = part.default is not MISSING and part.name == "kind"
        parts[part.name] = st.just(part.default) if has_default else of_type(hints[part.name])
    return st.builds(kind, **parts)


STRATEGIES: dict[type, st.SearchStrategy[Any]] = {kind: of_dataclass(kind) for kind in HAPPENINGS}


def events(body: st.SearchStrategy[Any] | None = None) -> st.SearchStrategy[Event]:
    """Events with any happening, or with ``body``."""
    happening = body if body is not None else st.one_of(list(STRATEGIES.values()))
    return st.builds(
        Event,
        seq=_WHOLE,
        step=st.integers(0, 1000).map(lambda tick: tick * 5),
        t_sim_s=st.floats(0.0, 1e4),
        t_wall_utc=st.just("2026-05-04T09:00:00+00:00"),
        source=st.sampled_from(["entry line", "key", "hand-held", "rule", "clock", "server", "script", "device file"]),
        actor=_TEXT,
        client_id=_TEXT,
        body=happening,
        u_s=st.floats(0.0, 60.0),
        approx=st.booleans(),
        tags=st.lists(_TEXT, max_size=2).map(tuple),
    )
