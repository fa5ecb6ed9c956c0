"""The circulation: where blood lies and how it flows, a third of 10 ms at a time.

In:       chamber pressures, chest pressure, and from the place where all reflexes meet (``couple``) resistances,
          unstressed volumes and the pressure below which small arteries close.
Out:      volumes, pressures and flows.
Assumes:  aorta and large arteries joined by the inertia of the blood (that is the arm's pulse wave), small arteries
          as a third store; three beds in parallel (splanchnic, limbs, upper body with brain and heart) behind a
          closing pressure; veins of two beds and the chest; lung arteries and veins with a collapse at alveolar
          pressure.  Structure after Ursino 1998, Am J Physiol 275:H1733; limb bed and posture after Heldt 2002,
          J Appl Physiol 92:1239.
Left out: wave reflection in a branching tree, veins of the upper body as a store, lymph.

Every outflow is limited to what its store still holds, so that no volume becomes negative.
"""

from typing import Final

from drillyard.core.numerics.elementary import larger, smaller
from drillyard.core.numerics.names import Mid, Param, State

_TUNED = "tuned so that the reference adult rests at published pressures and flow (docs/body/vessels.md)"
_SHAPE = "order of Ursino 1998 table 1 (from memory), then tuned"

NAMES: Final = (
    State("aorta_ml", 187.9, "mL", "blood in the aorta", "fast", 0.0),
    State("aorta_flow_ml_per_s", 23.49, "mL/s", "flow from aorta to large arteries", "fast"),
    State("large_arteries_ml", 69.85, "mL", "blood in large arteries", "fast", 0.0),
    State("small_arteries_ml", 296.0, "mL", "blood in small arteries", "fast", 0.0),
    State("splanchnic_veins_ml", 2301.0, "mL", "blood in the small vessels and veins of the gut and liver", "fast",
          0.0),
    State("limb_veins_ml", 1010.0, "mL", "blood in the small vessels and veins of limbs and trunk", "fast", 0.0),
    State("chest_veins_ml", 197.0, "mL", "blood in the great veins", "fast", 0.0),
    State("lung_arteries_ml", 114.3, "mL", "blood in lung arteries", "fast", 0.0),
    State("lung_veins_ml", 246.3, "mL", "blood in lung veins and capillaries", "fast", 0.0),
    Param("aorta_unstressed_ml", 110.0, "mL", "aortic volume at zero pressure", _TUNED),
    Param("aorta_stiffness_mmhg_per_ml", 1.15, "mmHg/mL", "stiffness of the aorta (compliance 0.95 mL/mmHg)", _TUNED),
    Param("aorta_ease_ml_per_mmhg_s2", 455.0, "mL/mmHg/s2",
          "inverse inertance of blood between aorta and arm (0.0022 mmHg s2/mL)", _TUNED),
    Param("aorta_resistance_mmhg_s_per_ml", 0.03, "mmHg s/mL", "resistance between aorta and large arteries", _TUNED),
    Param("large_arteries_unstressed_ml", 40.0, "mL", "volume at zero pressure", _TUNED),
    Param("large_arteries_stiffness_mmhg_per_ml", 2.857, "mmHg/mL", "stiffness of large arteries (0.35 mL/mmHg)",
          _TUNED),
    Param("large_arteries_ml_per_s_per_mmhg", 11.1, "mL/s/mmHg", "conductance, large to small arteries", _TUNED),
    Param("small_arteries_unstressed_ml", 100.0, "mL", "volume at zero pressure", _TUNED),
    Param("small_arteries_stiffness_mmhg_per_ml", 0.42, "mmHg/mL", "stiffness of small arteries (2 mL/mmHg)",
          "tuned to the fall of pressure after the heart stops: Schipke 2003, Am J Physiol 285:H2510 (seen)"),
    Param("splanchnic_stiffness_mmhg_per_ml", 0.01613, "mmHg/mL", "stiffness of splanchnic veins (62 mL/mmHg)", _SHAPE),
    Param("splanchnic_outflow_ml_per_s_per_mmhg", 18.2, "mL/s/mmHg", "conductance of splanchnic veins", _SHAPE),
    Param("limb_stiffness_mmhg_per_ml", 0.02381, "mmHg/mL", "stiffness of limb veins (42 mL/mmHg)", _SHAPE),
    Param("limb_outflow_ml_per_s_per_mmhg", 18.2, "mL/s/mmHg", "conductance of limb veins", _SHAPE),
    Param("chest_veins_unstressed_ml", 100.0, "mL", "volume of the great veins at zero pressure", _TUNED),
    Param("chest_veins_stiffness_mmhg_per_ml", 0.0667, "mmHg/mL", "stiffness of the great veins (15 mL/mmHg)", _TUNED),
    Param("chest_veins_ml_per_s_per_mmhg", 167.0, "mL/s/mmHg", "conductance, great veins to right atrium", _TUNED),
    Param("lung_arteries_unstressed_ml", 70.0, "mL", "volume at zero pressure", _TUNED),
    Param("lung_arteries_stiffness_mmhg_per_ml", 0.25, "mmHg/mL", "stiffness of lung arteries (4 mL/mmHg)", _SHAPE),
    Param("lung_veins_unstressed_ml", 130.0, "mL", "volume at zero pressure", _TUNED),
    Param("lung_veins_stiffness_mmhg_per_ml", 0.0625, "mmHg/mL", "stiffness of lung veins (16 mL/mmHg)", _SHAPE),
    Param("lung_veins_ml_per_s_per_mmhg", 167.0, "mL/s/mmHg", "conductance, lung veins to left atrium", _SHAPE),
    Param("inlet_valve_ml_per_s_per_mmhg", 250.0, "mL/s/mmHg", "conductance of the open mitral or tricuspid valve",
          "Ursino 1998 .0025, from memory"),
    Param("pulmonary_valve_ml_per_s_per_mmhg", 45.0, "mL/s/mmHg",
          "conductance of the open pulmonary valve with the wall", _TUNED),
    Param("outlet_valve_mmhg_s_per_ml", 0.012, "mmHg s/mL", "open aortic or pulmonary valve", _TUNED),
    Param("ventricle_viscosity_s_per_ml", 3.0e-4, "s/mL", "pressure lost in the contracting wall per flow",
          "Ursino 1998 kR 3.75e-4 (from memory)"),
    Mid("aorta_mmhg", "mmHg", "pressure in the aorta"),
    Mid("arterial_pressure_mmhg", "mmHg", "pressure in the large arteries, as at the wrist"),
    Mid("wrist_mmhg", "mmHg", "the same, under a name whose mean over a step is not the mean of a beat"),
    Mid("small_arteries_mmhg", "mmHg", "pressure in small arteries"),
    Mid("splanchnic_mmhg", "mmHg", "pressure in splanchnic veins"),
    Mid("limb_mmhg", "mmHg", "pressure in limb veins, less the column of blood to the heart"),
    Mid("chest_veins_mmhg", "mmHg", "pressure in the great veins"),
    Mid("lung_arteries_mmhg", "mmHg", "pressure in lung arteries"),
    Mid("lung_veins_mmhg", "mmHg", "pressure in lung veins"),
    Mid("aortic_valve_flow_ml_per_s", "mL/s", "flow out of the left ventricle"),
    Mid("lung_flow_ml_per_s", "mL/s", "flow through the lungs"),
    Mid("upper_flow_ml_per_s", "mL/s", "flow through brain, heart and upper body"),
    Mid("bleeding_flow_ml_per_s", "mL/s", "blood lost from wounds"),
    Mid("drawn_flow_ml_per_s", "mL/s", "blood drawn from veins"),
)  # fmt: skip


