"""What must hold inside one drug, beyond the shape of its file.  Bounds are ours: wide enough for any real drug."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, Final

from drillyard.core.formulary.covariates import MODELS
from drillyard.core.formulary.model import Drug, Effect, Sourced
from drillyard.core.formulary.vocabulary import BLOCKS
from drillyard.core.quantities.faults import Fault, Place
from drillyard.core.quantities.units import unit_of_name

BOUNDS: Final[dict[str, tuple[float, float]]] = {
    "v1_l": (0.1, 10_000.0),
    "v2_l": (0.1, 10_000.0),
    "v3_l": (0.1, 10_000.0),
    "cl_l_per_min": (1e-4, 200.0),
    "q2_l_per_min": (1e-4, 200.0),
    "q3_l_per_min": (1e-4, 200.0),
    "reference_mass_kg": (0.5, 200.0),
    "ke0_per_min": (1e-4, 30.0),
    "arm_to_heart_s": (1.0, 120.0),
    "bioavailability_frac": (0.001, 1.0),
    "ka_per_min": (1e-5, 20.0),
    "lag_s": (0.0, 36000.0),
    "share_frac": (0.0, 1.0),
    "half_per_l": (1e-7, 1e5),
    "half_amount": (1e-6, 1e5),
    "emax_frac": (0.0, 1.0),
    "gamma": (0.2, 20.0),
    "stays_s": (0.0, 86400.0),
    "turnover_s": (1.0, 864_000.0),
    "content": (1e-9, 1e4),
    "impossible": (1e-3, 1e6),
    "impossible_rate_per_min": (1e-4, 1e5),
}
"""Smallest and largest value of each field that holds a number with a source."""


def drug_faults(drug: Drug, citations: Mapping[str, str]) -> list[Fault]:
    """Everything that is wrong with one drug; empty when it may be used.

    Args:
        citations: citation key -> full source, as in ``data/citations.yaml``.
    """
    faults = []
    for path, name, number in _numbers(drug, ""):
        low, high = BOUNDS[name]
        if not low <= number.value <= high:
            faults.append(_fault("out of range", f"{number.value:g} is out of range", path, f"{low:g} to {high:g}"))
        faults += _source_faults(number.source, path, citations)
    for path, source in _plain_sources(drug):
        faults += _source_faults(source, path, citations)
    faults += _kinetics_faults(drug)
    for index, effect in enumerate(drug.effects):
        faults += _effect_faults(drug, effect, f"effects[{index}]")
    faults += _competition_faults(drug)
    for index, dose in enumerate(drug.usual_doses):
        path = f"usual_doses[{index}]"
        if not 0.0 < dose.low <= dose.high:
            faults.append(
                _fault("doses out of order", f"low {dose.low:g} and high {dose.high:g}", path, "0 < low <= high")
            )
        if drug.given_as == "drug" and dose.route not in drug.routes():
            said = f"a dose by {dose.route} is listed, but no absorption by that route"
            faults.append(_fault("route without absorption", said, path, ", ".join(drug.routes())))
    if not drug.cautions:
        faults.append(_fault("no caution", "a drug needs at least one caution", "cautions"))
    return faults


def _kinetics_faults(drug: Drug) -> list[Fault]:
    kinetics = drug.kinetics
    if drug.given_as != "drug":
        extra = [key for key in ("kinetics", "absorptions", "effects", "delivers") if getattr(drug, key)]
        said = f"a {drug.given_as} acts through its own action, not through the drug slots; take out {', '.join(extra)}"
        return [_fault("not a drug", said, extra[0])] if extra else []
    if kinetics is None:
        return [_fault("no kinetics", "a drug needs kinetics", "kinetics")]
    faults = []
    own = ("v1_l", "cl_l_per_min", "scaling", "reference_mass_kg")
    missing = [name for name in own if getattr(kinetics, name) is None]
    rest = ("v2_l", "q2_l_per_min", "v3_l", "q3_l_per_min")
    for name in missing if kinetics.model is None else ():
        split = unit_of_name(name)
        remedy = f"write for instance '{split[0]}: 10 {split[1]}'" if split else "write for instance 'scaling: none'"
        said = f"'{_key(name)}' is missing"
        faults.append(replace(_fault("missing", said, "kinetics"), remedy=f"{remedy}, or name a published 'model'"))
    if kinetics.model is not None and any(getattr(kinetics, name) is not None for name in (*own, *rest)):
        said = f"'{kinetics.model}' brings its own volumes and clearances; take the others out"
        faults.append(_fault("two sets", said, "kinetics.model"))
    for volume, exchange in (("v2_l", "q2_l_per_min"), ("v3_l", "q3_l_per_min")):
        if (getattr(kinetics, volume) is None) != (getattr(kinetics, exchange) is None):
            said = f"{volume[:2]} and {exchange[:2]} belong together; one of them is missing"
            faults.append(_fault("incomplete compartment", said, "kinetics"))
    if not (drug.effects or drug.delivers or drug.not_modelled):
        said = "a drug without effects says under not_modelled what is left out"
        faults.append(_fault("no effect", said, "effects"))
    return faults


def _effect_faults(drug: Drug, effect: Effect, path: str) -> list[Fault]:
    faults = []
    if effect.kind == "agonist" and (effect.emax_frac is None or effect.gamma is None):
        faults.append(_fault("incomplete effect", "an agonist needs emax and gamma", path))
    has_ke0 = effect.ke0_per_min is not None or (drug.kinetics is not None and _has_ke0(drug))
    if effect.site == "effect" and not has_ke0:
        said = "the effect site needs ke0, here or under kinetics; write 'site: plasma' if the effect follows plasma"
        faults.append(_fault("no effect site", said, path))
    wanted, other = ("half_amount", "half_per_l") if effect.site == "depot" else ("half_per_l", "half_amount")
    if getattr(effect, wanted) is None or getattr(effect, other) is not None:
        said = f"site '{effect.site}' is measured by '{_key(wanted)}' and not by '{_key(other)}'"
        faults.append(_fault("wrong half", said, path))
    strange = [route for route in effect.routes if route not in drug.routes()]
    if strange:
        said = f"an effect by {', '.join(strange)} is listed, but no absorption by that route"
        faults.append(_fault("route without absorption", said, path, ", ".join(drug.routes())))
    if effect.site == "depot" and any(route in ("IV", "IO") for route in effect.routes or ("IV",)):
        said = "what acts where it lies needs 'routes': the ones by which it gets there (not IV or IO)"
        faults.append(_fault("no routes", said, path))
    return faults


def _competition_faults(drug: Drug) -> list[Fault]:
    faults = []
    rates = {e.ke0_per_min.value for e in drug.effects if e.ke0_per_min is not None and e.site == "effect"}
    depots = {e.ke0_per_min.value if e.ke0_per_min else 0.0 for e in drug.effects if e.site == "depot"}
    if len(rates) + len(depots) > 2:
        said = "at most two sites of their own (ke0 of an effect, depot) beside the main effect site"
        faults.append(_fault("too many sites", said, "effects"))
    for route in drug.routes():
        felt = [e.receptor for e in drug.effects if not e.routes or route in e.routes]
        for twice in sorted({name for name in felt if felt.count(name) > 1}):
            said = f"two effects at {twice} by {route}; one receptor is written once"
            faults.append(_fault("effect twice", said, "effects"))
    antagonised = {e.receptor for e in drug.effects if e.kind == "antagonist"}
    for index, effect in enumerate(drug.effects):
        blocked = BLOCKS.get(effect.receptor)
        if blocked is not None and blocked not in antagonised:
            said = f"{effect.receptor} closes the receptor to nerves; write the antagonist of drugs at {blocked} too"
            faults.append(_fault("half a block", said, f"effects[{index}]"))
    return faults


def _has_ke0(drug: Drug) -> bool:
    kinetics = drug.kinetics
    if kinetics is None:
        return False
    return kinetics.ke0_per_min is not None or (kinetics.model is not None and MODELS[kinetics.model].has_ke0)


def _key(name: str) -> str:
    """A field as it is written in a file."""
    split = unit_of_name(name)
    return split[0] if split else name


def _numbers(value: Any, path: str) -> Iterator[tuple[str, str, Sourced]]:
    for item in fields(value):
        inner = getattr(value, item.name)
        here = f"{path}.{item.name}" if path else item.name
        if isinstance(inner, Sourced):
            yield here, item.name, inner
        elif isinstance(inner, tuple):
            for index, part in enumerate(inner):
                if is_dataclass(part):
                    yield from _numbers(part, f"{here}[{index}]")
        elif is_dataclass(inner):
            yield from _numbers(inner, here)


def _plain_sources(drug: Drug) -> Iterator[tuple[str, str]]:
    for index, strength in enumerate(drug.strengths):
        yield f"strengths[{index}].source", strength.source
    for index, dose in enumerate(drug.usual_doses):
        yield f"usual_doses[{index}].source", dose.source


def _source_faults(source: str, path: str, citations: Mapping[str, str]) -> list[Fault]:
    if not source.strip():
        return [_fault("no source", "a number without a source", path)]
    if source in citations or (len(source) > 25 and any(word.strip("():,.;")[:4].isdigit() for word in source.split())):
        return []
    said = f"'{source}' is neither a key of citations.yaml nor a full source with its year"
    return [_fault("unknown source", said, path)]


def _fault(code: str, said: str, field: str, allowed: str = "") -> Fault:
    return Fault(code=code, said=said, allowed=allowed, place=Place(field=field))
