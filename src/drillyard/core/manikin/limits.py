"""Limits while a run goes on: what an action does to this manikin, and which parts it wears.

The needle, the tube and the shock are real even where the patient is not.  The warnings are for the operator, at the
moment of the entry; they never change the patient.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from drillyard.core.care import actions as a
from drillyard.core.manikin.profile import FluidsAllowed, Limit, ProcedureAllowed, Profile
from drillyard.core.scenario.facts import action_words


def row_for(action: a.Action, profile: Profile) -> ProcedureAllowed | None:
    """The row of the profile that rules an action, or ``None`` where the profile does not say."""
    words = action_words(action)
    site = str(getattr(action, "site", "") or getattr(action, "line", "") or getattr(action, "side", "") or "")
    plain = [w for w in words if not site or not w.endswith(" " + site)] or list(words)
    rows = [profile.procedure(word, site) for word in sorted(plain, key=len, reverse=True)]
    found = [row for row in rows if row is not None]
    return max(found, key=lambda row: (len(row.procedure), bool(row.site))) if found else None


def is_forbidden(action: a.Action, profile: Profile) -> bool:
    """Whether this manikin must not have this done to it at all."""
    row = row_for(action, profile)
    return row is not None and row.how == "forbidden"


def limit_warnings(
    action: a.Action, t_s: float, profile: Profile, earlier: Sequence[tuple[float, a.Action]] = ()
) -> list[str]:
    """What is wrong with doing this to this manikin, one sentence each; empty where nothing is.

    Args:
        action: what is being entered.
        t_s: when.
        profile: the manikin today.
        earlier: what was done before in this session, with its times, for counts and rests.
    """
    row = row_for(action, profile)
    if row is None:
        return []
    where = row.procedure[:1].upper() + row.procedure[1:] + (f", {row.site}" if row.site else "")
    if row.how == "forbidden":
        return [f"{where} is forbidden on this manikin{': ' + row.note if row.note else ''}."]
    warnings = [f"{where}: only into this manikin's marked insert."] if row.how == "on insert only" else []
    warnings += _size_warnings(action, row.limit, where)
    warnings += _fluid_warnings(action, row.limit.fluids or profile.fluids, where)
    before = [at_s for at_s, other in earlier if other.kind == action.kind and row_for(other, profile) == row]
    if row.limit.per_session is not None and len(before) >= row.limit.per_session:
        warnings.append(
            f"{where}: {row.limit.per_session} in a session are allowed, and this is number {len(before) + 1}."
        )
    if row.limit.rest_s is not None and before and t_s - max(before) < row.limit.rest_s:
        wait_s = row.limit.rest_s - (t_s - max(before))
        warnings.append(f"{where}: rest {row.limit.rest_s:g} s between two; wait {wait_s:.0f} s more.")
    if warnings and row.note:
        warnings.append(f"Of this manikin: {row.note}.")
    return warnings


def _size_warnings(action: a.Action, limit: Limit, where: str) -> list[str]:
    size_mm = action.size if isinstance(action, a.PlaceAirway) and action.device == "tracheal tube" else None
    gauge = getattr(action, "gauge", None)
    over = (
        (size_mm, limit.size_high_mm, "mm", "larger"),
        (getattr(action, "depth_cm", None), limit.depth_high_cm, "cm", "deeper"),
        (getattr(action, "energy_j", None), limit.energy_high_j, "J", "more"),
        (getattr(action, "volume_ml", None), limit.volume_high_ml, "mL", "more"),
        (getattr(action, "rate_per_min", None), limit.rate_high_per_min, "/min", "faster"),
    )
    said = [
        f"{where}: {value:g} {unit} is {word} than the {high:g} {unit} that this manikin takes."
        for value, high, unit, word in over
        if value is not None and high is not None and value > high
    ]
    if size_mm and limit.size_low_mm is not None and size_mm < limit.size_low_mm:
        said.append(f"{where}: {size_mm:g} mm is smaller than the {limit.size_low_mm:g} mm that this manikin takes.")
    if gauge is not None and limit.gauge_thickest is not None and gauge < limit.gauge_thickest:
        said.append(f"{where}: {gauge} gauge is thicker than the {limit.gauge_thickest} gauge that this manikin takes.")
    if gauge is not None and limit.gauge_thinnest is not None and gauge > limit.gauge_thinnest:
        said.append(f"{where}: {gauge} gauge is thinner than the {limit.gauge_thinnest} gauge that this manikin takes.")
    return said


def _fluid_warnings(action: a.Action, allowed: FluidsAllowed, where: str) -> list[str]:
    """What may really be run in, whatever the fluid is called in the case."""
    if not isinstance(action, a.StartFluid) or allowed == "training fluid only":
        return []
    if allowed == "none":
        return [f"{where}: this manikin takes no fluid at all; run none in."]
    if action.fluid == "crystalloid":
        return []
    return [f"{where}: this manikin takes water only; run in water for the {action.fluid}."]


def wear(actions: Iterable[Any], profile: Profile) -> dict[str, int]:
    """Uses of each wear part by the actions of a session; a spell of compressions counts once."""
    uses = {part.name: 0 for part in profile.wear_parts}
    for action in actions:
        row = row_for(action, profile)
        if row is not None and row.wears and row.how != "forbidden":
            uses[row.wears] += 1
    return uses
