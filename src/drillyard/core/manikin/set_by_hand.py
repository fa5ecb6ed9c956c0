"""The set-by-hand list: what must be turned on the manikin now so that it shows what the body is.

Only controls that the operator moves are listed, the largest change first.  A change that is too small to matter is
not listed: the operator's hands are scarce.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from drillyard.core.manikin.profile import FindingShown, Profile
from drillyard.core.signals.findings import FINDINGS

PAST_THE_MIDDLE_FRAC: Final = 0.15
"""A step is left only when the level is past the middle between two steps by this share of their distance."""
PAST_A_STEP_FRAC: Final = 0.75
"""A dial is left where it is while the level is within this share of one of its steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSet:
    """One row: turn ``finding`` from ``from_setting`` ("" when never set) to ``to_setting``.

    ``change_frac`` is the change as a share of the finding's whole scale (1 when never set); ``lag_s`` how long the
    manikin takes to follow.
    """

    finding: str
    label: str
    from_setting: str
    to_setting: str
    change_frac: float
    lag_s: float


def set_by_hand(profile: Profile, outputs: Mapping[str, float], now_set: Mapping[str, str]) -> list[ToSet]:
    """What must be set now.

    Args:
        profile: the manikin today (``Profile.today``): what is broken is not listed.
        outputs: the body's outputs by signal name.
        now_set: for each finding the setting that was ticked last.
    """
    rows = []
    for shown in profile.findings:
        finding = FINDINGS.get(shown.finding)
        if finding is None or shown.set_by != "hand" or shown.shows not in ("shown", "partly"):
            continue
        level = finding.read(outputs).level
        if level is None or not (shown.steps or shown.step_size > 0.0):
            continue
        current = now_set.get(shown.finding, "")
        wanted = wanted_setting(shown, level, current)
        if wanted == current:
            continue
        span = finding.level_high - finding.level_low
        set_level = _level_of(shown, current)
        change_frac = 1.0 if set_level is None else min(1.0, abs(level - set_level) / span)
        rows.append(
            ToSet(finding=shown.finding, label=finding.label, from_setting=current, to_setting=wanted,
                  change_frac=change_frac, lag_s=shown.lag_s)
        )  # fmt: skip
    return sorted(rows, key=lambda row: -row.change_frac)


def wanted_setting(shown: FindingShown, level: float, current: str = "") -> str:
    """The setting that shows ``level``; ``current`` again while the difference is too small to matter."""
    set_level = _level_of(shown, current)
    if shown.steps:
        nearest = min(shown.steps, key=lambda step: abs(step.level - level))
        if set_level is None or nearest.setting == current:
            return nearest.setting
        gained = abs(level - set_level) - abs(level - nearest.level)
        return nearest.setting if gained > 2.0 * PAST_THE_MIDDLE_FRAC * abs(nearest.level - set_level) else current
    inside = min(max(level, shown.low), shown.high)
    if set_level is not None and abs(inside - set_level) < PAST_A_STEP_FRAC * shown.step_size:
        return current
    turned = shown.low + round((inside - shown.low) / shown.step_size) * shown.step_size
    return f"{min(turned, shown.high):g}"


def _level_of(shown: FindingShown, setting: str) -> float | None:
    """The level that a setting stands for; ``None`` for one that this control does not have."""
    if not setting:
        return None
    if shown.steps:
        return next((step.level for step in shown.steps if step.setting == setting), None)
    try:
        return float(setting)
    except ValueError:
        return None
