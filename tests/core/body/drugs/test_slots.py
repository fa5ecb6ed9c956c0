"""The slots against an independent solution of the same equations, and their own rules."""

import types
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from drillyard.adapters.kernel import drugs_only
from drillyard.core.body import drugs
from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.alone import DrugsAlone
from drillyard.core.formulary.vocabulary import RECEPTOR_ORDER
from drillyard.core.numerics.assembler import Model
from drillyard.core.numerics.kernel import python_kernel
from drillyard.core.numerics.names import State
from drillyard.core.quantities.faults import Refusal

from .conftest import Someone, Syringe

EFFECT = slots.X_SITE + slots.SITE_MAIN


def independent(drug, route: str, mass_kg: float, dose_mg: float, over_s: float, end_s: int, flow: float = 1.0):
    """Plasma and effect-site level (ng/mL) each second, by an ordinary solver on all compartments at once."""
    k = drug.kinetics

    def value(number):
        return number.value if number is not None else 0.0

    ratio = mass_kg / k.reference_mass_kg.value
    volume, clearance = {"none": (1, 1), "per kg": (ratio, ratio), "allometric": (ratio, ratio**0.75)}[k.scaling]
    v1, v2, v3 = (value(v) * volume for v in (k.v1_l, k.v2_l, k.v3_l))
    cl, q2, q3 = (value(c) * clearance / 60.0 * flow for c in (k.cl_l_per_min, k.q2_l_per_min, k.q3_l_per_min))
    muscle = flow * flow if flow < 1.0 else flow
    ke0 = value(k.ke0_per_min) / 60.0 * min(1.0, 2.0 * flow)
    chain = 6.0 / k.arm_to_heart_s.value * flow
    a = drug.absorption(route)
    share = a.later.share_frac.value if a and a.later else 0.0
    taken = a.bioavailability_frac.value if a else 0.0
    lag_1 = muscle / a.lag_s.value if a and a.lag_s else 1000.0
    ka_1 = a.ka_per_min.value / 60.0 * muscle if a else 0.0
    lag_2 = muscle / a.later.lag_s.value if a and a.later else 1000.0
    ka_2 = a.later.ka_per_min.value / 60.0 * muscle if a and a.later else 0.0

    def rates(t, y):
        wait_1, depot_1, wait_2, depot_2, *stages, a1, a2, a3, effect = y
        feed = dose_mg / over_s if t < over_s else 0.0
        vein = feed if a is None else 0.0
        arrived = chain * stages[-1] + ka_1 * depot_1 + ka_2 * depot_2
        d2 = q2 * (a1 / v1 - a2 / v2) if v2 else 0.0
        d3 = q3 * (a1 / v1 - a3 / v3) if v3 else 0.0
        return [
            feed * taken * (1 - share) - lag_1 * wait_1, lag_1 * wait_1 - ka_1 * depot_1,
            feed * taken * share - lag_2 * wait_2, lag_2 * wait_2 - ka_2 * depot_2,
            vein - chain * stages[0], *(chain * (before - here) for before, here in pairwise(stages)),
            arrived - cl * a1 / v1 - d2 - d3, d2, d3, ke0 * (a1 / v1 - effect),
        ]  # fmt: skip

    fed = solve_ivp(rates, (0, over_s), [0.0] * 14, method="BDF", rtol=1e-9, atol=1e-13)
    after = solve_ivp(
        lambda t, y: rates(t + over_s, y), (0, end_s - over_s), fed.y[:, -1], method="BDF", rtol=1e-8, atol=1e-13,
        t_eval=np.arange(0, end_s - over_s + 0.5),
    )  # fmt: skip
    return 1000.0 * after.y[10] / v1, 1000.0 * after.y[13]


