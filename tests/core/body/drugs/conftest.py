"""One patient's drug slots, driven by hand."""

from dataclasses import dataclass, field

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.stand import DrugStand
from drillyard.core.formulary import Formulary
from drillyard.core.formulary.vocabulary import RECEPTOR_ORDER, SUBSTANCE_ORDER


@dataclass(frozen=True)
class Someone:
    age_years: float = 40.0
    sex: str = "male"
    mass_kg: float = 70.0
    height_cm: float = 170.0


@dataclass
class Syringe:
    """Slots on plain lists; levels in ng/mL (thousandths of the drug's own unit a litre)."""

    formulary: Formulary
    mass_kg: float = 70.0
    x: list[float] = field(default_factory=lambda: [0.0] * slots.X_SIZE)
    p: list[float] = field(default_factory=lambda: [0.0] * slots.P_SIZE)
    held: dict[str, str] = field(default_factory=dict)

    @property
    def stand(self) -> DrugStand:
        return DrugStand(self.x, self.p, 0, 0, self.held, self.formulary, Someone(mass_kg=self.mass_kg))

    def give(self, drug: str, amount: float, route: str, over_s: float = 1.0, site: str = "") -> None:
        self.stand.give(drug, amount, self.formulary.get(drug).amount_unit, route, over_s, site)

    def run(self, seconds: int, flow: float = 1.0) -> list[tuple[float, float]]:
        """Level in plasma and at the main effect site of the first slot after each second."""
        course = []
        for _ in range(seconds):
            slots.advance_drug_slots(self.x, self.p, 0, 0, flow)
            course.append((self.plasma(), 1000.0 * self.x[slots.X_SITE + slots.SITE_MAIN]))
        return course

    def plasma(self, slot: int = 0) -> float:
        return 1000.0 * self.x[slots.X_PER_SLOT * slot + slots.X_SITE + slots.SITE_PLASMA]

    def share(self, receptor: str) -> float:
        return self.x[slots.X_RECEPTORS + RECEPTOR_ORDER.index(receptor)]

    def arriving(self, substance: str) -> float:
        return self.x[slots.X_SUBSTANCES + SUBSTANCE_ORDER.index(substance)]


@pytest.fixture(scope="session")
def formulary() -> Formulary:
    return packaged_formulary()


@pytest.fixture
def syringe(formulary: Formulary) -> Syringe:
    return Syringe(formulary)
