"""Drug and patient into the numbers of one slot.  Plain Python with ``+ - * /``: the same bits on every machine.

The numbers live in ``p`` and are never part of a snapshot: which drug and route sit in a slot says it all.
"""

from typing import Any, Final

from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.kinetics import exponentials
from drillyard.core.formulary import Absorption, Compartments, Drug, Effect, Person, Sourced, compartments
from drillyard.core.formulary.vocabulary import RECEPTOR_ORDER, SUBSTANCE_ORDER
from drillyard.core.quantities.faults import Fault, Refusal

S_PER_MIN: Final = 60.0
AT_ONCE_PER_S: Final = 1000.0
"""Rate of a stage that is not there: what enters leaves within the same second."""


def fill_slot(p: Any, first: int, number: int, drug: Drug, route: str, site: str, person: Person) -> None:
    """Put a drug by a route into slot ``number`` of the parameters whose drug block begins at ``first``.

    Args:
        p: a list or a numpy vector, changed in place.
        site: where on the body it goes in; matters for a route whose uptake hangs on the place.

    Raises:
        Refusal: the drug file has no such route.
    """
    at = first + number * slots.P_PER_SLOT
    p[at : at + slots.P_PER_SLOT] = slot_parameters(drug, route, site, person)
    for effect in effects_by(drug, route):
        p[first + slots.P_RECEPTOR_USED + RECEPTOR_ORDER.index(effect.receptor)] = 1.0


def effects_by(drug: Drug, route: str) -> tuple[Effect, ...]:
    """The effects that hold by one route."""
    return tuple(effect for effect in drug.effects if not effect.routes or route in effect.routes)


def slot_parameters(drug: Drug, route: str, site: str, person: Person) -> list[float]:
    """The ``P_PER_SLOT`` numbers of a slot that holds ``drug`` by ``route`` in ``person``.

    Raises:
        Refusal: the drug file has no such route.
    """
    if drug.kinetics is None or route not in drug.routes():
        raise Refusal(_no_route(drug, route))
    numbers = [0.0] * slots.P_PER_SLOT
    numbers[slots.P_IS_ON] = 1.0
    numbers[slots.P_CHAIN_RATE] = float(slots.N_CHAIN) / drug.kinetics.arm_to_heart_s.value
    absorption = drug.absorption(route, site)
    if absorption is None:
        numbers[slots.P_TO_CHAIN] = 1.0
    else:
        _fill_absorption(numbers, absorption)
    sized = compartments(drug.kinetics, person)
    _fill_kinetics(numbers, sized)
    _fill_effects(numbers, effects_by(drug, route))
    for delivery in drug.delivers:
        numbers[slots.P_SUBSTANCE + SUBSTANCE_ORDER.index(delivery.substance)] += delivery.content.value
    return numbers


def _no_route(drug: Drug, route: str) -> Fault:
    return Fault(
        code="route not modelled",
        said=f"{drug.name} {route} is not modelled",
        value=route,
        allowed=", ".join(drug.routes()),
        remedy="log it as 'other'; its effect is not modelled",
    )


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


def _fill_kinetics(numbers: list[float], sized: Compartments) -> None:
    parts = exponentials(
        v1=sized.v1_l,
        cl=sized.cl_l_per_min,
        v2=sized.v2_l,
        q2=sized.q2_l_per_min,
        v3=sized.v3_l,
        q3=sized.q3_l_per_min,
    )
    for index, (rate, share) in enumerate(zip(parts.rates, parts.shares, strict=True)):
        numbers[slots.P_MODE_RATE + index] = rate / S_PER_MIN
        numbers[slots.P_MODE_SHARE + index] = share
    numbers[slots.P_PER_LITRE] = 1.0 / sized.v1_l
    numbers[slots.P_SITE_RATE + slots.SITE_MAIN] = sized.ke0_per_min / S_PER_MIN


def _fill_effects(numbers: list[float], effects: tuple[Effect, ...]) -> None:
    own_sites: list[tuple[bool, float]] = []
    for effect in effects:
        first = slots.P_RECEPTOR + slots.P_PER_RECEPTOR * RECEPTOR_ORDER.index(effect.receptor)
        is_depot = effect.site == "depot"
        half = effect.half_amount if is_depot else effect.half_per_l
        per_level = 1.0 / _value(half, 1.0)
        if effect.kind == "antagonist":
            numbers[first + slots.R_ANTAGONIST] = per_level
        else:
            numbers[first + slots.R_AGONIST] = per_level
            numbers[first + slots.R_GAMMA] = _value(effect.gamma, 1.0)
            numbers[first + slots.R_EMAX] = _value(effect.emax_frac, 1.0)
            numbers[first + slots.R_LEAVING] = _stage_rate(effect.stays_s)
        if effect.turnover_s is not None:
            numbers[first + slots.R_TURNOVER] = 1.0 / effect.turnover_s.value
        if effect.site == "plasma":
            site = slots.SITE_PLASMA
        elif is_depot or effect.ke0_per_min is not None:
            own = (is_depot, _value(effect.ke0_per_min))
            if own not in own_sites:
                own_sites.append(own)
            site = slots.SITE_MORE + own_sites.index(own)
            numbers[slots.P_SITE_OF_DEPOT + site] = 1.0 if is_depot else 0.0
            numbers[slots.P_SITE_RATE + site] = own[1] / S_PER_MIN
        else:
            site = slots.SITE_MAIN
        numbers[first + slots.R_SITE] = float(site)


def _stage_rate(mean_s: Sourced | None) -> float:
    return 1.0 / mean_s.value if mean_s is not None and mean_s.value > 1.0 else AT_ONCE_PER_S


def _value(number: Sourced | None, otherwise: float = 0.0) -> float:
    return number.value if number is not None else otherwise