CASES = [
    ("fentanyl", "IV", 0.2, 90.0, 1.0), ("fentanyl", "IN", 0.1, 1.0, 1.0), ("naloxone", "IV", 0.4, 1.0, 1.0),
    ("naloxone", "IM", 0.8, 1.0, 1.0), ("tranexamic acid", "IV", 1000.0, 600.0, 1.0),
    ("tranexamic acid", "IM", 1000.0, 1.0, 1.0), ("epinephrine", "IV", 1.0, 1.0, 1.0),
    ("epinephrine", "IM", 0.3, 1.0, 1.0), ("fentanyl", "IV", 0.2, 90.0, 0.4), ("epinephrine", "IM", 0.3, 1.0, 0.4),
]  # fmt: skip


@pytest.mark.parametrize(("drug", "route", "dose_mg", "over_s", "flow"), CASES)
def test_course_equals_an_independent_solution(formulary, drug, route, dose_mg, over_s, flow):
    mass_kg, end_s = 82.0, 3600
    syringe = Syringe(formulary, mass_kg=mass_kg)
    syringe.give(drug, dose_mg, route, over_s)
    course = np.array(syringe.run(end_s, flow))
    plasma, effect = independent(formulary.get(drug), route, mass_kg, dose_mg, over_s, end_s, flow)
    ours = course[int(over_s) - 1 :]
    # a stage hands over what it lost evenly within the second: that costs up to 2 % of the peak while a bolus rushes by
    assert np.abs(ours[:, 0] - plasma).max() < 0.02 * plasma.max()
    late = slice(240, None)
    assert ours[late, 0] == pytest.approx(plasma[late], rel=2e-3)
    if formulary.get(drug).kinetics.ke0_per_min is not None:
        assert np.abs(ours[:, 1] - effect).max() < 0.005 * effect.max()


@pytest.mark.parametrize(
    ("drug", "route"), [("fentanyl", "IV"), ("naloxone", "IM"), ("tranexamic acid", "IM"), ("epinephrine", "IM")]
)
@pytest.mark.parametrize("flow", [1.0, 0.5])
def test_no_drug_is_lost_or_made(formulary, syringe, drug, route, flow):
    """What was cleared, what waits and what is still in the body add up to what can be absorbed."""
    syringe.give(drug, 10.0, route)
    area = sum(level for level, _ in syringe.run(2400, flow)) / 1000.0 / 60.0
    values = formulary.get(drug)
    mass = syringe.mass_kg / values.kinetics.reference_mass_kg.value
    scale = mass if values.kinetics.scaling == "per kg" else mass**0.75
    clearance = values.kinetics.cl_l_per_min.value * scale
    cleared = clearance * flow * area
    waiting = sum(syringe.x[slots.X_WAIT_1 : slots.X_CHAIN + slots.N_CHAIN])
    # a mode that now holds z will still send clearance / volume * z / rate out of the body
    rates = [syringe.p[slots.P_MODE_RATE + i] * 60.0 for i in range(3)]
    to_come = sum(syringe.x[slots.X_MODE + i] / rate for i, rate in enumerate(rates) if rate)
    inside = clearance * syringe.p[slots.P_PER_LITRE] * to_come
    taken = 1.0 if route == "IV" else values.absorption(route).bioavailability_frac.value
    assert cleared + waiting + inside == pytest.approx(10.0 * taken, rel=5e-3)


def test_two_doses_add_up(formulary):
    one, two = Syringe(formulary), Syringe(formulary)
    one.give("fentanyl", 0.1, "IV")
    two.give("fentanyl", 0.1, "IV")
    one.run(60)
    two.run(60)
    two.give("fentanyl", 0.05, "IV")
    late = Syringe(formulary)
    late.give("fentanyl", 0.05, "IV")
    assert two.run(300)[-1][0] == pytest.approx(one.run(300)[-1][0] + late.run(300)[-1][0], rel=1e-12)


def test_routes_of_one_drug_act_together(formulary):
    both, vein, muscle = Syringe(formulary), Syringe(formulary), Syringe(formulary)
    both.give("epinephrine", 0.05, "IV")
    both.give("epinephrine", 0.3, "IM")
    vein.give("epinephrine", 0.05, "IV")
    muscle.give("epinephrine", 0.3, "IM")
    for s in (both, vein, muscle):
        s.run(120)
    level = vein.plasma() + muscle.plasma()
    assert both.share("beta1") == pytest.approx(level / (level + 1.8), rel=1e-9)


