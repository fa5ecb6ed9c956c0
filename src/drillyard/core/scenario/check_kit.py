"""Faults of a kit list."""

from collections.abc import Iterator

from drillyard.core.quantities.faults import Fault, Place
from drillyard.core.scenario.check_conditions import Known, procedure_known, unknown_drug, unknown_procedure
from drillyard.core.scenario.kit import Kit
from drillyard.core.scenario.model import BoxDrug

GAUGE = (8, 30)
SIZE_MM = (1.0, 40.0)


def check_kit(kit: Kit, known: Known) -> list[Fault]:
    """Every fault of a kit, each with the path of its field."""
    return [*_item_faults(kit, known), *_drug_faults(kit, known)]


def _item_faults(kit: Kit, known: Known) -> Iterator[Fault]:
    names: set[str] = set()
    for i, item in enumerate(kit.items):
        field = f"items[{i}]"
        if item.name in names:
            said = f"the item '{item.name}' stands twice"
            yield Fault(code="name twice", said=said, place=Place(field=f"{field}.name"), remedy="add up the counts")
        names.add(item.name)
        if item.count < 1:
            said = f"'{item.name}': count {item.count}"
            yield Fault(code="out of range", said=said, place=Place(field=f"{field}.count"), allowed="1 or more")
        if item.gauge is not None and not GAUGE[0] <= item.gauge <= GAUGE[1]:
            said, allowed = f"'{item.name}': gauge {item.gauge}", f"{GAUGE[0]} to {GAUGE[1]}"
            yield Fault(code="out of range", said=said, place=Place(field=f"{field}.gauge"), allowed=allowed)
        if item.size_mm is not None and not SIZE_MM[0] <= item.size_mm <= SIZE_MM[1]:
            said, allowed = f"'{item.name}': size {item.size_mm:g} mm", f"{SIZE_MM[0]:g} to {SIZE_MM[1]:g} mm"
            yield Fault(code="out of range", said=said, place=Place(field=f"{field}.size"), allowed=allowed)
        for j, words in enumerate(item.procedures):
            if not procedure_known(words, known):
                yield unknown_procedure(words, f"{field}.procedures[{j}]", known)


def _drug_faults(kit: Kit, known: Known) -> Iterator[Fault]:
    seen: set[tuple[str, float, float]] = set()
    for i, drug in enumerate(kit.drug_box):
        field = f"drug_box[{i}]"
        yield from box_faults(drug, field, known)
        same = (drug.drug, drug.concentration_per_ml, drug.volume_ml)
        if same in seen:
            said = f"{drug.drug} of this strength and volume stands twice"
            yield Fault(code="name twice", said=said, place=Place(field=field), remedy="add up the counts")
        seen.add(same)


def box_faults(drug: BoxDrug, field: str, known: Known) -> Iterator[Fault]:
    """Faults of one row of a drug box, of a kit or of a case."""
    if known.drugs is not None and drug.drug not in known.drugs:
        yield unknown_drug(drug.drug, f"{field}.drug", known.drugs)
    if drug.concentration_per_ml <= 0.0 or drug.volume_ml <= 0.0 or drug.count < 1:
        said = f"{drug.drug}: concentration, volume and count must be above 0"
        yield Fault(code="out of range", said=said, place=Place(field=field))
    counted = (known.amount_units or {}).get(drug.drug)
    if counted is None or counted == drug.amount_unit:
        return
    if counted == "mL":
        said, remedy = f"{drug.drug} is counted in mL and has no concentration", "leave the concentration out"
    elif drug.amount_unit == "mL":
        said, remedy = f"{drug.drug} has no concentration", f"write for instance 'concentration: 10 {counted}/mL'"
    else:
        said = f"{drug.drug} is counted in {counted}, and its concentration is in {drug.amount_unit}/mL"
        remedy = f"write it in {counted}/mL, as the label says"
    yield Fault(code="wrong unit", said=said, place=Place(field=f"{field}.concentration"), remedy=remedy)
