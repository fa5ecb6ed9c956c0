"""Drugs: name, dose with its unit, route, place and time in any order ("epi 0.3 im", "txa 1 g iv over 10 min").

A number with a unit of rate ("norepi 8 mcg/min iv") is an infusion: ``infusions.py``.
"""

from dataclasses import dataclass, replace
from typing import Final, Literal

from drillyard.core.care.actions import GiveDrug, RateUnit, Route, StopInfusion
from drillyard.core.entry.at_hand import DrugAtHand, EntryContext
from drillyard.core.entry.grammar import infusions
from drillyard.core.entry.grammar.common import Entry, take_site, take_time_s
from drillyard.core.entry.reader import Ask, Reader, plain
from drillyard.core.entry.words import (
    BONE_PARTS,
    DOSE_UNITS,
    MUSCLE_PARTS,
    NOT_DOSE_UNITS,
    OFF,
    PARTS_OF_BODY,
    RATE_UNITS_OF_DRUGS,
    ROUTE_WORD,
    ROUTES,
    SIDES,
    USUAL_MUSCLE,
    VEIN_PARTS,
)
from drillyard.core.formulary.doses import dose_verdict, usual_dose_text
from drillyard.core.formulary.model import AmountUnit, UsualDose
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches

DoseUnit = Literal["g", "mg", "ug", "units", "mmol", "mL"]
MASS_UNITS: Final[tuple[DoseUnit, ...]] = ("g", "mg", "ug")
READINGS: Final[dict[AmountUnit, tuple[DoseUnit, ...]]] = {
    "mg": MASS_UNITS, "units": ("units",), "mmol": ("mmol",), "mL": ("mL",),
}  # fmt: skip
"""Units in which a dose without one may be read, by how the drug is counted."""
UG_IN: Final[dict[str, float]] = {"g": 1e6, "mg": 1e3, "ug": 1.0}
UNIT_SAID: Final = {"g": "g", "mg": "mg", "ug": "mcg", "mL": "mL", "units": "units", "mmol": "mmol"}
MOST_VOLUME_ML: Final = 1000.0
"""A single dose that would fill more than this from the strongest label in the box cannot be drawn up (our choice)."""


@dataclass(slots=True)
class Said:
    """What has been read of one dose so far."""

    number: float | None = None
    number_at: int = 0
    unit: DoseUnit | None = None
    rate_unit: RateUnit | None = None
    strength_per_ml: float | None = None
    route: Route | None = None
    site: str = ""
    over_s: float = 0.0


def names_of(context: EntryContext) -> dict[str, DrugAtHand]:
    """Every word for a drug at hand."""
    return {word.lower(): drug for drug in context.drugs if drug.drug.given_as == "drug" for word in drug.words}


def labels_of(at_hand: DrugAtHand) -> tuple[float, ...]:
    """Strengths, as amount a millilitre: of the box for a drug dosed by mass, of the drug file for any other.

    A box says strengths in mg/mL only.
    """
    drug = at_hand.drug
    return at_hand.labels_mg_per_ml if drug.amount_unit == "mg" else tuple(s.strength_per_ml for s in drug.strengths)


def read_drug(reader: Reader, context: EntryContext, drug: DrugAtHand) -> Entry:
    """The rest of a line that began with a drug's name."""
    said = Said()
    reader.take_word("infusion", "drip")
    if reader.take_word(*OFF):
        return Entry(action=StopInfusion(drug=drug.name))
    while not reader.at_end:
        if not _read_piece(reader, context, drug, said):
            break
    if not reader.at_end:
        _refuse_word(reader, drug)
    if said.rate_unit is not None:
        return infusions.entry(context, drug, said)
    if said.number is None:
        raise Ask(f"How much {drug.name}? {usual_text(drug, said.route)}".strip(), dose_offers(drug, said.route))
    if said.route is None:
        _ask_route(context, drug, said)
    assert said.route is not None
    return _entry(context, drug, said)


def _read_piece(reader: Reader, context: EntryContext, drug: DrugAtHand, said: Said) -> bool:
    """Takes one piece of a dose; ``False`` where the next word is none."""
    route = reader.take(ROUTES) if said.route is None else None
    if route is not None:
        said.route = route
    elif reader.take_word("over"):
        said.over_s = take_time_s(reader, "Over")
    elif reader.take_word("of", "from"):
        _read_strength(reader, said, drug)
    elif not reader.take_word("push", "slow", "dose", "given", "infusion", "at"):
        return _read_number(reader, drug, said) or _read_site(reader, context, said)
    return True


