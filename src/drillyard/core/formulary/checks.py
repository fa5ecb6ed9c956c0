"""What must hold inside one drug, beyond the shape of its file.  Bounds are ours: wide enough for any real drug."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, Final

from drillyard.core.formulary.model import Drug, Sourced
from drillyard.core.quantities.faults import Fault, Place

BOUNDS: Final[dict[str, tuple[float, float]]] = {
    "v1_l": (0.1, 5000.0),
    "v2_l": (0.1, 5000.0),
    "v3_l": (0.1, 5000.0),
    "cl_l_per_min": (1e-4, 20.0),
    "q2_l_per_min": (1e-4, 50.0),
    "q3_l_per_min": (1e-4, 50.0),
    "reference_mass_kg": (0.5, 200.0),
    "ke0_per_min": (1e-4, 20.0),
    "arm_to_heart_s": (1.0, 120.0),
    "bioavailability_frac": (0.001, 1.0),
    "ka_per_min": (1e-5, 10.0),
    "lag_s": (0.0, 36000.0),
    "share_frac": (0.0, 1.0),
    "half_ng_per_ml": (1e-4, 1e7),
    "emax_frac": (0.0, 1.0),
    "gamma": (0.2, 12.0),
    "stays_s": (0.0, 86400.0),
    "impossible_mg": (1e-3, 1e6),
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
    kinetics = drug.kinetics
    for volume, exchange in (("v2_l", "q2_l_per_min"), ("v3_l", "q3_l_per_min")):
        if (getattr(kinetics, volume) is None) != (getattr(kinetics, exchange) is None):
            said = f"{volume[:2]} and {exchange[:2]} belong together; one of them is missing"
            faults.append(_fault("incomplete compartment", said, "kinetics"))
    for index, effect in enumerate(drug.effects):
        if effect.kind == "agonist" and (effect.emax_frac is None or effect.gamma is None):
            faults.append(_fault("incomplete effect", "an agonist needs emax and gamma", f"effects[{index}]"))
        if effect.site == "effect" and kinetics.ke0_per_min is None:
            said = "the effect site needs ke0 under kinetics; write 'site: plasma' if the effect follows plasma"
            faults.append(_fault("no effect site", said, f"effects[{index}]"))
    for index, dose in enumerate(drug.usual_doses):
        path = f"usual_doses[{index}]"
        if not 0.0 < dose.low <= dose.high:
            faults.append(
                _fault("doses out of order", f"low {dose.low:g} and high {dose.high:g}", path, "0 < low <= high")
            )
        if dose.route not in drug.routes():
            said = f"a dose by {dose.route} is listed, but no absorption by that route"
            faults.append(_fault("route without absorption", said, path, ", ".join(drug.routes())))
    if not drug.cautions:
        faults.append(_fault("no caution", "a drug needs at least one caution", "cautions"))
    return faults


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