def test_low_output_delays_and_no_output_stops(formulary):
    def peak_s(flow: float) -> int:
        syringe = Syringe(formulary)
        syringe.give("epinephrine", 1.0, "IV")
        levels = [level for level, _ in syringe.run(900, flow)]
        return levels.index(max(levels))

    assert peak_s(0.25) > 3 * peak_s(1.0)
    stopped = Syringe(formulary)
    stopped.give("epinephrine", 1.0, "IV")
    stopped.run(600, 0.0)
    assert stopped.plasma() == 0.0
    assert stopped.x[slots.X_CHAIN] == pytest.approx(1.0)


def test_muscle_gives_up_its_drug_more_slowly_in_shock(formulary):
    def peak(flow: float) -> float:
        syringe = Syringe(formulary)
        syringe.give("epinephrine", 0.5, "IM")
        return [level for level, _ in syringe.run(480, flow)][-1]

    assert peak(0.5) < 0.6 * peak(1.0)


def test_at_rest_nothing_acts(syringe):
    syringe.run(10)
    assert syringe.x == [0.0] * slots.X_SIZE


def test_what_is_left_ends_in_true_zero(syringe):
    syringe.give("epinephrine", 1e-24, "IV")
    syringe.run(4_000)
    assert syringe.x == [0.0] * slots.X_SIZE


def test_antagonist_shifts_the_agonist_by_one_plus_level_over_ki(formulary):
    """Gaddum 1937, Schild 1947: the agonist level for the same effect rises by 1 + [B]/Ki."""

    def share(fentanyl: float, naloxone: float) -> float:
        syringe = Syringe(formulary)
        syringe.give("fentanyl", 1.0, "IV")
        syringe.give("naloxone", 1.0, "IV")
        for slot, level in ((0, fentanyl), (1, naloxone)):
            first = slots.X_PER_SLOT * slot
            syringe.x[first + slots.X_FEED_LEFT] = 0.0
            syringe.x[first + EFFECT] = level / 1000.0
        syringe.run(1, flow=0.0)
        return syringe.share("mu_opioid")

    assert share(1.5, 0.0) == pytest.approx(0.5, rel=1e-9)
    for naloxone in (0.33, 3.3, 33.0):
        shifted = 1.5 * (1.0 + naloxone / 0.33)
        assert share(shifted, naloxone) == pytest.approx(0.5, rel=1e-9)
        assert share(2.0 * shifted, naloxone) == pytest.approx(share(3.0, 0.0), rel=1e-9)


def test_an_agonist_driven_out_leaves_at_its_own_rate(syringe):
    """Fentanyl file: a mean stay of 90 s on its receptor."""
    syringe.give("fentanyl", 1.0, "IV")
    syringe.give("naloxone", 100.0, "IV")
    syringe.x[EFFECT], syringe.x[slots.X_FEED_LEFT] = 0.006, 0.0
    syringe.x[slots.X_PER_SLOT + slots.X_FEED_LEFT] = 0.0
    syringe.run(1, flow=0.0)
    before = syringe.share("mu_opioid")
    assert before > 0.9
    syringe.x[slots.X_PER_SLOT + EFFECT] = 10.0
    syringe.run(90, flow=0.0)
    assert syringe.share("mu_opioid") == pytest.approx(before / np.e, rel=1e-3)


def test_slots_hold_sixteen_drug_by_route(formulary):
    assert slots.X_SIZE * 8 < 3100  # of a snapshot of 8 kB, before zeros are left out
    full = Syringe(formulary)
    full.held = {str(i): f"nothing|{i}" for i in range(slots.N_SLOTS - 1)}
    full.give("fentanyl", 0.1, "IV")
    full.run(300)
    assert full.plasma(slots.N_SLOTS - 1) > 1.0
    with pytest.raises(Refusal, match="number 17 of this patient; allowed: at most 16"):
        full.give("fentanyl", 0.1, "IN")


