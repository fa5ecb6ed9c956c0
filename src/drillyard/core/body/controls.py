"""Controls: the numbers through which problems, care and holds reach the body.

A control is written only between steps (``Body.apply``, ``Body.set_problem``, ``Body.hold``) and is part of the
flat state, so a snapshot needs nothing else.  Organ parts read controls by name like any other value.
Controls marked "used up" are lowered by the body itself.
"""

from typing import Final

# name, start value, unit, meaning
CONTROLS: Final[tuple[tuple[str, float, str, str], ...]] = (
    # room
    ("ambient_pressure_mmhg", 760.0, "mmHg", "barometric pressure"),
    ("ambient_o2_frac", 0.2093, "1", "oxygen fraction of the room air"),
    ("ambient_co2_frac", 0.0004, "1", "carbon dioxide fraction of the room air, raised in tests of breathing control"),
    # upper airway: problem, manoeuvre, device
    ("airway_block_frac", 0.0, "1", "fixed blockage of the upper airway, 0 open, 1 complete"),
    ("airway_held_open", 0.0, "1", "1 while head tilt or jaw thrust is held"),
    (
        "airway_device_code",
        0.0,
        "1",
        "0 none, 1 pharyngeal airway, 2 supraglottic, 3 tube in trachea, 4 tube in gullet, 5 tube in right main stem",
    ),
    ("airway_device_leak_frac", 0.0, "1", "share of each given breath that leaks past the device or mask"),
    # oxygen and given breaths
    (
        "oxygen_device_code",
        0.0,
        "1",
        "0 none, 1 nasal cannula, 2 simple mask, 3 reservoir mask, 4 bag with reservoir, 5 bag without, 6 circuit",
    ),
    ("oxygen_flow_l_per_min", 0.0, "L/min", "flow to the oxygen device"),
    ("given_breath_rate_per_min", 0.0, "/min", "rate of given breaths (bag), 0 none"),
    ("given_breath_volume_ml", 500.0, "mL", "volume of each given breath at the bag"),
    ("given_breath_is_circuit", 0.0, "1", "test circuit: 1 = breaths of fixed volume that bypass leak and stomach"),
    # chest, by side
    ("lung_leak_left_ml_per_s_per_cmh2o", 0.0, "mL/s/cmH2O", "hole from left lung to pleural space"),
    ("lung_leak_right_ml_per_s_per_cmh2o", 0.0, "mL/s/cmH2O", "hole from right lung to pleural space"),
    ("lung_leak_left_is_valve", 0.0, "1", "1 = air enters the left pleural space and cannot leave by the lung"),
    ("lung_leak_right_is_valve", 0.0, "1", "1 = air enters the right pleural space and cannot leave by the lung"),
    ("chest_wound_left_ml_per_s_per_cmh2o", 0.0, "mL/s/cmH2O", "open wound from left pleural space to the room"),
    ("chest_wound_right_ml_per_s_per_cmh2o", 0.0, "mL/s/cmH2O", "open wound from right pleural space to the room"),
    (
        "chest_vent_left_ml_per_s_per_cmh2o",
        0.0,
        "mL/s/cmH2O",
        "needle or tube from left pleural space to the room, outward only",
    ),
    (
        "chest_vent_right_ml_per_s_per_cmh2o",
        0.0,
        "mL/s/cmH2O",
        "needle or tube from right pleural space to the room, outward only",
    ),
    ("chest_vent_clot_time_s", 0.0, "s", "time constant in which a needle clots or kinks; 0 = never"),
    # bleeding: three wounds, each an orifice
    ("wound_1_ml_per_min", 0.0, "mL/min", "bleeding of wound 1 at a mean pressure of 93 mmHg"),
    ("wound_2_ml_per_min", 0.0, "mL/min", "bleeding of wound 2 at a mean pressure of 93 mmHg"),
    ("wound_3_ml_per_min", 0.0, "mL/min", "bleeding of wound 3 at a mean pressure of 93 mmHg"),
    ("wound_1_controlled_frac", 0.0, "1", "share of wound 1 stopped by tourniquet, packing or pressure"),
    ("wound_2_controlled_frac", 0.0, "1", "share of wound 2 stopped"),
    ("wound_3_controlled_frac", 0.0, "1", "share of wound 3 stopped"),
    ("venesection_ml_per_min", 0.0, "mL/min", "test: steady blood draw from the veins, whatever the pressure"),
    # fluids: rate while something is left
    ("crystalloid_ml_per_min", 0.0, "mL/min", "rate of balanced crystalloid"),
    ("crystalloid_left_ml", 0.0, "mL", "crystalloid still to run (used up)"),
    ("red_cells_ml_per_min", 0.0, "mL/min", "rate of red cells, haematocrit 0.6"),
    ("red_cells_left_ml", 0.0, "mL", "red cells still to run (used up)"),
    # heart and chest compressions
    ("rhythm_order", -1.0, "1", "rhythm that the body must take at its next beat; -1 none (used up)"),
    ("rhythm_is_held", 0.0, "1", "1 = no spontaneous change of rhythm"),
    ("shock_j", 0.0, "J", "shock to be delivered now (used up)"),
    ("compression_rate_per_min", 0.0, "/min", "chest compressions, 0 none"),
    ("compression_depth_cm", 5.0, "cm", "depth of compressions"),
    ("compression_recoil_frac", 1.0, "1", "share of full recoil between compressions"),
    ("pericardial_fluid_ml", 0.0, "mL", "blood or fluid in the pericardium"),
    ("coronary_anterior_shut_frac", 0.0, "1", "share of the artery of the anterior wall that is shut"),
    ("coronary_inferior_shut_frac", 0.0, "1", "share of the artery of the inferior wall that is shut"),
    ("coronary_lateral_shut_frac", 0.0, "1", "share of the artery of the lateral wall that is shut"),
    ("coronary_clot_frac", 1.0, "1", "share of it that is clot, which a thrombolytic may dissolve"),
    ("coronary_shuts_right", 0.0, "1", "1 = the inferior artery feeds the right ventricle too"),
    ("lung_vessels_clotted_frac", 0.0, "1", "share of the lungs' vessels shut by clots"),
    ("added_heart_depression_frac", 0.0, "1", "share of the heart's strength taken by mediators or a poison"),
    ("added_vessel_dilation_frac", 0.0, "1", "share of vessel tone taken by mediators, 0 none, 1 the worst"),
    ("nerves_cut_heart_frac", 0.0, "1", "share of the sympathetic nerves of the heart that a cord injury cuts off"),
    ("nerves_cut_vessels_frac", 0.0, "1", "share of the sympathetic nerves of vessels that a cord injury cuts off"),
    ("added_shunt_frac", 0.0, "1", "blood that passes the lungs unoxygenated by a problem, share of cardiac output"),
    # holds of effectors: weight 0..1 is moved smoothly by the body towards `_on`
    ("hold_heart_rate_on", 0.0, "1", "1 = heart rate is held"),
    ("hold_heart_rate_per_min", 75.0, "/min", "held heart rate"),
    ("hold_respiratory_rate_on", 0.0, "1", "1 = the patient's own breathing rate is held"),
    ("hold_respiratory_rate_per_min", 14.0, "/min", "held breathing rate"),
    ("hold_tidal_volume_on", 0.0, "1", "1 = the patient's own breath size is held"),
    ("hold_tidal_volume_ml", 500.0, "mL", "held breath size"),
    ("hold_resistance_on", 0.0, "1", "1 = systemic resistance is held"),
    ("hold_resistance_frac", 1.0, "1", "held resistance over the patient's resting one"),
    ("hold_contractility_on", 0.0, "1", "1 = contractility is held"),
    ("hold_contractility_frac", 1.0, "1", "held contractility over the patient's resting one"),
    ("hold_shunt_on", 0.0, "1", "1 = an added pulmonary shunt is held"),
    ("hold_shunt_frac", 0.03, "1", "held shunt, share of cardiac output"),
    ("hold_metabolic_rate_on", 0.0, "1", "1 = metabolic rate is held"),
    ("hold_metabolic_rate_frac", 1.0, "1", "held metabolic rate over resting"),
    # posture and test manoeuvres
    ("tilt_deg", 0.0, "deg", "head-up tilt of the body, -30 to 90"),
    ("legs_raised", 0.0, "1", "1 = legs raised"),
    ("uterus_displaced", 0.0, "1", "1 = the womb is off the great veins: tilted, on the side, pushed by hand"),
    ("muscle_pump_frac", 0.0, "1", "leg muscles at work in standing: 0 slack, 1 walking"),
    ("lower_body_suction_mmhg", 0.0, "mmHg", "test: suction on the body below the iliac crests"),
    ("strain_mmhg", 0.0, "mmHg", "test: straining against a shut glottis (Valsalva manoeuvre)"),
    ("neck_suction_mmhg", 0.0, "mmHg", "test: suction over both carotid sinuses"),
    ("paralysed", 0.0, "1", "test: 1 = no breathing muscle force"),
    ("anaesthetised", 0.0, "1", "test: 1 = unconscious and unresponsive, drive kept"),
    ("autonomic_block", 0.0, "1", "test: 1 = no vagal and beta-sympathetic action on the heart"),
)