def vessel_pressures(
    aorta_ml, large_arteries_ml, small_arteries_ml, splanchnic_veins_ml, limb_veins_ml, chest_veins_ml,
    lung_arteries_ml, lung_veins_ml, chest_pressure_mmhg, chest_squeeze_mmhg, splanchnic_unstressed_ml,
    limb_unstressed_ml, limb_column_mmhg, splanchnic_column_mmhg, splanchnic_outside_mmhg, aorta_unstressed_ml,
    aorta_stiffness_mmhg_per_ml, large_arteries_unstressed_ml, large_arteries_stiffness_mmhg_per_ml,
    small_arteries_unstressed_ml, small_arteries_stiffness_mmhg_per_ml, splanchnic_stiffness_mmhg_per_ml,
    limb_stiffness_mmhg_per_ml, chest_veins_unstressed_ml, chest_veins_stiffness_mmhg_per_ml,
    lung_arteries_unstressed_ml, lung_arteries_stiffness_mmhg_per_ml, lung_veins_unstressed_ml,
    lung_veins_stiffness_mmhg_per_ml,
):  # fmt: skip
    """Pressures of the vessels at heart level."""
    outside = chest_pressure_mmhg + chest_squeeze_mmhg
    aorta_mmhg = (aorta_ml - aorta_unstressed_ml) * aorta_stiffness_mmhg_per_ml + outside
    arterial_pressure_mmhg = (large_arteries_ml - large_arteries_unstressed_ml) * large_arteries_stiffness_mmhg_per_ml
    wrist_mmhg = arterial_pressure_mmhg
    small_arteries_mmhg = (small_arteries_ml - small_arteries_unstressed_ml) * small_arteries_stiffness_mmhg_per_ml
    splanchnic_mmhg = (
        (splanchnic_veins_ml - splanchnic_unstressed_ml) * splanchnic_stiffness_mmhg_per_ml
        - splanchnic_column_mmhg
        + splanchnic_outside_mmhg
    )
    limb_mmhg = (limb_veins_ml - limb_unstressed_ml) * limb_stiffness_mmhg_per_ml - limb_column_mmhg
    chest_veins_mmhg = (chest_veins_ml - chest_veins_unstressed_ml) * chest_veins_stiffness_mmhg_per_ml + outside
    lung_arteries_mmhg = (
        lung_arteries_ml - lung_arteries_unstressed_ml
    ) * lung_arteries_stiffness_mmhg_per_ml + outside
    lung_veins_mmhg = (lung_veins_ml - lung_veins_unstressed_ml) * lung_veins_stiffness_mmhg_per_ml + outside
    return (
        aorta_mmhg, arterial_pressure_mmhg, wrist_mmhg, small_arteries_mmhg, splanchnic_mmhg, limb_mmhg,
        chest_veins_mmhg, lung_arteries_mmhg, lung_veins_mmhg,
    )  # fmt: skip


