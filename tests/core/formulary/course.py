"""A drug's course by the matrix exponential of scipy: the file format's meaning written a second time, for tests.

Nothing of the slots is used: where the slots and this agree, both read the file alike.
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import expm

from drillyard.core.formulary import Drug, Effect, UsualDose, compartments

UNIT = {"mg": 1.0, "ug": 0.001, "g": 1000.0, "units": 1.0, "mmol": 1.0, "mL": 1.0, "L": 1000.0}
SECONDS = {"min": 60.0, "h": 3600.0}
AT_ONCE = 60.0
"""Per minute: a stage that is not there."""
WAIT_1, DEPOT_1, WAIT_2, DEPOT_2, VEIN = range(5)
VEIN_STAGES = 6
CENTRAL, SECOND, THIRD, MAIN = range(VEIN + VEIN_STAGES, VEIN + VEIN_STAGES + 4)


@dataclass(frozen=True)
class Person:
    mass_kg: float = 70.0
    age_years: float = 40.0
    sex: str = "male"
    height_cm: float = 170.0


ADULT = Person()
CHILD = Person(mass_kg=20.0, age_years=6.0, height_cm=115.0)


def person_of(dose: UsualDose) -> Person:
    """A child where the dose is one for children."""
    return CHILD if any(word in dose.what for word in ("child", "infant", "13 to 40")) else ADULT


def amount_of(dose: UsualDose, end: str, person: Person) -> float:
    """One end of a published range in the drug's own unit (per minute for an infusion)."""
    amount = getattr(dose, end) * (person.mass_kg if dose.by_mass else 1.0)
    if dose.high_limit is not None:
        amount = min(amount, dose.high_limit)
    return amount * UNIT[dose.unit] * (60.0 / SECONDS[dose.per_time] if dose.per_time else 1.0)