def _read_number(reader: Reader, drug: DrugAtHand, said: Said) -> bool:
    at = reader.here
    number = reader.take_number()
    if number is None:
        return False
    if said.number is not None:
        two = f"two numbers, {plain(said.number)} and {plain(number)}, for one dose"
        raise Refusal(Fault(code="two doses", said=two, remedy="enter one dose a line"))
    said.number, said.number_at = number, at
    _take_unit(reader, drug, said, number)
    return True


def _read_site(reader: Reader, context: EntryContext, said: Said) -> bool:
    """A place; in a muscle it may go without a side, a line's place may not."""
    reader.take_word("in", "into", "via", "at")
    part = reader.peek(PARTS_OF_BODY)
    if part is None and reader.word() not in SIDES:
        return False
    if said.route == "IM" and part is not None and part[1][0] in MUSCLE_PARTS:
        reader.take(PARTS_OF_BODY)
        side = reader.take(SIDES)
        said.site = f"{side} {part[1][0]}" if side else part[1][0]
        return True
    parts = {"IM": MUSCLE_PARTS, "IO": BONE_PARTS}.get(said.route or "", VEIN_PARTS | MUSCLE_PARTS | BONE_PARTS)
    said.site = take_site(reader, "Where?", [line.site for line in context.lines or ()], frozenset(parts))
    return True


def _read_strength(reader: Reader, said: Said, drug: DrugAtHand) -> None:
    """ "of 1 mg/ml", in the unit in which the drug is counted; "of 0.4 per ml" says the same."""
    unit = drug.drug.amount_unit
    number = reader.need_number(f"Of which strength, in {unit}/mL?")
    if not (reader.take_word(f"{unit}/ml") or (reader.take_word("per") and reader.take_word("ml"))):
        raise Ask(f"Is that strength in {unit}/mL?", (f"{unit}/ml",))
    said.strength_per_ml = number


def _take_unit(reader: Reader, drug: DrugAtHand, said: Said, number: float) -> None:
    said.rate_unit = reader.take(RATE_UNITS_OF_DRUGS)
    if said.rate_unit is not None:
        return
    said.unit = reader.take(DOSE_UNITS)
    units = dict.fromkeys((*READINGS[drug.drug.amount_unit], "mL"))
    is_known = said.unit is None or said.unit in units
    if (said.unit is None and reader.word() in NOT_DOSE_UNITS) or not is_known:
        word = reader.word() if is_known else said.unit
        raise Refusal(
            Fault(
                code="wrong unit",
                said=f"'{word}' is not a unit in which a dose of {drug.name} can be logged",
                value=f"{plain(number)} {word}",
                allowed=", ".join(UNIT_SAID[unit] for unit in units),
                remedy="write the whole dose given, for instance "
                + (f"'{dose_offers(drug)[0]}'" if dose_offers(drug) else f"'1 {drug.drug.amount_unit}'"),
            )
        )


def _refuse_word(reader: Reader, drug: DrugAtHand) -> None:
    begun = reader.left_over().lower()
    fitting = [word for word in (*ROUTES, *DOSE_UNITS, "over") if word.startswith(begun)]
    if fitting:
        raise Ask(f"How is {drug.name} given?", fitting, reader.here)
    raise Refusal(
        Fault(
            code="word not understood",
            said=f"'{reader.left_over()}' is not understood in a dose of {drug.name}",
            value=reader.left_over(),
            near=near_matches(reader.word(), (*ROUTES, *DOSE_UNITS)),
            remedy=f"write name, dose, unit, route: for instance '{drug.name} {(dose_offers(drug) or ('1 mg',))[0]}'",
        )
    )


def _ask_route(context: EntryContext, at_hand: DrugAtHand, said: Said) -> None:
    """Asks for the route; routes by which the number is a usual dose, and for which a line lies, come first."""
    drug = at_hand.drug
    published = dict.fromkeys(row.route for row in drug.usual_doses)
    routes = tuple(dict.fromkeys((*published, *drug.routes())))
    own = READINGS[drug.amount_unit]
    units = own if said.unit is None else (said.unit,) if said.unit in own else ()

    def fits(route: Route) -> bool:
        doses = [_converted(said.number or 0.0, unit, drug.dose_unit) for unit in units]
        return any(
            dose > 0 and dose_verdict(drug, dose, drug.dose_unit, route, context.mass_kg).verdict == "usual"
            for dose in doses
        )

    raise Ask(
        f"By which route: {', '.join(routes)}?",
        (
            ROUTE_WORD[route]
            for route in sorted(routes, key=lambda route: (not fits(route), _lacks_line(context, route)))
        ),
    )


