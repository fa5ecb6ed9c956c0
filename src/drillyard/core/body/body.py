"""The body: one computed patient.

A pure function of patient, seed, problems and care: no clock, no file, no global chance.  Time moves only by
``advance``.  Everything that the patient is lies in one flat array, so a snapshot is a copy and a branch is cheap.
"""

import copy
import dataclasses
import difflib
import hashlib
import json
from functools import lru_cache
from typing import Self

import numpy as np

from drillyard.core.body.controls import CONTROLS
from drillyard.core.body.drugs.slots import SITE_MAIN, SITE_PLASMA
from drillyard.core.body.drugs.stand import DrugStand
from drillyard.core.body.interventions import act
from drillyard.core.body.outcomes import OUTCOMES, check_way, held_values
from drillyard.core.body.patient import Patient, parameters, start_values
from drillyard.core.body.problem_effects import end, start
from drillyard.core.care.actions import Action
from drillyard.core.care.problems import Problem
from drillyard.core.formulary import Formulary
from drillyard.core.numerics.kernel import Array, Kernel
from drillyard.core.quantities.faults import Fault, Refusal

STEPS_PER_S = 100
SETTLE_S = 240
"""Simulated seconds in which a new patient comes to rest: several times the slowest cardiovascular reflex."""
EFFECTORS = {
    "heart rate": ("hold_heart_rate", "per_min", 0.0, 250.0),
    "breathing rate": ("hold_respiratory_rate", "per_min", 0.0, 80.0),
    "breath size": ("hold_tidal_volume", "ml", 0.0, 2000.0),
    "vascular resistance": ("hold_resistance", "frac", 0.1, 5.0),
    "contractility": ("hold_contractility", "frac", 0.1, 4.0),
    "shunt": ("hold_shunt", "frac", 0.0, 0.9),
    "metabolic rate": ("hold_metabolic_rate", "frac", 0.2, 5.0),
}
"""Effectors that may be held: stem of the controls, unit, lowest and highest value."""


def _fresh_notes() -> dict[str, dict[str, str]]:
    return {"wounds": {}, "lines": {}, "runs": {}, "chest": {}, "taken": {}, "slots": {}}


