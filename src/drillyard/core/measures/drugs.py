"""Measures of drugs and of sides: dose against order, allergy first, wrong side, route or drug."""

from math import hypot

from drillyard.core.care import actions as care
from drillyard.core.care.problems import Bleeding, Pneumothorax
from drillyard.core.entry import DrugAtHand, EntryContext, parse
from drillyard.core.formulary.doses import dose_amount, rate_amount_per_min
from drillyard.core.measures.record import Record
from drillyard.core.measures.result import Definition, MeasureResult, Moment, not_applicable, result_of
from drillyard.core.quantities.faults import Refusal

DOSE = Definition(
    id=8,
    title="Dose accuracy",
    definition="dose or rate given over dose or rate ordered, for each order that named a drug and one of them; the "
    "one farthest from 1",
    unit="1",
    target="0.9 to 1.1",
    source="local teaching choice, from memory",
    source_kind="L",
)
ALLERGY = Definition(
    id=10,
    title="Allergy asked before the first drug",
    definition="time of the question before time of the first drug: yes or no",
    unit="yes/no",
    target="yes",
    source="local teaching choice",
    source_kind="L",
)
WRONG = Definition(
    id=11,
    title="Wrong side, route or drug",
    definition="needle, seal, tourniquet or packing where the case has no injury; a dose by a route for which no "
    "dose is on file, an infusion of which no rate is; a drug to which the patient's record names an allergy: how many",
    unit="1",
    target="0",
    source="local teaching choice",
    source_kind="L",
)


def dose_accuracy(record: Record) -> MeasureResult:
    """Given / ordered, farthest from 1."""
    context = _drug_context(record)
    pairs: list[tuple[float, Moment, Moment, str]] = []
    for ordered_at, text in record.said("order"):
        order = parse(text, context, confirmed=True).action
        if not isinstance(order, care.GiveDrug | care.StartInfusion):
            continue
        given = next(
            ((at, a) for at, a in record.care(type(order)) if a.drug == order.drug and at.t_s >= ordered_at.t_s), None
        )
        if given is None:
            continue
        wanted, got = _amount(record, order), _amount(record, given[1])
        if wanted and got:
            pairs.append((got / wanted, ordered_at, given[0], order.drug))
    if not pairs:
        return not_applicable(DOSE, "no order with a drug and a dose was followed by that drug")
    ratio, ordered_at, given_at, drug = max(pairs, key=lambda pair: abs(pair[0] - 1.0))
    return result_of(
        DOSE,
        value=ratio,
        uncertainty=0.0,
        status="met" if 0.9 - 1e-9 <= ratio <= 1.1 + 1e-9 else "not met",
        text=f"{ratio:.2f}",
        note=f"{drug}; {len(pairs)} orders with a dose",
        seqs=(ordered_at.seq, given_at.seq),
        t_s=given_at.t_s,
    )


def _amount(record: Record, action: care.GiveDrug | care.StartInfusion) -> float | None:
    """A dose, or a rate a minute, in the unit in which its drug is counted; ``None`` where it cannot be told."""
    if record.formulary is None or action.drug not in record.formulary:
        return None
    drug = record.formulary.get(action.drug)
    try:
        if isinstance(action, care.GiveDrug):
            return dose_amount(drug, action.dose, action.dose_unit)
        mass_kg = record.scenario.patient.mass_kg
        return rate_amount_per_min(drug, action.rate, action.rate_unit, mass_kg, action.strength_per_ml)
    except Refusal:
        return None


def _drug_context(record: Record) -> EntryContext:
    names = record.formulary if record.formulary is not None else ()
    drugs = tuple(DrugAtHand(drug=record.formulary.get(name)) for name in names) if record.formulary else ()
    return EntryContext(drugs=drugs, mass_kg=record.scenario.patient.mass_kg)


def allergy_first(record: Record) -> MeasureResult:
    """T(asked) < T(first drug)."""
    first = next(iter(record.care(care.GiveDrug, care.StartInfusion)), None)
    if first is None:
        return not_applicable(ALLERGY, "no drug was given")
    asked = next((moment for moment, _ in record.said("asked allergy")), None)
    if asked is None:
        return result_of(ALLERGY, value=0.0, status="not met", text="no", note="not asked", seqs=(first[0].seq,))
    ahead_s, u_s = first[0].t_s - asked.t_s, hypot(first[0].u_s, asked.u_s)
    status = "met" if ahead_s > u_s else "not met" if ahead_s < -u_s else "cannot say"
    return result_of(
        ALLERGY,
        value=1.0 if ahead_s > 0 else 0.0,
        status=status,  # type: ignore[arg-type]
        text="yes" if ahead_s > 0 else "no",
        note=f"asked {abs(ahead_s):.0f} s {'before' if ahead_s >= 0 else 'after'} the first drug",
        seqs=(asked.seq, first[0].seq),
        t_s=first[0].t_s,
    )


def wrong_count(record: Record) -> MeasureResult:
    """How many wrong sides, routes and drugs."""
    found: list[tuple[Moment, str]] = []
    sides = {problem.side for problem in record.problems(Pneumothorax)}
    sites = {problem.site for problem in record.problems(Bleeding)}
    for moment, action in record.care(care.DecompressChest, care.SealChest):
        if action.side not in sides:
            found.append((moment, f"{action.kind} on the {action.side}"))
    for moment, action in record.care(care.ControlBleeding):
        if not any(same_place(action.site, site) for site in sites):
            found.append((moment, f"{action.how} at the {action.site}"))
    for moment, drug in record.care(care.GiveDrug, care.StartInfusion):
        wrong = _wrong_drug(record, drug)
        if wrong:
            found.append((moment, wrong))
    notes = [what for _, what in found]
    if record.formulary is None:
        notes.append("routes were not judged: no drug data at hand")
    return result_of(
        WRONG,
        value=float(len(found)),
        uncertainty=0.0,
        status="not met" if found else "met",
        text=str(len(found)),
        note="; ".join(notes),
        seqs=tuple(moment.seq for moment, _ in found),
        t_s=found[0][0].t_s if found else None,
    )


def same_place(site: str, wound: str) -> bool:
    """The same place, or the wound's place without its side ("groin" for "left groin")."""
    return site == wound or wound in (f"left {site}", f"right {site}")


def _wrong_drug(record: Record, action: care.GiveDrug | care.StartInfusion) -> str:
    words = {action.drug}
    if record.formulary is not None and action.drug in record.formulary:
        drug = record.formulary.get(action.drug)
        words |= set(drug.synonyms)
        is_infusion = isinstance(action, care.StartInfusion)
        routes = {row.route for row in drug.usual_doses if bool(row.per_time) == is_infusion}
        routes |= {"IO"} if "IV" in routes else set()
        if action.route not in routes:
            how = "an infusion of which no rate is" if is_infusion else "a route with no dose"
            return f"{action.drug} {action.route}, {how} on file"
    allergies = " ".join(record.scenario.patient.allergies).lower()
    if any(word.lower() in allergies for word in words):
        return f"{action.drug}, to which an allergy is on record"
    return ""
