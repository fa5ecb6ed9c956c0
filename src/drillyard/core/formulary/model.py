"""A drug as checked parameters.  Every number carries its source; the unit is the last part of its field's name.

The **amount** of a drug is counted in one unit of its own (``Drug.amount_unit``): mg, or units, mmol or mL where
doses are said so.  Levels are that amount a litre.
"""

from dataclasses import dataclass
from typing import Final, Literal

from drillyard.core.care.actions import Route
from drillyard.core.formulary.vocabulary import Receptor, Substance

DoseUnit = Literal["mg", "ug", "units", "mmol", "mL"]
AmountUnit = Literal["mg", "units", "mmol", "mL"]
UsualUnit = Literal["mg", "ug", "g", "units", "mmol", "mL", "L"]
Scaling = Literal["none", "per kg", "allometric"]
Site = Literal["plasma", "effect", "depot"]
Covariates = Literal["Schnider 1998", "Schuttler 2000", "Eleveld 2018"]
GivenAs = Literal["drug", "fluid", "gas"]

AMOUNT_UNIT: Final[dict[DoseUnit, AmountUnit]] = {
    "mg": "mg", "ug": "mg", "units": "units", "mmol": "mmol", "mL": "mL",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """A number with its source: a key of ``data/citations.yaml``, or a full source with its year."""

    value: float
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kinetics:
    """One to three compartments: numbers for ``reference_mass_kg``, or a published set with covariates.

    ``scaling``: "none" as printed; "per kg" volumes and clearances in proportion to body mass; "allometric" volumes in
    proportion to body mass and clearances to its power 0.75.  ``model`` names a set of ``covariates.py`` instead; then
    volumes, clearances, scaling and reference mass are left out (``ke0_per_min`` may replace the set's own).
    ``arm_to_heart_s`` is the mean time from a peripheral vein to the heart at rest.  Without ``ke0_per_min`` the
    effect follows plasma.
    """

    model: Covariates | None = None
    v1_l: Sourced | None = None
    cl_l_per_min: Sourced | None = None
    v2_l: Sourced | None = None
    q2_l_per_min: Sourced | None = None
    v3_l: Sourced | None = None
    q3_l_per_min: Sourced | None = None
    scaling: Scaling | None = None
    reference_mass_kg: Sourced | None = None
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
    """How one route brings the drug into the blood.  A lag is a smooth stage with that mean time.

    ``site``: holds for this place only ("thigh", "shoulder"); the one without a site holds for every other place.
    """

    route: Route
    site: str = ""
    bioavailability_frac: Sourced
    ka_per_min: Sourced
    lag_s: Sourced | None = None
    later: LaterAbsorption | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What the drug does at one receptor.

    ``half_per_l`` is the level of half effect (EC50) of an agonist, or the level that doubles the agonist needed (Ki)
    of an antagonist.  ``emax_frac`` and ``gamma`` (slope) belong to agonists, and so does ``stays_s``: the mean time
    for which one stays on its receptor when it is driven out; without it, it is gone at once.

    ``site``: "effect" follows plasma with the drug's ``ke0_per_min``, or with one of its own if given here; "plasma"
    follows plasma at once; "depot" acts where it lies (an airway) before it is absorbed: ``half_amount`` takes the
    place of ``half_per_l``, and a ``ke0_per_min`` given here makes it follow the depot with a delay.

    ``turnover_s``: the body answers slowly (indirect response): mean time in which the effect moves to where the
    level would have it, up and down.  ``routes``: the effect holds by these routes only; all if empty.
    """

    receptor: Receptor
    kind: Literal["agonist", "antagonist"]
    half_per_l: Sourced | None = None
    half_amount: Sourced | None = None
    emax_frac: Sourced | None = None
    gamma: Sourced | None = None
    stays_s: Sourced | None = None
    site: Site = "effect"
    ke0_per_min: Sourced | None = None
    turnover_s: Sourced | None = None
    routes: tuple[Route, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """What the drug is made of and brings into a pool of the body: ``content`` of ``substance`` in each unit of its
    amount (mmol in a mg, say)."""

    substance: Substance
    content: Sourced


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualDose:
    """A published dose: ``low`` to ``high`` in ``unit``, by body mass (per kg) or not, never above ``high_limit``.

    With ``per_time`` it is the rate of an infusion.  It may be given again after ``again_after_s`` to
    ``again_after_high_s``.
    """

    what: str
    route: Route
    low: float
    high: float
    unit: UsualUnit
    by_mass: bool = False
    per_time: Literal["", "min", "h"] = ""
    high_limit: float | None = None
    again_after_s: float | None = None
    again_after_high_s: float | None = None
    over_s: float = 0.0
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """What is printed on an ampoule: amount of drug per millilitre."""

    strength_per_ml: float
    said: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drug:
    """One drug.  ``impossible``: a single dose above this amount is taken for a slip of the pen and needs a second
    yes; ``impossible_rate_per_min`` is the same for an infusion.

    ``given_as`` "fluid" or "gas": not given as a dose but by the actions of their own (``start fluid``, ``give
    oxygen``), which know what they do; such a file carries names, usual amounts and cautions, and no kinetics.
    """

    name: str
    synonyms: tuple[str, ...] = ()
    given_as: GivenAs = "drug"
    dose_unit: DoseUnit
    strengths: tuple[Strength, ...] = ()
    kinetics: Kinetics | None = None
    absorptions: tuple[Absorption, ...] = ()
    effects: tuple[Effect, ...] = ()
    delivers: tuple[Delivery, ...] = ()
    usual_doses: tuple[UsualDose, ...]
    impossible: Sourced
    impossible_rate_per_min: Sourced | None = None
    cautions: tuple[str, ...]
    not_modelled: tuple[str, ...] = ()

    @property
    def amount_unit(self) -> AmountUnit:
        """The unit in which amounts of this drug are counted."""
        return AMOUNT_UNIT[self.dose_unit]

    def routes(self) -> tuple[Route, ...]:
        """Routes by which the body can take the drug: into a vein or a bone, and those with an absorption."""
        if self.kinetics is None:
            return ()
        others = dict.fromkeys(absorption.route for absorption in self.absorptions)
        return tuple(dict.fromkeys(("IV", "IO", *others)))

    def absorption(self, route: str, site: str = "") -> Absorption | None:
        """The absorption of a route (and of a place such as "left thigh"), or ``None`` where there is none."""
        found = [a for a in self.absorptions if a.route == route]
        placed = [a for a in found if a.site and a.site in site]
        anywhere = [a for a in found if not a.site]
        return next(iter([*placed, *anywhere, *found]), None)
