"""Coverage: how each finding of a case reaches the crew with this manikin in this room, and what may be done to it.

For every finding the answer is one of: on the manikin, on the room monitor, by the crew's own device, told, on a
card, on a print, as a prop, by an embedded participant, or it cannot be supplied.  The score is a weighted share; its
weights are ours and only order rooms and manikins for one case.
"""

from dataclasses import dataclass
from typing import Final, Literal

from drillyard.core.care.ways import How
from drillyard.core.manikin.profile import FindingShown, Limit, Possible, ProcedureAllowed, Profile
from drillyard.core.scenario.kit import Kit, KitItem
from drillyard.core.scenario.model import Scenario
from drillyard.core.signals.findings import FINDINGS, Finding

Way = How | Literal["embedded participant", "cannot be supplied"]

QUALITY: Final[dict[str, float]] = {
    "on the manikin": 1.0, "room monitor": 1.0, "crew's own device": 1.0, "prop": 0.8, "embedded participant": 0.8,
    "print": 0.8, "card": 0.7, "told": 0.5, "cannot be supplied": 0.0,
}  # fmt: skip
"""Share of a finding's weight that each way earns (our choice, no source): found counts more than told."""
PARTLY: Final = 0.7
PROCEDURE: Final[dict[str, float]] = {"possible": 1.0, "on insert only": 0.7, "not said": 0.3, "forbidden": 0.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What the room brings: findings its monitor shows, devices the crew carries, people and paper."""

    name: str = "room-1"
    monitor: tuple[str, ...] = ("SpO2", "exhaled CO2", "heart rate", "rhythm", "pressure", "temperature")
    devices: tuple[str, ...] = ("glucose meter",)
    has_embedded_participant: bool = False
    has_printer: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingCoverage:
    """``weight`` 0: the case does not ask for it by name.  ``detail`` says how, in words for the operator."""

    finding: str
    label: str
    weight: int
    way: Way
    detail: str
    quality: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureCoverage:
    """``warnings``: kit that does not fit the limits of this procedure at this site."""

    procedure: str
    site: str
    weight: int
    how: Possible | Literal["not said"]
    detail: str
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """The whole answer.  ``score`` is 0 to 1 over what the case needs; ``gaps`` are needs that cannot be met."""

    scenario: str
    manikin: str
    room: str
    findings: tuple[FindingCoverage, ...]
    procedures: tuple[ProcedureCoverage, ...]
    kit_warnings: tuple[str, ...]
    score: float

    @property
    def gaps(self) -> tuple[str, ...]:
        lost = [row.finding for row in self.findings if row.weight and row.way == "cannot be supplied"]
        barred = [f"{row.procedure} {row.site}".strip() for row in self.procedures if row.how == "forbidden"]
        return tuple(lost + barred)

    def of(self, finding: str) -> FindingCoverage | None:
        """The row of one finding: the answer to "can they get that?"."""
        return next((row for row in self.findings if row.finding == finding), None)


def coverage(scenario: Scenario, profile: Profile, room: Room | None = None, kit: Kit | None = None) -> Coverage:
    """Works out the coverage of the whole finding catalogue and of the procedures the case needs.

    Args:
        scenario: the case, with the findings and procedures it needs.
        profile: the manikin as written; its faults are laid over it here.
        room: the room; a usual one if absent.
        kit: the kit list, whose sizes are held against the manikin's limits.
    """
    here, today = room or Room(), profile.today()
    weights = {need.finding: need.weight for need in scenario.needs_findings}
    named = [cue.finding for cue in scenario.cues] + [handout.finding for handout in scenario.handouts]
    for name in named + [item.finding for item in scenario.scripted]:
        if name:
            weights.setdefault(name, 1)
    findings = tuple(_finding(row, weights.get(row.id, 0), scenario, today, here) for row in FINDINGS.values())
    kit_warnings = tuple(warning for item in (kit.items if kit else ()) for warning in kit_item_warnings(item, today))
    procedures = tuple(
        _procedure(need.procedure, need.site, need.weight, today, kit) for need in scenario.needs_procedures
    )
    return Coverage(
        scenario=scenario.name, manikin=profile.name, room=here.name, findings=findings, procedures=procedures,
        kit_warnings=kit_warnings, score=_score(findings, procedures),
    )  # fmt: skip


def _score(findings: tuple[FindingCoverage, ...], procedures: tuple[ProcedureCoverage, ...]) -> float:
    earned = sum(row.weight * row.quality for row in findings)
    earned += sum(row.weight * PROCEDURE[row.how] * (0.5 if row.warnings else 1.0) for row in procedures)
    possible = sum(row.weight for row in findings) + sum(row.weight for row in procedures)
    return earned / possible if possible else 1.0


def _finding(row: Finding, weight: int, scenario: Scenario, profile: Profile, room: Room) -> FindingCoverage:
    way, detail, quality = _way(row, scenario, profile, room)
    return FindingCoverage(finding=row.id, label=row.label, weight=weight, way=way, detail=detail, quality=quality)


def _way(row: Finding, scenario: Scenario, profile: Profile, room: Room) -> tuple[Way, str, float]:
    """The first of: measured, shown, brought by the case, told from the body; else it cannot be supplied."""
    shown = profile.finding(row.id) or FindingShown(finding=row.id, shows="not shown")
    obtained = _obtained(row, shown, room)
    if obtained:
        return obtained[0], obtained[1], 1.0
    supplied = _supplied(row.id, scenario, room)
    if shown.shows == "partly":
        extra = shown.work_around or (supplied[1] if supplied else "")
        return "on the manikin", f"partly{': ' + extra if extra else ''}", PARTLY
    way, detail = supplied or _told(row, shown, scenario, room)
    broken = f"broken today ({shown.note}); " if shown.shows == "broken today" else ""
    return way, broken + detail, QUALITY[way]


def _obtained(row: Finding, shown: FindingShown, room: Room) -> tuple[Way, str] | None:
    """How the crew gets it by its own hands, eyes and sensors; ``None`` if it cannot."""
    if row.origin == "body" and row.id in room.monitor:
        return "room monitor", f"needs: {row.measured_with}" if row.measured_with else ""
    if shown.shows == "shown":
        return "on the manikin", f"obtain it, about {shown.lag_s:g} s late" if shown.lag_s else "obtain it"
    if row.origin == "body" and row.measured_with in room.devices:
        return "crew's own device", f"the {row.measured_with} reads what the operator gives"
    return None


def _told(row: Finding, shown: FindingShown, scenario: Scenario, room: Room) -> tuple[Way, str]:
    """What remains when neither manikin nor case brings it."""
    if "embedded participant" in shown.work_around and room.has_embedded_participant:
        return "embedded participant", shown.work_around
    if row.origin == "body":
        return "told", shown.work_around or "the operator reads it from the body"
    if row.id == "stated weight":
        return "told", f"{scenario.patient.mass_kg:g} kg when somebody asks"
    return "cannot be supplied", "the case scripts nothing for it" if row.origin == "scripted" else row.note


def _supplied(finding: str, scenario: Scenario, room: Room) -> tuple[Way, str] | None:
    """What the case itself brings for a finding: a handout first, then a scripted finding, then a cue."""
    for handout in scenario.handouts:
        if handout.finding == finding:
            how: Way = "card" if handout.how == "print" and not room.has_printer else handout.how
            return how, f"handout {handout.order}: {handout.title}"
    for scripted in scenario.scripted:
        if scripted.finding == finding:
            return scripted.how, f"'{scripted.words}'"
    for cue in scenario.cues:
        if cue.finding == finding and cue.how not in ("on the manikin", "room monitor"):
            return cue.how, f"cue '{cue.name}'"
    return None


def _procedure(words: str, site: str, weight: int, profile: Profile, kit: Kit | None) -> ProcedureCoverage:
    row = profile.procedure(words, site)
    if row is None:
        detail = "the profile does not say whether it may be done: ask before the first use"
        return ProcedureCoverage(procedure=words, site=site, weight=weight, how="not said", detail=detail)
    fits = [item for item in (kit.items if kit else ()) if _is_for(item, words)]
    warnings = tuple(
        warning for item in fits for warning in _misfits(item, row) if not item.sites or not site or site in item.sites
    )
    detail = "; ".join(part for part in (row.note, f"wears {row.wears}" if row.wears else "") if part)
    return ProcedureCoverage(
        procedure=words, site=site or row.site, weight=weight, how=row.how, detail=detail, warnings=warnings
    )


def _is_for(item: KitItem, words: str) -> bool:
    return any(words == own or words.startswith(own + " ") or own.startswith(words + " ") for own in item.procedures)


def kit_item_warnings(item: KitItem, profile: Profile) -> list[str]:
    """Where a thing of the kit is outside the manikin's limits: only its own procedures, at its own sites."""
    warnings: dict[str, None] = {}
    for words in item.procedures:
        for site in item.sites or ("",):
            rows = profile.procedures_for(words, site)[: 1 if site else None]
            allowed = [row for row in rows if row.how != "forbidden"]
            if rows and not allowed:
                warnings[f"{item.name}: {_where(rows[0])} is forbidden on this manikin"] = None
            for row in allowed:
                warnings |= dict.fromkeys(_misfits(item, row))
    return list(warnings)


def _where(row: ProcedureAllowed) -> str:
    return f"{row.procedure}{', ' + row.site if row.site else ''}"


def _misfits(item: KitItem, row: ProcedureAllowed) -> list[str]:
    where = _where(row)
    limit: Limit = row.limit
    found = []
    if item.size_mm is not None and limit.size_high_mm is not None and item.size_mm > limit.size_high_mm:
        found.append(f"{item.name}: {item.size_mm:.1f} mm is larger than {limit.size_high_mm:.1f} mm ({where})")
    if item.size_mm is not None and limit.size_low_mm is not None and item.size_mm < limit.size_low_mm:
        found.append(f"{item.name}: {item.size_mm:.1f} mm is smaller than {limit.size_low_mm:.1f} mm ({where})")
    if item.gauge is not None and limit.gauge_thickest is not None and item.gauge < limit.gauge_thickest:
        found.append(f"{item.name}: {item.gauge} gauge is thicker than {limit.gauge_thickest} gauge ({where})")
    if item.gauge is not None and limit.gauge_thinnest is not None and item.gauge > limit.gauge_thinnest:
        found.append(f"{item.name}: {item.gauge} gauge is thinner than {limit.gauge_thinnest} gauge ({where})")
    if item.volume_ml is not None and limit.volume_high_ml is not None and item.volume_ml > limit.volume_high_ml:
        found.append(f"{item.name}: {item.volume_ml:g} mL is more than {limit.volume_high_ml:g} mL ({where})")
    if item.volume_ml is not None and limit.fluids == "none":
        found.append(f"{item.name}: no fluid may run in ({where})")
    return found