def most_that_leaves_ml_per_s(volume_ml):
    """Outflow at which a store would be empty in 15 ms; 2 mL stay."""
    return larger(volume_ml - 2.0, 0.0) * 66.7


def through_valve_ml_per_s(drop_mmhg, conductance, volume_ml):
    """Forward flow through a valve, none backward."""
    return smaller(drop_mmhg * conductance, most_that_leaves_ml_per_s(volume_ml)) if drop_mmhg > 0.0 else 0.0


def through_vein_ml_per_s(drop_mmhg, conductance, volume_ml, next_volume_ml):
    """Flow of a vein with valves: a tenth of it backward, out of what the next store holds."""
    flow = drop_mmhg * conductance
    if flow > 0.0:
        return smaller(flow, most_that_leaves_ml_per_s(volume_ml))
    return larger(0.1 * flow, -0.3 * most_that_leaves_ml_per_s(next_volume_ml))


def blood_flows(
    left_atrium_ml, left_ventricle_ml, right_atrium_ml, right_ventricle_ml, splanchnic_veins_ml, limb_veins_ml,
    chest_veins_ml, lung_arteries_ml, lung_veins_ml, small_arteries_ml, aorta_ml, aorta_flow_ml_per_s,
    left_atrium_mmhg, left_ventricle_mmhg, left_ventricle_active_mmhg, right_atrium_mmhg, right_ventricle_mmhg,
    aorta_mmhg, arterial_pressure_mmhg, small_arteries_mmhg, splanchnic_mmhg, limb_mmhg, chest_veins_mmhg,
    lung_arteries_mmhg, lung_veins_mmhg, splanchnic_conductance, limb_conductance, upper_conductance,
    closing_pressure_mmhg, lung_conductance_ml_per_s_per_mmhg, lung_back_pressure_mmhg,
    wound_conductance_ml_per_s_per_mmhg,
    draw_ml_per_s, infusion_ml_per_s, splanchnic_refill_ml_per_s, aorta_ease_ml_per_mmhg_s2,
    aorta_resistance_mmhg_s_per_ml, large_arteries_ml_per_s_per_mmhg, splanchnic_outflow_ml_per_s_per_mmhg,
    limb_outflow_now_ml_per_s_per_mmhg, chest_veins_now_ml_per_s_per_mmhg, lung_veins_ml_per_s_per_mmhg,
    inlet_valve_ml_per_s_per_mmhg, outlet_valve_mmhg_s_per_ml, ventricle_viscosity_s_per_ml,
    pulmonary_valve_ml_per_s_per_mmhg,
):  # fmt: skip
    """Flows between the stores, and so the change of each store."""
    mitral = through_valve_ml_per_s(
        left_atrium_mmhg - left_ventricle_mmhg, inlet_valve_ml_per_s_per_mmhg, left_atrium_ml
    )
    tricuspid = through_valve_ml_per_s(
        right_atrium_mmhg - right_ventricle_mmhg, inlet_valve_ml_per_s_per_mmhg, right_atrium_ml
    )
    wall = outlet_valve_mmhg_s_per_ml + ventricle_viscosity_s_per_ml * left_ventricle_active_mmhg
    aortic_valve_flow_ml_per_s = through_valve_ml_per_s(left_ventricle_mmhg - aorta_mmhg, 1.0 / wall, left_ventricle_ml)
    pulmonary = through_valve_ml_per_s(
        right_ventricle_mmhg - lung_arteries_mmhg, pulmonary_valve_ml_per_s_per_mmhg, right_ventricle_ml
    )
    large_to_small = (arterial_pressure_mmhg - small_arteries_mmhg) * large_arteries_ml_per_s_per_mmhg
    # small arteries close before their pressure has fallen to that of the veins (a waterfall)
    driving = small_arteries_mmhg - larger(closing_pressure_mmhg, splanchnic_mmhg)
    to_splanchnic = splanchnic_conductance * larger(driving, 0.0)
    driving = small_arteries_mmhg - larger(closing_pressure_mmhg, limb_mmhg)
    to_limbs = limb_conductance * larger(driving, 0.0)
    driving = small_arteries_mmhg - larger(closing_pressure_mmhg, chest_veins_mmhg)
    upper_flow_ml_per_s = upper_conductance * larger(driving, 0.0)
    bleeding_flow_ml_per_s = wound_conductance_ml_per_s_per_mmhg * larger(small_arteries_mmhg, 0.0)
    # great veins collapse where they enter the chest: pull below -2 mmHg draws no more blood
    inlet = larger(chest_veins_mmhg, -2.0)
    from_splanchnic = through_vein_ml_per_s(
        splanchnic_mmhg - inlet, splanchnic_outflow_ml_per_s_per_mmhg, splanchnic_veins_ml, chest_veins_ml
    )
    from_limbs = through_vein_ml_per_s(
        limb_mmhg - inlet, limb_outflow_now_ml_per_s_per_mmhg, limb_veins_ml, chest_veins_ml
    )
    to_right_atrium = (chest_veins_mmhg - right_atrium_mmhg) * chest_veins_now_ml_per_s_per_mmhg
    to_right_atrium = smaller(to_right_atrium, most_that_leaves_ml_per_s(chest_veins_ml))
    to_right_atrium = larger(to_right_atrium, -most_that_leaves_ml_per_s(right_atrium_ml))
    drawn_flow_ml_per_s = smaller(draw_ml_per_s, most_that_leaves_ml_per_s(chest_veins_ml - 20.0))
    # lung capillaries are pressed flat where alveolar pressure exceeds venous pressure (West 1964, J Appl Physiol
    # 19:713)
    lung_flow_ml_per_s = (
        lung_arteries_mmhg - larger(lung_veins_mmhg, lung_back_pressure_mmhg)
    ) * lung_conductance_ml_per_s_per_mmhg
    lung_flow_ml_per_s = smaller(larger(lung_flow_ml_per_s, 0.0), most_that_leaves_ml_per_s(lung_arteries_ml))
    to_left_atrium = (lung_veins_mmhg - left_atrium_mmhg) * lung_veins_ml_per_s_per_mmhg
    to_left_atrium = smaller(to_left_atrium, most_that_leaves_ml_per_s(lung_veins_ml))
    to_left_atrium = larger(to_left_atrium, -most_that_leaves_ml_per_s(left_atrium_ml))

    d_left_atrium_ml_per_s = to_left_atrium - mitral
    d_left_ventricle_ml_per_s = mitral - aortic_valve_flow_ml_per_s
    d_right_atrium_ml_per_s = to_right_atrium - tricuspid
    d_right_ventricle_ml_per_s = tricuspid - pulmonary
    # blood in motion goes on by its inertia, but no more than the aorta holds
    from_aorta = smaller(aorta_flow_ml_per_s, most_that_leaves_ml_per_s(aorta_ml))
    d_aorta_ml_per_s = aortic_valve_flow_ml_per_s - from_aorta
    d_aorta_flow_ml_per_s_per_s = (
        aorta_mmhg - arterial_pressure_mmhg - aorta_resistance_mmhg_s_per_ml * aorta_flow_ml_per_s
    ) * aorta_ease_ml_per_mmhg_s2
    d_large_arteries_ml_per_s = from_aorta - large_to_small
    d_small_arteries_ml_per_s = large_to_small - to_splanchnic - to_limbs - upper_flow_ml_per_s - bleeding_flow_ml_per_s
    d_splanchnic_veins_ml_per_s = to_splanchnic - from_splanchnic + splanchnic_refill_ml_per_s
    d_limb_veins_ml_per_s = to_limbs - from_limbs
    d_chest_veins_ml_per_s = (
        from_splanchnic + from_limbs + upper_flow_ml_per_s + infusion_ml_per_s - drawn_flow_ml_per_s - to_right_atrium
    )
    d_lung_arteries_ml_per_s = pulmonary - lung_flow_ml_per_s
    d_lung_veins_ml_per_s = lung_flow_ml_per_s - to_left_atrium
    return (
        aortic_valve_flow_ml_per_s, lung_flow_ml_per_s, upper_flow_ml_per_s, bleeding_flow_ml_per_s,
        drawn_flow_ml_per_s, d_left_atrium_ml_per_s, d_left_ventricle_ml_per_s, d_right_atrium_ml_per_s,
        d_right_ventricle_ml_per_s, d_aorta_ml_per_s, d_aorta_flow_ml_per_s_per_s, d_large_arteries_ml_per_s,
        d_small_arteries_ml_per_s, d_splanchnic_veins_ml_per_s, d_limb_veins_ml_per_s, d_chest_veins_ml_per_s,
        d_lung_arteries_ml_per_s, d_lung_veins_ml_per_s,
    )  # fmt: skip


PARTS: Final = {"FAST": (vessel_pressures, blood_flows)}
