"""A drug as checked parameters.  Every number carries its source; the unit is the last part of its field's name."""

from dataclasses import dataclass
from typing import Literal

from drillyard.core.care.actions import Route

DoseUnit = Literal["mg", "ug"]
Scaling = Literal["none", "per kg", "allometric"]
Receptor = Literal["mu_opioid", "alpha1", "beta1", "beta2", "antifibrinolysis", "central_nervous_depression"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """A number with its source: a key of ``data/citations.yaml``, or a full source with its year."""

    value: float
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kinetics:
    """One to three compartments for ``reference_mass_kg``.

    ``scaling``: "none" as printed; "per kg" volumes and clearances in proportion to body mass; "allometric" volumes in
    proportion to body mass and clearances to its power 0.75.  ``arm_to_heart_s`` is the mean time from a peripheral
    vein to the heart at rest.  Without ``ke0_per_min`` the effect follows plasma.
    """

    v1_l: Sourced
    cl_l_per_min: Sourced
    v2_l: Sourced | None = None
    q2_l_per_min: Sourced | None = None
    v3_l: Sourced | None = None
    q3_l_per_min: Sourced | None = None
    scaling: Scaling
    reference_mass_kg: Sourced
    ke0_per_min: Sourced | None = None
    arm_to_heart_s: Sourced
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaterAbsorption:
    """A second, later absorption from the same injection: what the second peak is made of."""

    share_frac: Sourced
    ka_per_min: Sourced
    lag_s: Sourced | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Absorption:
    """How one route brings the drug into the blood.  A lag is a smooth stage with that mean time."""

    route: Route
    bioavailability_frac: Sourced
    ka_per_min: Sourced
    lag_s: Sourced | None = None
    later: LaterAbsorption | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What the drug does at one receptor.

    ``half_ng_per_ml`` is the level of half effect (EC50) of an agonist, or the level that doubles the agonist needed
    (Ki) of an antagonist.  ``emax_frac`` and ``gamma`` (slope) belong to agonists, and so does ``stays_s``: the mean
    time for which one stays on its receptor when it is driven out; without it, it is gone at once.
    """

    receptor: Receptor
    kind: Literal["agonist", "antagonist"]
    half_ng_per_ml: Sourced
    emax_frac: Sourced | None = None
    gamma: Sourced | None = None
    stays_s: Sourced | None = None
    site: Literal["plasma", "effect"] = "effect"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualDose:
    """A published dose: ``low`` to ``high`` in ``unit``, by body mass (per kg) or not, never above ``high_limit``.

    It may be given again after ``again_after_s`` to ``again_after_high_s``.
    """

    what: str
    route: Route
    low: float
    high: float
    unit: DoseUnit
    by_mass: bool = False
    high_limit: float | None = None
    again_after_s: float | None = None
    again_after_high_s: float | None = None
    over_s: float = 0.0
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """What is printed on an ampoule: mass of drug per millilitre."""

    strength_mg_per_ml: float
    said: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drug:
    """One drug.  ``impossible_mg``: a single dose above it is taken for a slip of the pen and needs a second yes."""

    name: str
    synonyms: tuple[str, ...] = ()
    dose_unit: DoseUnit
    strengths: tuple[Strength, ...]
    kinetics: Kinetics
    absorptions: tuple[Absorption, ...] = ()
    effects: tuple[Effect, ...]
    usual_doses: tuple[UsualDose, ...]
    impossible_mg: Sourced
    cautions: tuple[str, ...]
    not_modelled: tuple[str, ...] = ()

    def routes(self) -> tuple[Route, ...]:
        """Routes by which the body can take the drug: into a vein or a bone, and those with an absorption."""
        return ("IV", "IO", *(absorption.route for absorption in self.absorptions))

    def absorption(self, route: str) -> Absorption | None:
        """The absorption of a route, or ``None`` where there is none."""
        return next((a for a in self.absorptions if a.route == route), None)
