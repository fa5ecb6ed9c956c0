"""Drugs: name, dose with its unit, route, place and time in any order ("epi 0.3 im", "txa 1 g iv over 10 min").

A number with a unit of rate ("norepi 8 mcg/min iv") is an infusion: ``infusions.py``.  A strength ("10%", "d10",
"of 1 mg/ml") turns millilitres into a dose: ``strengths.py``.
"""

from dataclasses import replace
from math import isfinite
from typing import Final

from drillyard.core.care.actions import GiveDrug, Route, StopInfusion
from drillyard.core.entry.at_hand import DrugAtHand, EntryContext
from drillyard.core.entry.grammar import infusions
from drillyard.core.entry.grammar.common import Entry, take_site, take_time_s
from drillyard.core.entry.grammar.dose_texts import (
    UNIT_SAID,
    converted,
    dose_offers,
    dose_text,
    printed_of,
    usual_text,
)
from drillyard.core.entry.grammar.reckoning import READINGS, Said, dose_of, reckoned_of
from drillyard.core.entry.grammar.strengths import PERCENT, need_strength, strength_warning, take_strength
from drillyard.core.entry.reader import Ask, Reader, plain
from drillyard.core.entry.words import (
    AMPOULES,
    BONE_PARTS,
    DOSE_UNITS,
    DOSE_UNITS_PER_KG,
    MANNERS,
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
from drillyard.core.formulary.doses import dose_verdict
from drillyard.core.formulary.model import Drug
from drillyard.core.formulary.strengths import of_name, strength_text
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches

MOST_VOLUME_ML: Final = 1000.0
"""A single dose that would fill more than this from the strongest label in the box cannot be drawn up (our choice)."""


def names_of(context: EntryContext) -> dict[str, DrugAtHand]:
    """Every word for a drug at hand."""
    return {word.lower(): drug for drug in context.drugs if drug.drug.given_as == "drug" for word in drug.words}


def read_drug(
    reader: Reader, context: EntryContext, drug: DrugAtHand, word: str = "", strength_per_ml: float | None = None
) -> Entry:
    """The rest of a line that began with a drug's name, ``word``, or with a strength and its name."""
    named = of_name(drug.drug, word) if strength_per_ml is None else strength_per_ml
    said = Said(strength_per_ml=named)
    if word[-1:].isdigit() or word[:1].isdigit():
        reader.take_word(*PERCENT)  # "saline 3" and "%"
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
        volumes = _volume_offers(drug, said)
        raise Ask(
            f"How much {drug.name}? {usual_text(drug, said.route)}".strip(), (*volumes, *dose_offers(drug, said.route))
        )
    if said.route is None:
        said.route = _only_route(context, drug)
    if said.route is None:
        _ask_route(context, drug, said)
    assert said.route is not None
    return entry_of(context, drug, said)


def _read_piece(reader: Reader, context: EntryContext, drug: DrugAtHand, said: Said) -> bool:
    """Takes one piece of a dose; ``False`` where the next word is none."""
    route = reader.take(ROUTES) if said.route is None else None
    if route is not None:
        said.route = route
    elif reader.take_word("over"):
        said.over_s = take_time_s(reader, "Over")
    elif reader.take_word("of", "from"):
        _set_strength(said, drug, need_strength(reader, drug.drug))
    elif (strength := take_strength(reader, drug.drug)) is not None:
        _set_strength(said, drug, strength)
    elif not reader.take_word(*MANNERS):
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


def _set_strength(said: Said, at_hand: DrugAtHand, strength_per_ml: float) -> None:
    if said.strength_per_ml is not None and abs(said.strength_per_ml - strength_per_ml) > 1e-9 * strength_per_ml:
        drug = at_hand.drug
        two = " and ".join(strength_text(drug, one) for one in (said.strength_per_ml, strength_per_ml))
        raise Refusal(Fault(code="two strengths", said=f"two strengths, {two}, for one dose", remedy="leave one out"))
    said.strength_per_ml = strength_per_ml


def _volume_offers(at_hand: DrugAtHand, said: Said) -> tuple[str, ...]:
    """Usual doses as millilitres of the strength that was said."""
    drug = at_hand.drug
    if said.strength_per_ml is None or drug.amount_unit == "mL":
        return ()
    doses = [
        converted(dose, drug.dose_unit, drug.amount_unit)
        for row in (at_hand.usual_by(said.route) if said.route else drug.usual_doses)
        for dose in printed_of(row, drug.dose_unit)
    ]
    return tuple(dict.fromkeys(f"{plain(float(f'{dose / said.strength_per_ml:.6g}'))} ml" for dose in doses))


def _take_unit(reader: Reader, drug: DrugAtHand, said: Said, number: float) -> None:
    said.rate_unit = reader.take(RATE_UNITS_OF_DRUGS)
    if said.rate_unit is not None:
        return
    if reader.take_word(*AMPOULES):
        said.ampoules = True
        return
    per_kg = reader.take(DOSE_UNITS_PER_KG)
    said.by_mass = per_kg is not None
    said.unit = per_kg or reader.take(DOSE_UNITS)
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
        doses = [converted(said.number or 0.0, unit, drug.dose_unit) for unit in units]
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


def _only_route(context: EntryContext, at_hand: DrugAtHand) -> Route | None:
    """The route of a drug that can go only through a line, where lines of one kind alone lie."""
    kinds = {line.kind for line in context.lines or ()}
    return kinds.pop() if len(kinds) == 1 and set(at_hand.drug.routes()) <= {"IV", "IO"} else None


def _lacks_line(context: EntryContext, route: Route) -> bool:
    """Whether the route needs a line and none of its kind is in place."""
    return route in ("IV", "IO") and not any(line.kind == route for line in context.lines or ())


def entry_of(context: EntryContext, at_hand: DrugAtHand, said: Said, reckoned: str = "") -> Entry:
    """The dose that was said, held against the published ones, the lines and the box."""
    assert said.number is not None and said.route is not None
    if said.number <= 0:
        raise Refusal(
            Fault(code="impossible dose", said=f"a dose of {plain(said.number)} cannot be given",
                  value=plain(said.number), allowed="more than 0", remedy=usual_text(at_hand, said.route))
        )  # fmt: skip
    drug = at_hand.drug
    dose = dose_of(context, at_hand, said)
    if not isfinite(dose):
        raise Refusal(Fault(code="impossible dose", said="a dose of that size cannot be", value=plain(said.number)))
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
    warnings.append(too_soon(context, drug, said.route))
    warnings.append(box_warning(at_hand, said.strength_per_ml))
    confirmed = replace(action, confirmed_unusual=True) if unusual else None
    return Entry(
        action=action,
        warning=" ".join(filter(None, warnings)),
        unusual=unusual,
        confirmed=confirmed,
        reckoned=reckoned or reckoned_of(context, at_hand, said),
    )


def box_warning(at_hand: DrugAtHand, strength_per_ml: float | None) -> str:
    """Said where the drug, or the strength that was named, is not in the box."""
    missing = "" if at_hand.labels_per_ml else f"{_capital(at_hand.name)} is not in the drug box."
    other = strength_warning(at_hand, strength_per_ml) if strength_per_ml is not None else ""
    return f"{missing} {other}".strip()


def too_soon(context: EntryContext, drug: Drug, route: Route) -> str:
    """Said where the last dose by this route is more recent than every published pause allows."""
    earlier = [
        t_s
        for t_s, action in context.done
        if isinstance(action, GiveDrug) and action.drug == drug.name and action.route == route and t_s <= context.now_s
    ]
    by = "IV" if route == "IO" else route
    pauses = [row.again_after_s for row in drug.usual_doses if row.route == by and row.again_after_s is not None]
    if not earlier or not pauses or context.now_s - max(earlier) >= min(pauses):
        return ""
    since_s = context.now_s - max(earlier)
    return f"The last dose was {plain(round(since_s))} s ago; published: again after {plain(min(pauses) / 60.0)} min."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _refuse_undrawable(at_hand: DrugAtHand, dose: float, route: Route) -> None:
    drug = at_hand.drug
    labels = at_hand.labels_per_ml
    if not labels:
        return
    volume_ml = converted(dose, drug.dose_unit, drug.amount_unit) / max(labels)
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
