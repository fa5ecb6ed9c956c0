"""Kinetics read from the drug files: volumes, clearances, half-lives, contents.

For an adult of 70 kg, 40 years and 175 cm unless the row's people were others.
"""

from math import log, nan

from drillyard.scripting import Adult, Drug, compartments_of, covariate_set, shipped_drugs, terminal_half_life_min
from drillyard.validation.bench import Answers, Bench, answers


def _drug(name: str) -> Drug:
    return shipped_drugs().get(name)


def _half_life_min(name: str) -> float:
    return terminal_half_life_min(compartments_of(_drug(name)))


def _bioavailability_pct(name: str, route: str) -> float:
    absorption = _drug(name).absorption(route)
    return 100.0 * absorption.bioavailability_frac.value if absorption is not None else nan


def _steady_volume_l(name: str) -> float:
    sized = compartments_of(_drug(name))
    return sized.v1_l + sized.v2_l + sized.v3_l


def _content(name: str, substance: str) -> float:
    """What one unit of the drug's amount holds of a substance."""
    found = [row.content.value for row in _drug(name).delivers if row.substance == substance]
    return sum(found) if found else nan


@answers("PK064", "PK065", "PK066", "PK067", "PK071", "PK073")
def fentanyl(bench: Bench) -> Answers:
    """Three compartments of a 70 kg adult, terminal half-life, half-time of the effect site."""
    sized = compartments_of(_drug("fentanyl"))
    return {
        "PK064": sized.v1_l,
        "PK065": sized.v2_l,
        "PK066": sized.v3_l,
        "PK067": sized.cl_l_per_min,
        "PK071": terminal_half_life_min(sized),
        "PK073": log(2.0) / sized.ke0_per_min,
    }


@answers("PK074", "PK075", "PK076", "PK079", "PK082")
def naloxone(bench: Bench) -> Answers:
    """Clearance (L/h), central and deep volume, bioavailability in muscle, terminal half-life, for 75 kg."""
    sized = compartments_of(_drug("naloxone"), Adult(mass_kg=75.0))
    return {
        "PK074": sized.cl_l_per_min * 60.0,
        "PK075": sized.v1_l,
        "PK076": max(sized.v2_l, sized.v3_l),
        "PK079": _bioavailability_pct("naloxone", "IM"),
        "PK082": terminal_half_life_min(sized),
    }


@answers("PK149", "PK152", "PK154")
def tranexamic_acid(bench: Bench) -> Answers:
    """Clearance and exchange (L/h), absorption rate from muscle (per hour), for 70 kg."""
    drug = _drug("tranexamic acid")
    sized = compartments_of(drug)
    absorption = drug.absorption("IM")
    return {
        "PK149": sized.cl_l_per_min * 60.0,
        "PK152": sized.q2_l_per_min * 60.0,
        "PK154": absorption.ka_per_min.value * 60.0 if absorption is not None else nan,
    }


@answers("PK112", "PK113", "PK114", "PK115", "PK116", "PK117", "PK121")
def propofol(bench: Bench) -> Answers:
    """The shipped set at its reference (70 kg, 30 years); the effect-site rate that comes with Schnider's set."""
    sized = compartments_of(_drug("propofol"), Adult(age_years=30.0))
    return {
        "PK112": sized.cl_l_per_min,
        "PK113": sized.v1_l,
        "PK114": sized.v2_l,
        "PK115": sized.v3_l,
        "PK116": sized.q2_l_per_min,
        "PK117": sized.q3_l_per_min,
        "PK121": covariate_set("Schnider 1998", Adult()).ke0_per_min,
    }


@answers("PK020", "PK021")
def norepinephrine(bench: Bench) -> Answers:
    """Half-life (min) and clearance (L/min)."""
    sized = compartments_of(_drug("norepinephrine"))
    return {"PK020": terminal_half_life_min(sized), "PK021": sized.cl_l_per_min}


@answers("PK060", "PK061")
def morphine(bench: Bench) -> Answers:
    """Volume at steady state (L/kg) and clearance (mL/min/kg)."""
    sized = compartments_of(_drug("morphine"))
    return {"PK060": _steady_volume_l("morphine") / 70.0, "PK061": 1000.0 * sized.cl_l_per_min / 70.0}


@answers("PK100", "PK102")
def lorazepam(bench: Bench) -> Answers:
    """Half-life (h) and clearance (mL/min/kg)."""
    sized = compartments_of(_drug("lorazepam"))
    return {"PK100": terminal_half_life_min(sized) / 60.0, "PK102": 1000.0 * sized.cl_l_per_min / 70.0}


@answers("PK173", "PK174", "PK175")
def glucagon(bench: Bench) -> Answers:
    """Volume (L/kg), clearance (mL/min/kg), half-life (min)."""
    sized = compartments_of(_drug("glucagon"))
    return {
        "PK173": _steady_volume_l("glucagon") / 70.0,
        "PK174": 1000.0 * sized.cl_l_per_min / 70.0,
        "PK175": terminal_half_life_min(sized),
    }


@answers("PK033", "PK048", "PK058", "PK097", "PK103", "PK106", "PK163", "PK164", "PK166", "PK172")
def half_lives(bench: Bench) -> Answers:
    """Terminal half-lives in the unit of each row: seconds (adenosine), minutes, hours."""
    return {
        "PK033": 60.0 * _half_life_min("adenosine"),
        "PK048": _half_life_min("lidocaine") / 60.0,
        "PK058": _half_life_min("aspirin"),
        "PK097": _half_life_min("midazolam") / 60.0,
        "PK103": _half_life_min("diazepam") / 60.0,
        "PK106": _half_life_min("flumazenil"),
        "PK163": _half_life_min("metoprolol") / 60.0,
        "PK164": _half_life_min("ondansetron") / 60.0,
        "PK166": _half_life_min("diphenhydramine") / 60.0,
        "PK172": _half_life_min("oxytocin"),
    }


@answers("PK054", "PK089")
def bioavailability(bench: Bench) -> Answers:
    """Under the tongue and in the muscle, percent."""
    return {
        "PK054": _bioavailability_pct("nitroglycerin", "SL"),
        "PK089": _bioavailability_pct("ketamine", "IM"),
    }


@answers("PK141", "PK142", "PK145")
def contents(bench: Bench) -> Answers:
    """Calcium in 10 mL of 10 % (1 g); rise of bicarbonate by 1 mmol/kg in the drug file's space."""
    return {
        "PK141": 1000.0 * _content("calcium chloride", "calcium"),
        "PK142": 1000.0 * _content("calcium gluconate", "calcium"),
        "PK145": 70.0 * _content("sodium bicarbonate", "bicarbonate") / _steady_volume_l("sodium bicarbonate"),
    }


@answers("PK158", "PK159")
def diltiazem_doses(bench: Bench) -> Answers:
    """The two boluses that the drug file prints, mg/kg."""
    printed = sorted({dose.low for dose in _drug("diltiazem").usual_doses if dose.by_mass and not dose.per_time})
    return {"PK158": printed[0], "PK159": printed[-1]}