class Body:
    """One patient.  Make it with ``Body.healthy``.

    ``notes`` is the small part of the patient that is not a number (which drug and route sits in which slot, which
    wound belongs to which problem, which lines are in); it is part of the snapshot.
    """

    def __init__(self, patient: Patient, seed: int, formulary: Formulary, kernel: Kernel) -> None:
        self.patient, self.seed, self.formulary, self.kernel = patient, seed, formulary, kernel
        layout = kernel.layout
        self._x_index = layout.x_index
        self._out_index = {name: i for i, name in enumerate(layout.out_names)}
        self._control_names = {name for name, *_ in CONTROLS}
        self.x: Array = np.zeros(layout.n_x)
        self.p: Array = np.zeros(layout.n_p)
        values = parameters(patient)
        for name, index in layout.p_index.items():
            self.p[index] = values[name]
        self.p[layout.p_index["seed"]] = float(seed)
        self._out: Array = np.zeros(len(layout.out_names))
        self._is_shown = False
        self._no_waves: Array = np.zeros((0, len(layout.wave_names)))
        self.notes = _fresh_notes()
        self._model_hash = _model_hash(kernel.text_hash, formulary)

    @classmethod
    def healthy(
        cls, patient: Patient, seed: int, formulary: Formulary, kernel: Kernel, settle_s: int = SETTLE_S
    ) -> Self:
        """A patient in health and at rest.

        The body settles for ``settle_s`` simulated seconds from its start values; its step counter then begins at 0.

        Args:
            patient: age, sex, mass and height.
            seed: whole number, 0 to 2**31 - 1; all chance in this patient follows from it.
        """
        body = cls(patient, seed, formulary, kernel)
        body.x[:] = _settled(patient, seed, kernel, settle_s)
        return body

    # ---- time -------------------------------------------------------------------------------------------------

    @property
    def step(self) -> int:
        """Steps of 10 ms since the patient was made."""
        return int(self.x[self._x_index["step_count"]])

    def advance(self, n_steps: int, waves: Array | None = None) -> None:
        """Move on by ``n_steps`` of 10 ms; ``waves`` (rows, waves) receives a row a step."""
        self.kernel.advance(self.x, self.p, n_steps, self._no_waves if waves is None else waves)
        self._is_shown = False

    @property
    def mass_kg(self) -> float:
        """Body mass."""
        return self.patient.mass_kg

    @property
    def is_finite(self) -> bool:
        """Whether every number of the body is a number.  False means: freeze, and offer the last good snapshot."""
        return bool(np.isfinite(self.x).all())

    # ---- reading ----------------------------------------------------------------------------------------------

    def _show(self) -> Array:
        if not self._is_shown:
            self.kernel.show(self.x, self.p, self._out)
            self._is_shown = True
        return self._out

    def read(self, name: str) -> float:
        """The present value of a signal (``core/quantities/signals.py``), state or control, by name.

        Raises:
            Refusal: no such name; near matches are offered.
        """
        index = self._out_index.get(name)
        if index is not None:
            return float(self._show()[index])
        index = self._x_index.get(name)
        if index is not None:
            return float(self.x[index])
        raise Refusal(_unknown(name, [*self._out_index, *self._x_index]))

    def read_all(self) -> dict[str, float]:
        """All signals by name."""
        return dict(zip(self._out_index, self._show().tolist(), strict=True))

    def drug_level_ng_per_ml(self, drug: str, site: str = "plasma") -> float:
        """Level of a drug by all its routes, in plasma or at its effect site.

        Raises:
            Refusal: the formulary does not know the drug.
        """
        return self.drug_level_per_l(drug, site) * 1000.0

    def drug_level_per_l(self, drug: str, site: str = "plasma") -> float:
        """As ``drug_level_ng_per_ml``, in the drug's own unit (mg for most, units, mmol) a litre."""
        return self._stand().level_per_l(drug, SITE_PLASMA if site == "plasma" else SITE_MAIN)

    # ---- problems, care, holds --------------------------------------------------------------------------------

    def control(self, name: str) -> float:
        """The value of a control (``core/body/controls.py``)."""
        return float(self.x[self._x_index[self._known_control(name)]])

    def set_control(self, name: str, value: float) -> None:
        """Write a control; it acts from the next step."""
        self.x[self._x_index[self._known_control(name)]] = value
        self._is_shown = False

    def open_vent(self, side: str) -> None:
        """A fresh needle or tube in the chest is open, whatever became of the one before."""
        self.x[self._x_index[f"vent_{side}_open_frac"]] = 1.0
        self._is_shown = False

    def _known_control(self, name: str) -> str:
        if name not in self._control_names:
            raise Refusal(_unknown(name, sorted(self._control_names)))
        return name

    def apply(self, action: Action) -> str:
        """Let an action of the crew act from the next step.

        Returns:
            A sentence that the operator should read ("no bleeding wound there"), or an empty text.

        Raises:
            Refusal: an unknown drug, a route that the drug does not have, no free drug slot.
        """
        return act(self, action)

    def set_problem(self, problem: Problem, size_frac: float = 1.0) -> None:
        """Start or change a problem; ``size_frac`` is the share of its full size reached by now."""
        start(self, problem, size_frac)

    def end_problem(self, problem: Problem) -> None:
        """Take a problem away; what it has done to the patient stays."""
        end(self, problem)

    def hold(self, what: str, value: float, by: str = "") -> None:
        """Hold an effector (``EFFECTORS``) or, by a named cause, an outcome (``OUTCOMES``); it moves there smoothly.

        Args:
            by: the cause that moves an outcome; empty for an effector, and where the outcome has but one cause.

        Raises:
            Refusal: neither an effector nor an outcome, outside its limits, or a cause that moves it the other way.
        """
        if what in OUTCOMES:
            outcome, cause = held_values(what, value, by)
            if self.control(f"{outcome.stem}_on") < 1.0:
                check_way(outcome, cause, value, self.read(outcome.signal))
            self.set_control(outcome.field, value)
            if cause.code:
                self.set_control(f"{outcome.stem}_cause_code", float(cause.code))
            self.set_control(f"{outcome.stem}_on", 1.0)
            return
        stem, unit, low, high = _effector(what)
        if not low <= value <= high:
            raise Refusal(
                Fault(
                    code="out of range",
                    said=f"{what} cannot be held at {value:g}",
                    allowed=f"{low:g} to {high:g}",
                    remedy="choose a value in this range",
                )
            )
        self.set_control(f"{stem}_{unit}", value)
        self.set_control(f"{stem}_on", 1.0)

    def release(self, what: str, left_frac: float = 0.0) -> None:
        """Let go of a held effector or outcome; the body moves back smoothly.

        Args:
            what: one of ``EFFECTORS`` or ``OUTCOMES``.
            left_frac: share of the hold that stays, for a release over longer than the body's own few seconds.  It
                never takes hold of what is not held, nor anew of what has been let go.
        """
        stem = OUTCOMES[what].stem if what in OUTCOMES else _effector(what)[0]
        self.set_control(f"{stem}_on", min(self.control(f"{stem}_on"), left_frac))

    def give(self, drug: str, dose: float, dose_unit: str, route: str, over_s: float = 0.0, site: str = "") -> None:
        """Put a dose of a drug into the patient by ``route``, at once or evenly over ``over_s``.

        Raises:
            Refusal: an unknown drug, a route that it does not have, a wrong unit, no free slot.
        """
        self._stand().give(drug, dose, dose_unit, route, over_s, site)
        self._is_shown = False

    def infuse(
        self, drug: str, rate: float, rate_unit: str, route: str, site: str = "", strength_per_ml: float = 0.0
    ) -> None:
        """Run a drug in at ``rate`` until it is changed or stopped.

        Raises:
            Refusal: as ``give``; a unit that is no rate of this drug.
        """
        self._stand().infuse(drug, rate, rate_unit, route, site, strength_per_ml)
        self._is_shown = False

    def stop_infusion(self, drug: str) -> bool:
        """End the infusion of a drug; false where none was running.

        Raises:
            Refusal: an unknown drug.
        """
        self._is_shown = False
        return self._stand().stop_infusion(drug)

    def _stand(self) -> DrugStand:
        layout = self.kernel.layout
        x0, p0 = layout.array_start("drugs_x"), layout.array_start("drugs_p")
        return DrugStand(self.x, self.p, x0, p0, self.notes["slots"], self.formulary, self.patient)

    # ---- snapshots --------------------------------------------------------------------------------------------

    def snapshot(self) -> bytes:
        """The whole patient in at most 8 kB; ``restore`` gives it back to the bit.

        Most controls and drug slots are zero: which numbers are not is kept as a bit each, then those numbers.
        """
        head = {
            "patient": dataclasses.asdict(self.patient),
            "seed": self.seed,
            "model": self.model_hash(),
            "notes": self.notes,
        }
        text = json.dumps(head, separators=(",", ":"), sort_keys=True).encode()
        there = self.x.view(np.uint64) != 0
        numbers: bytes = np.packbits(there).tobytes() + self.x[there].tobytes()
        return len(text).to_bytes(4, "little") + text + numbers

    def restore(self, snapshot: bytes) -> None:
        """Become the patient of ``snapshot``.

        Raises:
            Refusal: it was taken of another patient or by another version of the body.
        """
        n = int.from_bytes(snapshot[:4], "little")
        head = json.loads(snapshot[4 : 4 + n])
        if head["model"] != self.model_hash():
            raise Refusal(
                Fault(
                    code="another body",
                    said=f"this snapshot was taken by body version {head['model']}, this is {self.model_hash()}",
                    remedy="replay the run's log; a live run never changes its body silently",
                )
            )
        if head["patient"] != dataclasses.asdict(self.patient) or head["seed"] != self.seed:
            raise Refusal(Fault(code="another patient", said="this snapshot is of another patient or seed"))
        self.notes = head["notes"]
        n_bytes = (len(self.x) + 7) // 8
        bits = np.frombuffer(snapshot[4 + n : 4 + n + n_bytes], dtype=np.uint8)
        self.x[:] = 0.0
        there = np.unpackbits(bits, count=len(self.x)).astype(bool)
        self.x[there] = np.frombuffer(snapshot[4 + n + n_bytes :], dtype=np.float64)
        self._stand().refill()
        self._is_shown = False

    def copy(self) -> Self:
        """An independent patient in the same state: for look-ahead and what-if."""
        twin = copy.copy(self)
        twin.x, twin.p, twin._out = self.x.copy(), self.p.copy(), self._out.copy()  # noqa: SLF001 - same class
        twin.notes = {key: dict(value) for key, value in self.notes.items()}
        return twin

    def state_hash(self) -> str:
        """A hash of the whole state: equal hashes mean the same patient to the bit."""
        return hashlib.sha256(self.snapshot()).hexdigest()[:16]

    def model_hash(self) -> str:
        """The name of this body version: its equations, patient parameters and drugs."""
        return self._model_hash


