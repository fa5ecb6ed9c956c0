"""The heart's own oxygen: supply, demand and energy left, in three parts of the left wall and in the right one.

In:       aortic and right atrial pressure, lung artery pressure, oxygen content, work of the heart, rhythm, narrowed or
          shut coronary arteries.
Out:      energy (1 full, 0 none) of each part, from it the share of the wall that works and the automaticity of the
          node; ischaemia by part, the ST vector, proneness to arrhythmia, pain.
Assumes:  vessels of the heart can widen about fourfold (flow reserve, common textbook value) and feed it from aortic
          minus right atrial pressure; muscle with less oxygen than it needs runs down within a minute or two, and
          comes back within one or two once it has more.  The anterior, inferior and lateral parts hold 45, 30 and 25 %
          of the left wall (order of Kalbfleisch and Hort 1977, Am Heart J 94:183, from memory).  An ST vector points
          to a wall that is without blood through its whole depth, and away from the left chest where only its inner
          layer lacks oxygen.  Without blood muscle dies over hours (wavefront: Reimer and Jennings 1979, Lab Invest
          40:633, from memory).
Left out: collaterals that grow, inner and outer layer as states, spasm, aortic and mitral lesions (a papillary muscle
          that tears, a hole in the septum), healing.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

ANTERIOR: Final = 0.45
INFERIOR: Final = 0.30
LATERAL: Final = 0.25
"""Shares of the left wall."""

NAMES: Final = (
    State("coronary_perfusion_pressure_mmhg", 92.24, "mmHg", "aortic minus right atrial pressure in relaxation"),
    State("heart_energy_frac", 1.0, "1", "energy left in the left wall, mean of its parts", "mid", 0.0),
    State("energy_anterior_frac", 1.0, "1", "energy left in the anterior wall", "slow", 0.0),
    State("energy_inferior_frac", 1.0, "1", "energy left in the inferior wall", "slow", 0.0),
    State("energy_lateral_frac", 1.0, "1", "energy left in the lateral wall", "slow", 0.0),
    State("energy_right_frac", 1.0, "1", "energy left in the right ventricle", "slow", 0.0),
    State("wall_working_frac", 1.0, "1", "share of the left wall that works", "slow", 0.0),
    State("right_wall_working_frac", 1.0, "1", "share of the right wall that works", "slow", 0.0),
    State("node_energy_frac", 1.0, "1", "energy left in the sinus node", "mid", 0.0),
    State("stunning_frac", 0.0, "1", "weakness after the heart was without energy", "mid", 0.0),
    State("ischaemia_anterior_frac", 0.0, "1", "lack of oxygen felt by the anterior wall", "slow", 0.0),
    State("ischaemia_inferior_frac", 0.0, "1", "the same, inferior", "slow", 0.0),
    State("ischaemia_lateral_frac", 0.0, "1", "the same, lateral", "slow", 0.0),
    State("dead_anterior_frac", 0.0, "1", "share of the anterior wall that has died", "slow", 0.0),
    State("dead_inferior_frac", 0.0, "1", "the same, inferior", "slow", 0.0),
    State("dead_lateral_frac", 0.0, "1", "the same, lateral", "slow", 0.0),
    State("coronary_clot_left_frac", 1.0, "1", "clot in a coronary artery that no drug has dissolved", "slow", 0.0),
    State("arrhythmia_risk_frac", 0.0, "1", "proneness of the ventricles to ectopic beats and fibrillation", "slow",
          0.0),
    State("heart_pain_frac", 0.0, "1", "pain of the heart: 0 none, 1 the worst", "slow", 0.0),
    Param("coronary_reserve", 3.6, "1", "greatest over resting coronary flow",
          "Gould 1974-type reserve 4-5 (from memory)"),
    Param("heart_run_down_s", 75.0, "s", "time constant of running down without any oxygen",
          "tuned to asphyxial arrest"),
    Param("heart_recovery_s", 25.0, "s", "time constant of recovery", "our choice"),
    Mid("heart_demand_frac", "1", "oxygen need of the left wall over rest"),
    Mid("heart_supply_frac", "1", "most oxygen that open coronary arteries can bring, over the need at rest"),
    Mid("st_left_mv", "mV", "ST vector, part to the left"),
    Mid("st_foot_mv", "mV", "ST vector, part to the feet"),
    Mid("st_back_mv", "mV", "ST vector, part to the back"),
)  # fmt: skip


def perfusion_pressure(
    coronary_perfusion_pressure_mmhg, mean_aorta_mmhg, mean_right_atrium_mmhg, compression_phase_frac, dt_mid_s
):
    """Pressure that feeds the heart, smoothed; while the chest is compressed it holds its last value."""
    drop = clamp(mean_aorta_mmhg - mean_right_atrium_mmhg, -60.0, 250.0)
    relaxed = compression_phase_frac == 0.0 or compression_phase_frac > 0.55
    share = dt_mid_s / 2.0 if relaxed else 0.0
    next_coronary_perfusion_pressure_mmhg = (
        coronary_perfusion_pressure_mmhg + (drop - coronary_perfusion_pressure_mmhg) * share
    )
    return next_coronary_perfusion_pressure_mmhg


def supply_and_demand(
    coronary_perfusion_pressure_mmhg, mean_arterial_pressure_mmhg, arterial_o2_ml_per_ml, arterial_o2_rest_ml_per_ml,
    heart_rate_now_per_min, heart_rate_rest_per_min, carotid_set_mmhg, rhythm_code, strength_now_frac,
    wall_working_frac, temperature_core_degc, coronary_reserve,
):  # fmt: skip
    """What the left wall needs and what it could get."""
    push = larger(coronary_perfusion_pressure_mmhg - 8.0, 0.0) / (carotid_set_mmhg - 12.0)
    heart_supply_frac = coronary_reserve * push * arterial_o2_ml_per_ml / arterial_o2_rest_ml_per_ml
    work = clamp(heart_rate_now_per_min / heart_rate_rest_per_min, 0.6, 3.0)
    load = clamp(0.25 + 0.75 * mean_arterial_pressure_mmhg / carotid_set_mmhg, 0.4, 2.0) * clamp(
        strength_now_frac * wall_working_frac, 0.2, 2.5
    )
    beating = work * load
    # a fibrillating heart uses about half, a still one a fifth of rest (order of McKeever 1958, from memory)
    demand = beating if rhythm_code < 0.5 else (0.55 if rhythm_code < 1.5 else 0.2)
    heart_demand_frac = larger(demand, 0.2) * clamp(1.0 + 0.08 * (temperature_core_degc - 37.0), 0.3, 1.4)
    return heart_supply_frac, heart_demand_frac


def open_frac(occluded_frac, clot_frac, clot_left_frac):
    """How far an artery is open; 3 % of its flow come by collaterals."""
    shut = clamp(occluded_frac, 0.0, 1.0)
    return larger(1.0 - shut * (1.0 - clamp(clot_frac, 0.0, 1.0) * (1.0 - clot_left_frac)), 0.03)


def energy_change_per_s(energy_frac, met_frac, demand_frac, run_down_s, recovery_s):
    """Energy runs down by what is lacking and comes back once there is enough."""
    lack = clamp(1.0 - met_frac, 0.0, 1.0)
    plenty = clamp((met_frac - 0.9) * 4.0, 0.0, 1.0)
    return plenty * (1.0 - energy_frac) / recovery_s - lack * demand_frac * energy_frac / run_down_s


def working_frac(energy_frac, dead_frac):
    """Share of a part of the wall that works."""
    return clamp((energy_frac - 0.08) / 0.5, 0.0, 1.0) * (1.0 - dead_frac)


def felt_frac(ischaemia_frac, met_frac):
    """Ischaemia after one second: felt within half a minute, gone within a minute or two."""
    lack = clamp(1.0 - met_frac, 0.0, 1.0)
    return faded(ischaemia_frac + (lack - ischaemia_frac) / (25.0 if lack > ischaemia_frac else 50.0))


def died_frac(dead_frac, ischaemia_frac):
    """Share that has died after one second: a tenth in 40 min, half in 80 min of complete ischaemia (our choice)."""
    deep = clamp((ischaemia_frac - 0.5) / 0.4, 0.0, 1.0)
    return clamp(dead_frac + deep * (dead_frac + 0.02) * (1.0 - dead_frac) / 1100.0, 0.0, 1.0)


def heart_oxygen(
    heart_supply_frac, heart_demand_frac, heart_energy_frac, energy_anterior_frac, energy_inferior_frac,
    energy_lateral_frac, energy_right_frac, node_energy_frac, stunning_frac, ischaemia_anterior_frac,
    ischaemia_inferior_frac, ischaemia_lateral_frac, dead_anterior_frac, dead_inferior_frac, dead_lateral_frac,
    coronary_clot_left_frac, fibrinolysis_frac, coronary_anterior_shut_frac, coronary_inferior_shut_frac,
    coronary_lateral_shut_frac, coronary_clot_frac, coronary_shuts_right, coronary_reserve, carotid_set_mmhg,
    coronary_perfusion_pressure_mmhg, mean_pulmonary_artery_pressure_mmhg, heart_run_down_s, heart_recovery_s,
):  # fmt: skip
    """Energy, ischaemia and death of muscle over one second."""
    demand = heart_demand_frac
    met = heart_supply_frac / demand
    inferior_open = open_frac(coronary_inferior_shut_frac, coronary_clot_frac, coronary_clot_left_frac)
    met_anterior = clamp(
        met * open_frac(coronary_anterior_shut_frac, coronary_clot_frac, coronary_clot_left_frac), 0.0, 1.3
    )
    met_inferior = clamp(met * inferior_open, 0.0, 1.3)
    met_lateral = clamp(
        met * open_frac(coronary_lateral_shut_frac, coronary_clot_frac, coronary_clot_left_frac), 0.0, 1.3
    )
    # the right wall works against the lung arteries and is pressed by them while it is fed
    over = larger(mean_pulmonary_artery_pressure_mmhg - 16.0, 0.0)
    squeezed = clamp(1.0 - over / larger(coronary_perfusion_pressure_mmhg - 8.0, 5.0), 0.1, 1.0)
    right_open = inferior_open if coronary_shuts_right > 0.5 else 1.0
    met_right = clamp(met * squeezed * right_open / (1.0 + over / 18.0), 0.0, 1.3)

    d_energy_anterior_frac_per_s = energy_change_per_s(
        energy_anterior_frac, met_anterior, demand, heart_run_down_s, heart_recovery_s
    )
    d_energy_inferior_frac_per_s = energy_change_per_s(
        energy_inferior_frac, met_inferior, demand, heart_run_down_s, heart_recovery_s
    )
    d_energy_lateral_frac_per_s = energy_change_per_s(
        energy_lateral_frac, met_lateral, demand, heart_run_down_s, heart_recovery_s
    )
    d_energy_right_frac_per_s = energy_change_per_s(
        energy_right_frac, met_right, demand, heart_run_down_s, heart_recovery_s
    )
    next_heart_energy_frac = (
        ANTERIOR * energy_anterior_frac + INFERIOR * energy_inferior_frac + LATERAL * energy_lateral_frac
    )
    next_wall_working_frac = (
        ANTERIOR * working_frac(energy_anterior_frac, dead_anterior_frac)
        + INFERIOR * working_frac(energy_inferior_frac, dead_inferior_frac)
        + LATERAL * working_frac(energy_lateral_frac, dead_lateral_frac)
    )
    next_right_wall_working_frac = working_frac(energy_right_frac, 0.0)
    # the node is fed by the right artery in most, near its mouth: it suffers with the whole heart only
    whole = clamp(met, 0.0, 1.3)
    lack = clamp(1.0 - whole, 0.0, 1.0)
    d_node_energy_frac_per_s = clamp((whole - 0.9) * 4.0, 0.0, 1.0) * (
        1.0 - node_energy_frac
    ) / 8.0 - lack * node_energy_frac / (1.3 * heart_run_down_s)
    hurt = clamp(0.5 - heart_energy_frac, 0.0, 0.5)
    d_stunning_frac_per_s = hurt * (1.0 - stunning_frac) / 120.0 - stunning_frac / 600.0

    next_ischaemia_anterior_frac = felt_frac(ischaemia_anterior_frac, met_anterior)
    next_ischaemia_inferior_frac = felt_frac(ischaemia_inferior_frac, met_inferior)
    next_ischaemia_lateral_frac = felt_frac(ischaemia_lateral_frac, met_lateral)
    next_dead_anterior_frac = died_frac(dead_anterior_frac, ischaemia_anterior_frac)
    next_dead_inferior_frac = died_frac(dead_inferior_frac, ischaemia_inferior_frac)
    next_dead_lateral_frac = died_frac(dead_lateral_frac, ischaemia_lateral_frac)
    # half of coronary clots are open 90 min after a thrombolytic (TIMI 3 in 54 %: GUSTO angiographic investigators
    # 1993, N Engl J Med 329:1615, from memory)
    next_coronary_clot_left_frac = faded(coronary_clot_left_frac * (1.0 - fibrinolysis_frac / 2700.0))
    return (
        d_energy_anterior_frac_per_s, d_energy_inferior_frac_per_s, d_energy_lateral_frac_per_s,
        d_energy_right_frac_per_s, next_heart_energy_frac, next_wall_working_frac, next_right_wall_working_frac,
        d_node_energy_frac_per_s, d_stunning_frac_per_s, next_ischaemia_anterior_frac, next_ischaemia_inferior_frac,
        next_ischaemia_lateral_frac, next_dead_anterior_frac, next_dead_inferior_frac, next_dead_lateral_frac,
        next_coronary_clot_left_frac,
    )  # fmt: skip


def ischaemia_felt(
    arrhythmia_risk_frac, heart_pain_frac, ischaemia_anterior_frac, ischaemia_inferior_frac, ischaemia_lateral_frac,
    dead_anterior_frac, dead_inferior_frac, dead_lateral_frac, sympathetic_frac,
):  # fmt: skip
    """Proneness to arrhythmia and pain, from how much of the wall lacks oxygen (sizes: our choice)."""
    ill = (
        ANTERIOR * ischaemia_anterior_frac * (1.0 - dead_anterior_frac)
        + INFERIOR * ischaemia_inferior_frac * (1.0 - dead_inferior_frac)
        + LATERAL * ischaemia_lateral_frac * (1.0 - dead_lateral_frac)
    )
    dead = ANTERIOR * dead_anterior_frac + INFERIOR * dead_inferior_frac + LATERAL * dead_lateral_frac
    risk = clamp((1.4 * ill + 0.4 * dead) * (0.6 + 0.8 * sympathetic_frac), 0.0, 1.0)
    next_arrhythmia_risk_frac = faded(arrhythmia_risk_frac + (risk - arrhythmia_risk_frac) / 30.0)
    pain = clamp(2.2 * ill + 0.5 * dead, 0.0, 1.0)
    next_heart_pain_frac = faded(heart_pain_frac + (pain - heart_pain_frac) / 30.0)
    return next_arrhythmia_risk_frac, next_heart_pain_frac


def through_wall_frac(ischaemia_frac):
    """Share of the ischaemia that reaches through the whole wall."""
    return clamp((ischaemia_frac - 0.45) / 0.4, 0.0, 1.0)


def st_vector(
    ischaemia_anterior_frac, ischaemia_inferior_frac, ischaemia_lateral_frac, dead_anterior_frac, dead_inferior_frac,
    dead_lateral_frac,
):  # fmt: skip
    """ST vector at the J point plus 60 ms.

    Directions: vectors that the lead field of Dower 1980 turns into the usual patterns (anterior: highest in V3,
    inferior: III over II with I and aVL down, lateral: V5, V6, I and aVL up); sizes: ST of 0.3 to 0.45 mV (our choice).
    What has died loses half of its ST.
    """
    anterior = through_wall_frac(ischaemia_anterior_frac) * (1.0 - 0.5 * dead_anterior_frac)
    inferior = through_wall_frac(ischaemia_inferior_frac) * (1.0 - 0.5 * dead_inferior_frac)
    lateral = through_wall_frac(ischaemia_lateral_frac) * (1.0 - 0.5 * dead_lateral_frac)
    inner = (
        ANTERIOR * ischaemia_anterior_frac * (1.0 - through_wall_frac(ischaemia_anterior_frac))
        + INFERIOR * ischaemia_inferior_frac * (1.0 - through_wall_frac(ischaemia_inferior_frac))
        + LATERAL * ischaemia_lateral_frac * (1.0 - through_wall_frac(ischaemia_lateral_frac))
    )
    st_left_mv = 0.13 * anterior - 0.04 * inferior + 0.255 * lateral - 0.36 * inner
    st_foot_mv = 0.05 * anterior + 0.27 * inferior - 0.085 * lateral - 0.30 * inner
    st_back_mv = -0.24 * anterior + 0.03 * inferior + 0.10 * inner
    return st_left_mv, st_foot_mv, st_back_mv


PARTS: Final = {
    "MID": (perfusion_pressure,), "SLOW": (supply_and_demand, heart_oxygen, ischaemia_felt), "SHOW": (st_vector,),
}  # fmt: skip
