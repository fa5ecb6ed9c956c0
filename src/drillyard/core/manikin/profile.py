"""A manikin profile: what this manikin can show, in which steps, and what may be done to it, site by site.

The profile is data about one manikin of one lab.  Today's faults lie over it (``Profile.today``): what is broken is
"broken today" on every list until the fault is mended.
"""

from dataclasses import dataclass, replace
from typing import Literal

FORMAT = 1

Shows = Literal["shown", "partly", "not shown", "broken today"]
Possible = Literal["possible", "on insert only", "forbidden"]
FluidsAllowed = Literal["none", "water only", "training fluid only"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One position of the manikin's own control: its words and the level of the finding that it stands for."""

    setting: str
    level: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingShown:
    """How the manikin shows one finding of the catalogue.

    ``steps`` are the positions there are; ``step_size`` instead is a dial with even steps (in the finding's unit)
    from ``low`` to ``high``.  Neither: it shows by itself or not at all.  ``lag_s`` is how long the manikin takes,
    ``set_by`` who moves it, ``work_around`` what is accepted where it is partly or not shown.
    """

    finding: str
    shows: Shows
    steps: tuple[Step, ...] = ()
    step_size: float = 0.0
    low: float = 0.0
    high: float = 0.0
    lag_s: float = 0.0
    set_by: Literal["hand", "itself", "nobody"] = "hand"
    sensed_back: bool = False
    work_around: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """Limits of one procedure at one site.  Absent means: no limit known, ask before the first use.

    Sizes are inner diameters; a needle's printed gauge grows as it gets thinner, so ``gauge_thickest`` is the
    smallest number allowed.  ``per_session`` counts uses, ``rest_s`` is the pause between two.
    """

    size_low_mm: float | None = None
    size_high_mm: float | None = None
    gauge_thickest: int | None = None
    gauge_thinnest: int | None = None
    depth_high_cm: float | None = None
    rate_high_per_min: float | None = None
    energy_high_j: float | None = None
    volume_high_ml: float | None = None
    per_session: int | None = None
    rest_s: float | None = None
    fluids: FluidsAllowed | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureAllowed:
    """What may be done, where, and within which limits.  No ``site``: anywhere it is not named otherwise."""

    procedure: str
    site: str = ""
    how: Possible
    limit: Limit = Limit()
    wears: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WearPart:
    """A part that is used up: ``uses`` it lasts, and how many spares lie in the store."""

    name: str
    uses: int
    spares: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ManikinFault:
    """Something broken now: findings it cannot show and procedures it cannot take until mended."""

    what: str
    findings: tuple[str, ...] = ()
    procedures: tuple[str, ...] = ()
    since: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """One manikin.  ``name`` is the file's name without ending."""

    format: int
    name: str
    title: str
    about: str = ""
    age_years: float = 0.0
    mass_kg: float = 0.0
    height_cm: float = 0.0
    findings: tuple[FindingShown, ...]
    procedures: tuple[ProcedureAllowed, ...]
    wear_parts: tuple[WearPart, ...] = ()
    faults: tuple[ManikinFault, ...] = ()
    fluids: FluidsAllowed = "none"
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def today(self, *more: ManikinFault) -> "Profile":
        """The profile with its faults (and ``more`` of today's) laid over it."""
        faults = self.faults + more
        broken = {name: fault.what for fault in faults for name in fault.findings}
        barred = {name: fault.what for fault in faults for name in fault.procedures}
        findings = [
            replace(row, shows="broken today", note=broken[row.finding]) if row.finding in broken else row
            for row in self.findings
        ]
        procedures = [
            replace(row, how="forbidden", note=f"broken today: {barred[row.procedure]}")
            if row.procedure in barred
            else row
            for row in self.procedures
        ]
        return replace(self, findings=tuple(findings), procedures=tuple(procedures), faults=faults)

    def finding(self, name: str) -> FindingShown | None:
        """How the finding ``name`` is shown, or ``None`` where the profile does not say."""
        return next((row for row in self.findings if row.finding == name), None)

    def procedures_for(self, words: str, site: str = "") -> list[ProcedureAllowed]:
        """The rows that rule ``words`` at ``site`` (no site: at each site the profile names); the most particular only.

        A row for ``decompress chest`` with the site "left" rules ``decompress chest left``.  A limit belongs to its
        procedure and its site: the needle limit of an arm vein says nothing about a needle into the chest.
        """
        rows = []
        for row in self.procedures:
            if words != row.procedure and not words.startswith(row.procedure + " "):
                continue
            rest = words[len(row.procedure) :].strip()
            wanted = (site or rest).casefold()
            if row.site and wanted and row.site.casefold() not in (wanted, rest.casefold()):
                continue
            rows.append(row)
        longest = max((len(row.procedure) for row in rows), default=0)
        return sorted((row for row in rows if len(row.procedure) == longest), key=lambda row: not row.site)

    def procedure(self, words: str, site: str = "") -> ProcedureAllowed | None:
        """The one row that rules ``words`` at ``site``, or ``None`` where the profile does not say."""
        rows = self.procedures_for(words, site)
        if not site:
            rows = [row for row in rows if not row.site or words.endswith(row.site)] or rows
        return rows[0] if rows else None