def clockwork(turns):
    d_turns_per_s = 1.0 + 0.0 * turns
    return d_turns_per_s


def small_model():
    """The drugs with the least that the assembler asks for around them."""
    names = (State("cardiac_output_frac", 0.7, "1", "flow", rate="slow"), State("turns", 0.0, "1", "", rate="fast"))
    heart = types.SimpleNamespace(NAMES=names, PARTS={"FAST": (clockwork,)})
    return Model((heart, drugs), ("mu_opioid_occupancy_frac",), ("turns",), (State("step_count", 0.0, "1", "steps"),))


def test_generated_text_does_the_same_to_the_bit(formulary):
    """The assembler takes the array part over as it stands."""
    model = small_model()
    kernel = python_kernel(model)
    by_hand = Syringe(formulary)
    x, p = np.zeros(model.layout.n_x), np.zeros(model.layout.n_p)
    x[model.layout.x_index["cardiac_output_frac"]] = 0.7
    for syringe_route, dose in (("IV", 0.2), ("IN", 0.1)):
        by_hand.give("fentanyl", dose, syringe_route)
    x[model.layout.array_start("drugs_x") :][: slots.X_SIZE] = by_hand.x
    p[model.layout.array_start("drugs_p") :][: slots.P_SIZE] = by_hand.p
    kernel.advance(x, p, 6000, np.zeros((0, 1)))
    by_hand.run(60, flow=0.7)
    assert x[model.layout.array_start("drugs_x") :][: slots.X_SIZE].tolist() == by_hand.x
    assert x[model.layout.x_index["mu_opioid_occupancy_frac"]] == by_hand.share("mu_opioid") > 0.01


@pytest.mark.parametrize("form", ["shipped", "numba"])
def test_compiled_drugs_alone_do_the_same_to_the_bit(formulary, form, monkeypatch):
    """C, where there is a compiler, and numba against plain Python: relaxant with two sites, reversal, inhaled drug."""
    if form == "numba":
        monkeypatch.setattr(drugs_only, "c_kernel", lambda model: None)
    drugs_only.drugs_kernel.cache_clear()
    try:
        person = Someone(age_years=61.0, mass_kg=58.5)
        ours, compiled = DrugsAlone(formulary, person), drugs_only.compiled_drugs(formulary, person)
        for alone in (ours, compiled):
            alone.give("rocuronium", 35.0, "mg", "IV")
            alone.give("midazolam", 5.0, "mg", "IM")
            alone.run(200, 0.8)
            alone.give("flumazenil", 0.2, "mg", "IV")
            alone.give("salbutamol", 2.5, "mg", "nebulised", over_s=600.0)
            alone.infuse("norepinephrine", 8.0, "ug/min")
            alone.run(400, 0.6)
        assert compiled.x[compiled.x0 :][: slots.X_SIZE].tolist() == ours.x
        assert ours.share("hand_block") > 0.5 and ours.share("airway_beta2") > 0.0
    finally:
        drugs_only.drugs_kernel.cache_clear()


DOSES = st.tuples(
    st.sampled_from([("fentanyl", "IV"), ("fentanyl", "IN"), ("naloxone", "IM"), ("epinephrine", "IM"),
                     ("epinephrine", "IV"), ("tranexamic acid", "IV")]),
    st.floats(1e-6, 1e5), st.sampled_from([1.0, 60.0, 600.0]), st.integers(0, 40), st.floats(0.0, 5.0),
)  # fmt: skip


@given(course=st.lists(DOSES, min_size=1, max_size=5))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_doses_and_any_flow_stay_finite_and_within_bounds(formulary, course):
    syringe = Syringe(formulary)
    for (drug, route), dose_mg, over_s, seconds, flow in course:
        syringe.give(drug, dose_mg, route, over_s)
        syringe.run(seconds, flow)
        assert all(np.isfinite(value) and value >= 0.0 for value in syringe.x)
        assert all(syringe.share(receptor) <= 1.0 for receptor in RECEPTOR_ORDER)
