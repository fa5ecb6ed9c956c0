"""One patient's drug slots, driven by hand."""

from dataclasses import dataclass, field

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.body.drugs import slot_parameters, slots
from drillyard.core.formulary import Formulary


@dataclass
class Syringe:
    """Slots on plain lists; levels in ng/mL."""

    formulary: Formulary
    mass_kg: float = 70.0
    x: list[float] = field(default_factory=lambda: [0.0] * slots.X_SIZE)
    p: list[float] = field(default_factory=lambda: [0.0] * slots.P_SIZE)
    held: list[tuple[str, str]] = field(default_factory=list)

    def give(self, drug: str, dose_mg: float, route: str, over_s: float = 1.0) -> None:
        if (drug, route) not in self.held:
            self.held.append((drug, route))
            first = slots.P_PER_SLOT * (len(self.held) - 1)
            self.p[first : first + slots.P_PER_SLOT] = slot_parameters(self.formulary.get(drug), route, self.mass_kg)
        first = slots.X_PER_SLOT * self.held.index((drug, route))
        self.x[first + slots.X_FEED_LEFT] += dose_mg
        self.x[first + slots.X_FEED_RATE] = dose_mg / over_s

    def run(self, seconds: int, flow: float = 1.0) -> list[tuple[float, float]]:
        """Level in plasma and at the effect site of the first slot after each second."""
        course = []
        for _ in range(seconds):
            slots.advance_drug_slots(self.x, self.p, 0, 0, flow)
            course.append((self.plasma(), 1000.0 * self.x[slots.X_EFFECT]))
        return course

    def plasma(self, slot: int = 0) -> float:
        first = slots.X_PER_SLOT * slot + slots.X_MODE
        return 1000.0 * sum(self.x[first : first + 3]) * self.p[slots.P_PER_SLOT * slot + slots.P_PER_LITRE]

    def share(self, receptor: str) -> float:
        return self.x[slots.X_RECEPTORS + slots.RECEPTORS.index(receptor)]


@pytest.fixture(scope="session")
def formulary() -> Formulary:
    return packaged_formulary()


@pytest.fixture
def syringe(formulary: Formulary) -> Syringe:
    return Syringe(formulary)
