"""Published kinetic sets whose numbers follow from age, sex, mass and height.

A drug file names one (``model: Schnider 1998``) in place of volumes and clearances.  Plain ``+ - * /`` and powers of
our own, so that the bits are the same on every machine.  Each set holds for the people in whom it was measured; what
lies outside is named beside it and is not stopped here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol

from drillyard.core.formulary.model import Covariates
from drillyard.core.numerics.elementary import exp, larger, pow_

WEEKS_PER_YEAR: Final = 52.0
WEEKS_BEFORE_BIRTH: Final = 40.0


class Person(Protocol):
    """Whoever the drug is given to."""

    @property
    def age_years(self) -> float: ...
    @property
    def sex(self) -> str: ...
    @property
    def mass_kg(self) -> float: ...
    @property
    def height_cm(self) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Compartments:
    """Volumes and clearances of one person; 0 for a compartment that is not there, or an effect site at plasma."""

    v1_l: float
    cl_l_per_min: float
    v2_l: float = 0.0
    q2_l_per_min: float = 0.0
    v3_l: float = 0.0
    q3_l_per_min: float = 0.0
    ke0_per_min: float = 0.0


@dataclass(frozen=True, slots=True)
class Model:
    """One published set: where it is from, whom it was measured in, and whether it has an effect site of its own."""

    of: Callable[[Person], Compartments]
    has_ke0: bool
    source: str


def lean_body_mass_kg(person: Person) -> float:
    """Lean body mass by the James formula (James WPT. Research on obesity. HMSO, London, 1976), from memory.

    It turns over and falls in the very heavy, which is a known fault of the formula.
    """
    ratio = person.mass_kg / person.height_cm
    if person.sex == "female":
        return 1.07 * person.mass_kg - 148.0 * ratio * ratio
    return 1.1 * person.mass_kg - 128.0 * ratio * ratio


def fat_free_mass_kg(person: Person) -> float:
    """Fat-free mass by Al-Sallami et al., Clin Pharmacokinet 54:1183-1193, 2015 (from memory): 3 years and older."""
    height_m = person.height_cm / 100.0
    bmi = person.mass_kg / (height_m * height_m)
    if person.sex == "female":
        grown = 1.11 + (1.0 - 1.11) / (1.0 + pow_(person.age_years / 7.1, -1.1))
        return grown * 9270.0 * person.mass_kg / (8780.0 + 244.0 * bmi)
    grown = 0.88 + (1.0 - 0.88) / (1.0 + pow_(person.age_years / 13.4, -12.7))
    return grown * 9270.0 * person.mass_kg / (6680.0 + 216.0 * bmi)


def schnider(person: Person) -> Compartments:
    """Propofol, 24 volunteers of 26 to 81 years and 44 to 123 kg."""
    lean_kg = lean_body_mass_kg(person)
    cl = 1.89 + 0.0456 * (person.mass_kg - 77.0) - 0.0681 * (lean_kg - 59.0) + 0.0264 * (person.height_cm - 177.0)
    return Compartments(
        v1_l=4.27,
        v2_l=larger(18.9 - 0.391 * (person.age_years - 53.0), 1.0),
        v3_l=238.0,
        cl_l_per_min=larger(cl, 0.1),
        q2_l_per_min=larger(1.29 - 0.024 * (person.age_years - 53.0), 0.1),
        q3_l_per_min=0.836,
        ke0_per_min=0.456,
    )


def schuttler(person: Person) -> Compartments:
    """Propofol, 270 people of 2 to 88 years and 12 to 100 kg; arterial samples, given as an infusion.

    The paper has other volumes for a bolus (a first compartment 2.6 times as large); one set serves both here.
    """
    size = person.mass_kg / 70.0
    old = larger(person.age_years - 60.0, 0.0)
    return Compartments(
        v1_l=9.3 * pow_(size, 0.71) * pow_(larger(person.age_years, 0.1) / 30.0, -0.39),
        v2_l=44.2 * pow_(size, 0.61),
        v3_l=266.0,
        cl_l_per_min=larger(1.44 * pow_(size, 0.75) - 0.045 * old, 0.1),
        q2_l_per_min=2.25 * pow_(size, 0.62),
        q3_l_per_min=0.92 * pow_(size, 0.55),
    )


@dataclass(frozen=True, slots=True)
class _Reference:
    age_years: float = 35.0
    sex: str = "male"
    mass_kg: float = 70.0
    height_cm: float = 170.0


def eleveld(person: Person) -> Compartments:
    """Propofol, 1033 people from 27 weeks to 88 years and 0.7 to 160 kg; arterial, no opioid beside it."""
    reference = _Reference()
    size = person.mass_kg / reference.mass_kg
    weeks = person.age_years * WEEKS_PER_YEAR + WEEKS_BEFORE_BIRTH
    reference_weeks = reference.age_years * WEEKS_PER_YEAR + WEEKS_BEFORE_BIRTH

    def first(mass_kg: float) -> float:
        return mass_kg / (mass_kg + 33.6)

    def cleared(at_weeks: float) -> float:
        return 1.0 / (1.0 + pow_(42.3 / at_weeks, 9.06))

    def exchanged(at_weeks: float) -> float:
        return at_weeks / (at_weeks + 68.3)

    v2 = 25.5 * size * exp(-0.0156 * (person.age_years - reference.age_years))
    v3 = 273.0 * fat_free_mass_kg(person) / fat_free_mass_kg(reference)
    grown = exchanged(weeks) / exchanged(reference_weeks)
    cl = (2.1 if person.sex == "female" else 1.79) * pow_(size, 0.75) * cleared(weeks) / cleared(reference_weeks)
    return Compartments(
        v1_l=6.28 * first(person.mass_kg) / first(reference.mass_kg),
        v2_l=v2,
        v3_l=v3,
        cl_l_per_min=cl,
        q2_l_per_min=1.75 * pow_(v2 / 25.5, 0.75) * (1.0 + 1.3 * (1.0 - exchanged(weeks))),
        q3_l_per_min=1.11 * pow_(v3 / 273.0, 0.75) * grown,
        ke0_per_min=0.146 * pow_(size, -0.25),
    )


MODELS: Final[dict[Covariates, Model]] = {
    "Schnider 1998": Model(
        schnider,
        True,
        "Schnider TW et al. The influence of method of administration and covariates on the pharmacokinetics of "
        "propofol in adult volunteers. Anesthesiology 88:1170-1182, 1998; ke0: Anesthesiology 90:1502-1516, 1999",
    ),
    "Schuttler 2000": Model(
        schuttler,
        False,
        "Schuttler J, Ihmsen H. Population pharmacokinetics of propofol: a multicenter study. Anesthesiology "
        "92:727-738, 2000",
    ),
    "Eleveld 2018": Model(
        eleveld,
        True,
        "Eleveld DJ et al. Pharmacokinetic-pharmacodynamic propofol model for broad application in anaesthesia and "
        "sedation. Br J Anaesth 120:942-959, 2018",
    ),
}
"""Every set that a drug file may name."""