def _model_hash(text_hash: str, formulary: Formulary) -> str:
    return _hash_of(text_hash, formulary.digest())


@lru_cache(maxsize=8)
def _hash_of(text_hash: str, formulary_digest: str) -> str:
    reference = parameters(Patient(age_years=40.0, sex="male", mass_kg=70.0, height_cm=175.0))
    small = parameters(Patient(age_years=25.0, sex="female", mass_kg=55.0, height_cm=160.0))
    text = json.dumps([text_hash, reference, small, formulary_digest], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


@lru_cache(maxsize=16)
def _settled(patient: Patient, seed: int, kernel: Kernel, settle_s: int) -> Array:
    """State of a patient at rest (read only); settling takes a while, so it is kept."""
    layout = kernel.layout
    x = np.array([*layout.x_start, *([0.0] * (layout.n_x - len(layout.x_names)))])
    for name, value in start_values(patient).items():
        x[layout.x_index[name]] = value
    x[layout.x_index["is_settling"]] = 1.0
    p = np.zeros(layout.n_p)
    values = parameters(patient)
    for name, index in layout.p_index.items():
        p[index] = float(seed) if name == "seed" else values[name]
    kernel.advance(x, p, settle_s * STEPS_PER_S, np.zeros((0, len(layout.wave_names))))
    x[layout.x_index["step_count"]] = 0.0
    x[layout.x_index["is_settling"]] = 0.0
    x.setflags(write=False)
    return x


def _effector(what: str) -> tuple[str, str, float, float]:
    if what not in EFFECTORS:
        raise Refusal(_unknown(what, [*EFFECTORS, *OUTCOMES]))
    return EFFECTORS[what]


def _unknown(name: str, known: list[str]) -> Fault:
    return Fault(
        code="unknown name",
        said=f"the body has nothing called '{name}'",
        near=tuple(difflib.get_close_matches(name, known, n=3)),
        remedy="docs/signals.md lists all names",
    )