def _lacks_line(context: EntryContext, route: Route) -> bool:
    """Whether the route needs a line and none of its kind is in place."""
    return route in ("IV", "IO") and not any(line.kind == route for line in context.lines or ())


def _entry(context: EntryContext, at_hand: DrugAtHand, said: Said) -> Entry:
    assert said.number is not None and said.route is not None
    if said.number <= 0:
        raise Refusal(
            Fault(code="impossible dose", said=f"a dose of {plain(said.number)} cannot be given",
                  value=plain(said.number), allowed="more than 0", remedy=usual_text(at_hand, said.route))
        )  # fmt: skip
    drug = at_hand.drug
    dose = _dose(context, at_hand, said)
    _refuse_undrawable(at_hand, dose, said.route)
    verdict = dose_verdict(drug, dose, drug.dose_unit, said.route, context.mass_kg)
    site = said.site or (USUAL_MUSCLE.get(drug.name, "") if said.route == "IM" else "")
    action = GiveDrug(
        drug=drug.name, dose=dose, dose_unit=drug.dose_unit, route=said.route, site=site, over_s=said.over_s
    )
    has_range = any(not row.per_time for row in at_hand.usual_by(said.route))
    unusual = verdict.verdict == "impossible" or (verdict.verdict == "unusual" and has_range)
    warnings = []
    if unusual:
        warnings.append(f"{_capital(verdict.said)}.")
    elif not has_range:
        warnings.append(f"{_capital(verdict.usual_text)}: nothing was checked.")
    if said.route in ("IV", "IO") and context.lines is not None:
        if not any(said.route == line.kind for line in context.lines):
            kind = "vein" if said.route == "IV" else "bone"
            warnings.append(f"No line into a {kind} is in the log yet.")
        elif site and not any(site == line.site for line in context.lines):
            warnings.append(f"No line at the {site} is in the log yet.")
    if drug.amount_unit == "mg" and not at_hand.labels_mg_per_ml:
        warnings.append(f"{_capital(drug.name)} is not in the drug box.")
    confirmed = replace(action, confirmed_unusual=True) if unusual else None
    return Entry(action=action, warning=" ".join(warnings), unusual=unusual, confirmed=confirmed)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _refuse_undrawable(at_hand: DrugAtHand, dose: float, route: Route) -> None:
    drug = at_hand.drug
    labels = labels_of(at_hand)
    if not labels:
        return
    volume_ml = _converted(dose, drug.dose_unit, drug.amount_unit) / max(labels)
    if volume_ml > MOST_VOLUME_ML:
        raise Refusal(
            Fault(
                code="impossible dose",
                said=f"{dose_text(dose, drug.dose_unit)} of {drug.name} would be {plain(round(volume_ml))} mL of the "
                "strongest label in the box",
                value=plain(dose),
                remedy=usual_text(at_hand, route),
            )
        )


def _dose(context: EntryContext, at_hand: DrugAtHand, said: Said) -> float:
    """The dose in the drug's own unit; asks where the unit or the strength leaves two readings."""
    assert said.number is not None
    if said.unit == "mL" and at_hand.drug.amount_unit != "mL":
        return _from_volume(at_hand, said)
    if said.unit is not None:
        return _converted(said.number, said.unit, at_hand.drug.dose_unit)
    return _without_unit(context, at_hand, said)


def _converted(number: float, unit: str, wanted: str) -> float:
    """A dose from one unit of its kind into another."""
    if unit == wanted:
        return number
    return float(f"{number * UG_IN[unit] / UG_IN[wanted]:.12g}")


def _from_volume(at_hand: DrugAtHand, said: Said) -> float:
    assert said.number is not None
    drug = at_hand.drug
    labels = labels_of(at_hand)
    if said.strength_per_ml is not None:
        labels = (said.strength_per_ml,)
    if not labels:
        raise Refusal(
            Fault(
                code="strength not known",
                said=f"{at_hand.name} is not in the drug box, so mL cannot be turned into a dose",
                value=f"{plain(said.number)} mL",
                remedy="write the dose in mg or mcg, or add 'of 1 mg/ml' with the strength on the label",
            )
        )
    if len(labels) > 1:
        unit, own = drug.dose_unit, drug.amount_unit
        masses = [_converted(float(f"{said.number * label:.12g}"), own, unit) for label in labels]
        doses = [
            f"{dose_text(dose, unit)} ({plain(label)} {own}/mL)" for dose, label in zip(masses, labels, strict=True)
        ]
        raise Ask(
            f"{plain(said.number)} mL of which label: {' or '.join(doses)}?",
            (f"of {plain(label)} {own}/ml" for label in labels),
        )
    return _converted(float(f"{said.number * labels[0]:.12g}"), drug.amount_unit, drug.dose_unit)


