"""Drug and patient into the numbers of one slot.  Plain Python with ``+ - * /``: the same bits on every machine.

The numbers live in ``p`` and are never part of a snapshot: which drug and route sit in a slot says it all.
"""

from typing import Final

from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.kinetics import exponentials
from drillyard.core.formulary import Absorption, Drug, Kinetics, Sourced
from drillyard.core.numerics.elementary import pow_
from drillyard.core.quantities.faults import Fault, Refusal

S_PER_MIN: Final = 60.0
NG_PER_ML_PER_MG_PER_L: Final = 1000.0
AT_ONCE_PER_S: Final = 1000.0
"""Rate of a stage that is not there: what enters leaves within the same second."""
CHAIN_STAGES: Final = 2.0


def slot_parameters(drug: Drug, route: str, mass_kg: float) -> list[float]:
    """The ``P_PER_SLOT`` numbers of a slot that holds ``drug`` by ``route`` in a patient of ``mass_kg``.

    Raises:
        Refusal: the drug file has no such route.
    """
    numbers = [0.0] * slots.P_PER_SLOT
    numbers[slots.P_IS_ON] = 1.0
    numbers[slots.P_CHAIN_RATE] = CHAIN_STAGES / drug.kinetics.arm_to_heart_s.value
    if route in ("IV", "IO"):
        numbers[slots.P_TO_CHAIN] = 1.0
    else:
        _fill_absorption(numbers, _absorption(drug, route))
    _fill_kinetics(numbers, drug.kinetics, mass_kg)
    for effect in drug.effects:
        first = slots.P_RECEPTOR + slots.P_PER_RECEPTOR * slots.RECEPTORS.index(effect.receptor)
        per_level = NG_PER_ML_PER_MG_PER_L / effect.half_ng_per_ml.value
        if effect.kind == "antagonist":
            numbers[first + slots.R_ANTAGONIST] = per_level
        else:
            numbers[first + slots.R_AGONIST] = per_level
            numbers[first + slots.R_GAMMA] = _value(effect.gamma, 1.0)
            numbers[first + slots.R_EMAX] = _value(effect.emax_frac, 1.0)
            numbers[first + slots.R_LEAVING] = _stage_rate(effect.stays_s)
        numbers[first + slots.R_AT_EFFECT_SITE] = 1.0 if effect.site == "effect" else 0.0
    return numbers


def _absorption(drug: Drug, route: str) -> Absorption:
    absorption = drug.absorption(route)
    if absorption is None:
        raise Refusal(
            Fault(
                code="route not modelled",
                said=f"{drug.name} {route} is not modelled",
                value=route,
                allowed=", ".join(drug.routes()),
                remedy="log it as 'other'; its effect is not modelled",
            )
        )
    return absorption


def _fill_absorption(numbers: list[float], absorption: Absorption) -> None:
    later = absorption.later
    share = later.share_frac.value if later is not None else 0.0
    taken = absorption.bioavailability_frac.value
    numbers[slots.P_TO_WAIT_1] = taken * (1.0 - share)
    numbers[slots.P_WAIT_1_RATE] = _stage_rate(absorption.lag_s)
    numbers[slots.P_DEPOT_1_RATE] = absorption.ka_per_min.value / S_PER_MIN
    if later is not None:
        numbers[slots.P_TO_WAIT_2] = taken * share
        numbers[slots.P_WAIT_2_RATE] = _stage_rate(later.lag_s)
        numbers[slots.P_DEPOT_2_RATE] = later.ka_per_min.value / S_PER_MIN


def _fill_kinetics(numbers: list[float], kinetics: Kinetics, mass_kg: float) -> None:
    ratio = mass_kg / kinetics.reference_mass_kg.value
    volumes, clearances = {
        "none": (1.0, 1.0),
        "per kg": (ratio, ratio),
        "allometric": (ratio, pow_(ratio, 0.75)),
    }[kinetics.scaling]
    v1 = kinetics.v1_l.value * volumes
    parts = exponentials(
        v1=v1,
        cl=kinetics.cl_l_per_min.value * clearances,
        v2=_value(kinetics.v2_l) * volumes,
        q2=_value(kinetics.q2_l_per_min) * clearances,
        v3=_value(kinetics.v3_l) * volumes,
        q3=_value(kinetics.q3_l_per_min) * clearances,
    )
    for index, (rate, share) in enumerate(zip(parts.rates, parts.shares, strict=True)):
        numbers[slots.P_MODE_RATE + index] = rate / S_PER_MIN
        numbers[slots.P_MODE_SHARE + index] = share
    numbers[slots.P_PER_LITRE] = 1.0 / v1
    numbers[slots.P_EFFECT_RATE] = _value(kinetics.ke0_per_min) / S_PER_MIN


def _stage_rate(mean_s: Sourced | None) -> float:
    return 1.0 / mean_s.value if mean_s is not None and mean_s.value > 1.0 else AT_ONCE_PER_S


def _value(number: Sourced | None, otherwise: float = 0.0) -> float:
    return number.value if number is not None else otherwise
