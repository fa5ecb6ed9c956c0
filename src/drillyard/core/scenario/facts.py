"""What has been done, asked and obtained so far: the side of a condition that comes from the log.

Every logged action has *words*: its kind, and its kind with each detail that matters.  A needle into the left chest
is ``decompress chest`` and ``decompress chest left``; naloxone by vein is ``give drug``, ``give drug naloxone`` and
``give drug naloxone IV``.  Conditions, objectives, profiles and kits all name actions by these words.
"""

from dataclasses import dataclass, field
from functools import cache
from typing import Any, Final, get_args, get_type_hints

from drillyard.core.care import actions as a

NEVER_S: Final = 1e9
"""``since_s`` of something that has not happened."""

_DETAILS: Final[dict[type, tuple[str, ...]]] = {
    a.GiveDrug: ("drug", "route"),
    a.StartInfusion: ("drug",),
    a.StopInfusion: ("drug",),
    a.StartFluid: ("fluid",),
    a.StopFluid: ("fluid",),
    a.PlaceLine: ("line_kind", "site"),
    a.RemoveLine: ("site",),
    a.GiveOxygen: ("device",),
    a.OpenAirway: ("how",),
    a.PlaceAirway: ("device",),
    a.SetVentilator: ("mode",),
    a.ControlBleeding: ("how", "site"),
    a.ReleaseBleeding: ("site",),
    a.DecompressChest: ("side",),
    a.InsertChestTube: ("side",),
    a.SealChest: ("side",),
    a.Position: ("posture",),
    a.Attach: ("sensor",),
    a.Detach: ("sensor",),
    a.Examine: ("finding",),
    a.Survey: ("part",),
    a.Say: ("what",),
}
"""The details that enter an action's words, in order; actions not listed have their kind alone."""


def action_words(action: Any) -> tuple[str, ...]:
    """The words of one action, from the plain kind to the most particular."""
    words = [str(action.kind)]
    details = [str(getattr(action, name)) for name in _DETAILS.get(type(action), ())]
    words += [f"{action.kind} {detail}" for detail in details if detail]
    if len(details) > 1 and all(details):
        words.append(f"{action.kind} {' '.join(details)}")
    return tuple(dict.fromkeys(words))


def _choices(kind: type, name: str) -> tuple[str, ...]:
    """The allowed words of a detail; empty where anything may stand there."""
    return tuple(choice for choice in get_args(get_type_hints(kind)[name]) if isinstance(choice, str))


@cache
def known_words(drugs: tuple[str, ...], findings: tuple[str, ...]) -> tuple[str, ...]:
    """All action words there can be, but for those that end in a free site."""
    known: dict[str, None] = {}
    for kind in _action_types():
        head = kind.__dataclass_fields__["kind"].default
        known[head] = None
        for name in _DETAILS.get(kind, ()):
            choices = {"drug": drugs, "finding": findings}.get(name) or _choices(kind, name)
            for choice in choices:
                known[f"{head} {choice}"] = None
        if kind is a.GiveDrug:
            for drug in drugs:
                for route in get_args(a.Route):
                    known[f"{head} {drug} {route}"] = None
    return tuple(known)


@cache
def free_heads() -> tuple[str, ...]:
    """Beginnings after which a site in the scenario's own words may stand."""
    return tuple(
        kind.__dataclass_fields__["kind"].default + " " for kind in _action_types() if "site" in _DETAILS.get(kind, ())
    )


def _action_types() -> tuple[Any, ...]:
    union = get_args(a.Action)[0]
    return get_args(union)


@dataclass(slots=True)
class Facts:
    """A fold of the log that conditions can read.  Plain data; ``copy`` for a branch of the run.

    ``first_s`` and ``last_s``: first and newest time of each action's words; ``count``: how often; ``dose_mg``: total
    given of each drug by any route; ``obtained_s``: newest time at which the crew obtained or was told a finding.
    """

    phase: str = ""
    first_s: dict[str, float] = field(default_factory=dict)
    last_s: dict[str, float] = field(default_factory=dict)
    count: dict[str, int] = field(default_factory=dict)
    dose_mg: dict[str, float] = field(default_factory=dict)
    obtained_s: dict[str, float] = field(default_factory=dict)
    changes: int = 0

    def note_action(self, action: Any, t_s: float) -> None:
        """One action of the crew at ``t_s``."""
        for words in action_words(action):
            self.first_s[words] = min(t_s, self.first_s.get(words, NEVER_S))
            self.last_s[words] = max(t_s, self.last_s.get(words, -NEVER_S))
            self.count[words] = self.count.get(words, 0) + 1
        if isinstance(action, a.GiveDrug):
            mass_mg = action.dose / 1000.0 if action.dose_unit == "ug" else action.dose
            if action.dose_unit in ("mg", "ug"):
                self.dose_mg[action.drug] = self.dose_mg.get(action.drug, 0.0) + mass_mg
        self.changes += 1

    def note_obtained(self, finding: str, t_s: float) -> None:
        """The crew obtained, or was told, a finding of the catalogue."""
        self.obtained_s[finding] = t_s
        self.changes += 1

    def enter_phase(self, phase: str) -> None:
        self.phase = phase
        self.changes += 1

    def copy(self) -> "Facts":
        return Facts(
            phase=self.phase,
            first_s=dict(self.first_s),
            last_s=dict(self.last_s),
            count=dict(self.count),
            dose_mg=dict(self.dose_mg),
            obtained_s=dict(self.obtained_s),
            changes=self.changes,
        )
