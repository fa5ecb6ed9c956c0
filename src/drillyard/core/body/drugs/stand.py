"""Where drugs are hung and pushed: doses and infusions into the slots of one patient, and levels out of them.

The body and the kinetics-only face (``alone.py``) both use it, each on its own arrays.
"""

from dataclasses import dataclass
from typing import Any, Final

from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.filling import fill_slot
from drillyard.core.formulary import Formulary, Person, dose_amount, rate_amount_per_min
from drillyard.core.quantities.faults import Fault, Refusal

S_PER_MIN: Final = 60.0


@dataclass(frozen=True, slots=True)
class DrugStand:
    """The slots of one patient.

    ``x``, ``p``: the arrays (lists, or numpy vectors), changed in place; the drug block begins at ``x0`` and ``p0``.
    ``held``: slot number -> "drug|route" or "drug|route|site", changed in place too.
    """

    x: Any
    p: Any
    x0: int
    p0: int
    held: dict[str, str]
    formulary: Formulary
    person: Person

    def give(self, drug: str, dose: float, unit: str, route: str, over_s: float = 0.0, site: str = "") -> None:
        """A dose at once or evenly over ``over_s``.

        Raises:
            Refusal: an unknown drug, a route that it does not have, a wrong unit, no free slot.
        """
        known = self.formulary.get(drug)
        given = dose_amount(known, dose, unit)
        first = self._x_of(known.name, route, site)
        left = float(self.x[first + slots.X_FEED_LEFT])
        rate_per_s = given / max(over_s, 1.0)
        if left > 0.0:  # what still runs in and the new dose go on together, at the quicker of the two rates
            rate_per_s = max(float(self.x[first + slots.X_FEED_RATE]), rate_per_s)
        self.x[first + slots.X_FEED_LEFT] = left + given
        self.x[first + slots.X_FEED_RATE] = rate_per_s

    def infuse(
        self, drug: str, rate: float, unit: str, route: str = "IV", site: str = "", strength_per_ml: float = 0.0
    ) -> None:
        """An infusion at ``rate`` from now on, in place of the one that ran by this route; doses go on beside it.

        Raises:
            Refusal: as ``give``; a unit that is no rate of this drug.
        """
        known = self.formulary.get(drug)
        per_min = rate_amount_per_min(known, rate, unit, self.person.mass_kg, strength_per_ml)
        self.x[self._x_of(known.name, route, site) + slots.X_INFUSION_RATE] = per_min / S_PER_MIN

    def stop_infusion(self, drug: str) -> bool:
        """No more of this drug by any route; false where none was running."""
        name = self.formulary.get(drug).name
        ran = False
        for number, label in self.held.items():
            place = self.x0 + int(number) * slots.X_PER_SLOT + slots.X_INFUSION_RATE
            if label.partition("|")[0] == name and float(self.x[place]) > 0.0:
                self.x[place] = 0.0
                ran = True
        return ran

    def level_per_l(self, drug: str, site: int = slots.SITE_PLASMA) -> float:
        """Level by all routes, in the drug's own unit a litre.

        Raises:
            Refusal: the formulary does not know the drug.
        """
        name = self.formulary.get(drug).name
        return sum(
            float(self.x[self.x0 + int(number) * slots.X_PER_SLOT + slots.X_SITE + site])
            for number, label in self.held.items()
            if label.partition("|")[0] == name
        )

    def refill(self) -> None:
        """Write the parameters of every slot held anew: after a snapshot, which holds none."""
        self.p[self.p0 : self.p0 + slots.P_SIZE] = [0.0] * slots.P_SIZE
        for number, label in self.held.items():
            self._fill(int(number), *label.split("|"))

    def _x_of(self, drug: str, route: str, site: str) -> int:
        """Where in ``x`` the slot of this drug by this route begins; filled on first use."""
        absorption = self.formulary.get(drug).absorption(route, site)
        label = "|".join((drug, route, *((absorption.site,) if absorption is not None and absorption.site else ())))
        for number, held in self.held.items():
            if held == label:
                return self.x0 + int(number) * slots.X_PER_SLOT
        free = len(self.held)
        if free >= slots.N_SLOTS:
            raise Refusal(
                Fault(
                    code="no free drug slot",
                    said=f"{drug} {route} would be drug-by-route number {slots.N_SLOTS + 1} of this patient",
                    allowed=f"at most {slots.N_SLOTS}",
                    remedy="log it as 'other'; its effect is not modelled",
                )
            )
        self._fill(free, *label.split("|"))
        self.held[str(free)] = label
        return self.x0 + free * slots.X_PER_SLOT

    def _fill(self, number: int, drug: str, route: str, site: str = "") -> None:
        fill_slot(self.p, self.p0, number, self.formulary.get(drug), route, site, self.person)