class Course:
    """Levels (per litre) of ``amount`` given over ``over_s`` by ``route``, every ``step_s`` up to ``minutes``."""

    def __init__(
        self, drug: Drug, amount: float, route: str, minutes: float, over_s: float = 1.0, person: Person = ADULT,
        step_s: float = 5.0, site: str = "",
    ) -> None:  # fmt: skip
        assert drug.kinetics is not None
        self.drug, self.route = drug, route
        self.sized = compartments(drug.kinetics, person)
        self.own = sorted({e.ke0_per_min.value for e in drug.effects if e.site == "effect" and e.ke0_per_min})
        self.step_min = step_s / 60.0
        steps = int(minutes * 60.0 / step_s)
        rates, entry = self._rates(site)
        size = len(entry)
        over_s = max(over_s, step_s)
        fed = np.zeros((size + 1, size + 1))
        fed[:size, :size], fed[:size, size] = rates, entry * amount * 60.0 / over_s
        during, after = expm(fed * self.step_min)[:size], expm(rates * self.step_min)
        amounts = np.zeros((steps, size))
        now = np.zeros(size)
        for step in range(steps):
            is_fed = (step + 0.5) * step_s < over_s
            now = during[:, :size] @ now + during[:, size] if is_fed else after @ now
            amounts[step] = now
        self.amounts = amounts
        self.times_min = (np.arange(steps) + 1) * self.step_min
        self.plasma = amounts[:, CENTRAL] / self.sized.v1_l
        self.main = amounts[:, MAIN] if self.sized.ke0_per_min else self.plasma

    def _rates(self, site: str) -> tuple[np.ndarray, np.ndarray]:
        sized, kinetics = self.sized, self.drug.kinetics
        assert kinetics is not None
        size = MAIN + 1 + len(self.own)
        rates, entry = np.zeros((size, size)), np.zeros(size)

        def flows(source: int, target: int, rate: float) -> None:
            rates[source, source] -= rate
            rates[target, source] += rate

        if self.route in ("IV", "IO"):
            entry[VEIN] = 1.0
        else:
            absorption = self.drug.absorption(self.route, site)
            assert absorption is not None
            later = absorption.later
            share = later.share_frac.value if later else 0.0
            taken = absorption.bioavailability_frac.value
            ways = [(WAIT_1, DEPOT_1, taken * (1.0 - share), absorption.lag_s, absorption.ka_per_min)]
            if later:
                ways.append((WAIT_2, DEPOT_2, taken * share, later.lag_s, later.ka_per_min))
            for wait, depot, part, lag, ka in ways:
                entry[wait] = part
                flows(wait, depot, 60.0 / lag.value if lag is not None and lag.value > 0.0 else AT_ONCE)
                flows(depot, CENTRAL, ka.value)
        for stage in range(VEIN, VEIN + VEIN_STAGES):
            flows(stage, stage + 1, VEIN_STAGES * 60.0 / kinetics.arm_to_heart_s.value)
        rates[CENTRAL, CENTRAL] -= sized.cl_l_per_min / sized.v1_l
        for side, volume, exchange in (
            (SECOND, sized.v2_l, sized.q2_l_per_min),
            (THIRD, sized.v3_l, sized.q3_l_per_min),
        ):
            if volume > 0.0:
                flows(CENTRAL, side, exchange / sized.v1_l)
                flows(side, CENTRAL, exchange / volume)
        # effect sites hold levels, not amounts, and take nothing away
        for index, ke0 in enumerate((sized.ke0_per_min, *self.own)):
            rates[MAIN + index, CENTRAL] += ke0 / sized.v1_l
            rates[MAIN + index, MAIN + index] -= ke0
        return rates, entry

    def level(self, effect: Effect) -> np.ndarray:
        """What one effect is measured by: a level in plasma or at its site, or what lies in the airway."""
        if effect.site == "plasma":
            return self.plasma
        if effect.site == "depot":
            lying = self.amounts[:, WAIT_1] + self.amounts[:, DEPOT_1]
            return self._delayed(lying, effect.ke0_per_min.value) if effect.ke0_per_min else lying
        if effect.ke0_per_min is None:
            return self.main
        return self.amounts[:, MAIN + 1 + self.own.index(effect.ke0_per_min.value)]

    def share(self, receptor: str) -> np.ndarray:
        """Share of the full effect of an agonist, alone at its receptor; without what ``stays`` adds."""
        effect = next(e for e in self.drug.effects if e.receptor == receptor and self._holds(e))
        half = effect.half_amount or effect.half_per_l
        assert half is not None and effect.emax_frac is not None and effect.gamma is not None
        ratio = (np.maximum(self.level(effect), 0.0) / half.value) ** effect.gamma.value
        share = effect.emax_frac.value * ratio / (1.0 + ratio)
        return self._delayed(share, 60.0 / effect.turnover_s.value) if effect.turnover_s else share

    def _holds(self, effect: Effect) -> bool:
        return not effect.routes or self.route in effect.routes

    def agonists(self) -> list[Effect]:
        """The agonist effects that this route has."""
        return [e for e in self.drug.effects if e.kind == "agonist" and self._holds(e)]

    def _delayed(self, course: np.ndarray, rate_per_min: float) -> np.ndarray:
        kept = float(np.exp(-rate_per_min * self.step_min))
        found, now, before = np.zeros_like(course), 0.0, 0.0
        for index, value in enumerate(course):
            now = now * kept + 0.5 * (before + value) * (1.0 - kept)
            before = value
            found[index] = now
        return found

    def at(self, course: np.ndarray, minutes: float) -> float:
        """The value of a course at a time."""
        return float(np.interp(minutes, self.times_min, course))

    def peak_min(self, course: np.ndarray) -> float:
        """The time of the highest value."""
        return float(self.times_min[int(np.argmax(course))])

    def first_min(self, course: np.ndarray, over: float) -> float:
        """The first time above a value; infinite if it is never reached."""
        above = np.flatnonzero(course >= over)
        return float(self.times_min[above[0]]) if len(above) else float("inf")

    def last_min(self, course: np.ndarray, over: float) -> float:
        """The last time above a value; 0 if it is never reached."""
        above = np.flatnonzero(course >= over)
        return float(self.times_min[above[-1]]) if len(above) else 0.0


def of(drug: Drug, amount: float, route: str, minutes: float, over_s: float = 1.0, mass_kg: float = 70.0) -> Course:
    """A course in a 40-year-old man."""
    step_s = 1.0 if minutes <= 20.0 else 5.0 if minutes <= 240.0 else 60.0
    return Course(drug, amount, route, minutes, over_s, Person(mass_kg=mass_kg), step_s)


def infused(drug: Drug, per_min: float, minutes: float, mass_kg: float = 70.0) -> Course:
    """A steady infusion into a vein for the whole time."""
    return of(drug, per_min * minutes, "IV", minutes, minutes * 60.0, mass_kg)