def _without_unit(context: EntryContext, at_hand: DrugAtHand, said: Said) -> float:
    """A bare number is taken only where one reading alone is usual; otherwise it is asked about.

    It is read in each unit of mass and as millilitres of each label in the box.  One usual reading by mass is taken
    if no volume gives another usual dose; a dose that is printed as such (an end of a published range) outweighs a
    volume that merely falls into the range.
    """
    assert said.number is not None and said.route is not None
    drug = at_hand.drug

    def is_usual(dose: float) -> bool:
        return dose_verdict(drug, dose, drug.dose_unit, said.route or "", context.mass_kg).verdict == "usual"

    own = READINGS[drug.amount_unit]
    labels = labels_of(at_hand)
    fitting = [unit for unit in own if is_usual(_converted(said.number, unit, drug.dose_unit))]
    by_volume = [_converted(said.number * label, drug.amount_unit, drug.dose_unit) for label in labels]
    if len(fitting) == 1:
        dose = _converted(said.number, fitting[0], drug.dose_unit)
        is_printed = any(abs(dose - printed) <= 1e-9 * dose for printed in printed_doses(at_hand, said.route))
        has_rival = any(is_usual(other) and abs(other - dose) > 1e-9 * dose for other in by_volume)
        if is_printed or not has_rival:
            return dose
    readings = [f"{plain(said.number)} {UNIT_SAID[unit]}" for unit in (fitting or _ways(at_hand))]
    readings += [f"{plain(said.number)} mL"] if labels and drug.amount_unit != "mL" else []
    route = ROUTE_WORD[said.route]
    raise Ask(
        f"{' or '.join(readings)}? {usual_text(at_hand, said.route)}".strip(),
        (f"{reading} {route}" for reading in readings),
        said.number_at,
    )


def _ways(at_hand: DrugAtHand) -> tuple[DoseUnit, ...]:
    """The units in which the drug's published doses are said."""
    own = at_hand.drug.dose_unit
    if at_hand.drug.amount_unit != "mg":
        return (own,)
    texts = [dose_text(dose, own).split(" ")[1] for row in at_hand.drug.usual_doses for dose in printed_of(row, own)]
    ways: list[DoseUnit] = [own]
    ways += ["g"] if "g" in texts else []
    return tuple(ways) if len(ways) > 1 or at_hand.labels_mg_per_ml else ("mg", "ug")


def printed_of(row: UsualDose, unit: str) -> tuple[float, ...]:
    """The ends of one published range in ``unit``; nothing where it goes by body mass or is a rate."""
    if row.by_mass or row.per_time:
        return ()
    if row.unit == "L":
        return tuple(dict.fromkeys((1000.0 * row.low, 1000.0 * row.high)))
    return tuple(dict.fromkeys(_converted(dose, row.unit, unit) for dose in (row.low, row.high)))


def printed_doses(at_hand: DrugAtHand, route: Route) -> tuple[float, ...]:
    """Doses printed for a route, in the drug's own unit."""
    doses = [dose for row in at_hand.usual_by(route) for dose in printed_of(row, at_hand.drug.dose_unit)]
    return tuple(dict.fromkeys(doses))


def dose_text(dose: float, unit: str) -> str:
    """A dose or a rate as said: "0.3 mg", "100 mcg", "1 g", "8 mcg/min"."""
    if unit == "mg" and dose >= 1000:
        return f"{plain(float(f'{dose / 1000:.12g}'))} g"
    amount, slash, per = unit.partition("/")
    return f"{plain(dose)} {UNIT_SAID.get(amount, amount)}{slash}{per}"


def usual_text(at_hand: DrugAtHand, route: Route | None) -> str:
    """The published doses in words, for a question or a warning."""
    rows = at_hand.usual_by(route) if route else at_hand.drug.usual_doses
    return f"Usual: {'; '.join(usual_dose_text(row) for row in rows)}." if rows else ""


def dose_offers(at_hand: DrugAtHand, route: Route | None = None) -> tuple[str, ...]:
    """Published doses as they would be typed after the name."""
    unit = at_hand.drug.dose_unit
    rows = at_hand.usual_by(route) if route else at_hand.drug.usual_doses
    offers = [
        dose_text(dose, unit) + ("" if route else f" {ROUTE_WORD[row.route]}")
        for row in rows
        for dose in printed_of(row, unit)
    ]
    return tuple(dict.fromkeys(offers))
