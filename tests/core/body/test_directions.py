"""Which way the body moves: each test names a cause and the signs that must follow."""

import pytest

from drillyard.core.body.body import Body

from .bench import after, healthy, mean_of


def test_rest_is_that_of_a_healthy_adult() -> None:
    # bands: common textbook values; the published values are held by the validation
    body = healthy()
    for name, low, high in (
        ("heart_rate_per_min", 55, 80), ("mean_arterial_pressure_mmhg", 80, 100),
        ("cardiac_output_l_per_min", 5.0, 6.5),
        ("respiratory_rate_per_min", 12, 18), ("sao2_pct", 96, 99), ("paco2_mmhg", 37, 43), ("ph", 7.37, 7.43),
        ("gcs_total", 15, 15), ("lactate_mmol_per_l", 0.5, 1.5), ("tidal_volume_ml", 400, 600), ("svo2_pct", 68, 78),
    ):  # fmt: skip
        assert low <= body.read(name) <= high, name


def test_more_blood_lost_more_harm() -> None:
    pressures, rates = [], []
    for lost_ml in (0.0, 750.0, 1500.0, 2000.0):
        body = after(healthy(), 600.0, venesection_ml_per_min=lost_ml / 10.0)
        pressures.append(body.read("mean_arterial_pressure_mmhg"))
        rates.append(body.read("heart_rate_per_min"))
    assert rates == sorted(rates)
    assert pressures == sorted(pressures, reverse=True)
    assert pressures[0] - pressures[1] < 10.0, "three quarters of a litre is borne well"
    assert pressures[3] < 70.0


def test_a_wound_bleeds_less_as_pressure_falls_and_stops_under_a_tourniquet() -> None:
    body = after(healthy(), 30.0, wound_1_ml_per_min=250.0)
    first = body.read("bleeding_ml_per_min")
    after(body, 420.0)
    assert body.read("bleeding_ml_per_min") < 0.9 * first
    after(body, 30.0, wound_1_controlled_frac=1.0)
    assert body.read("bleeding_ml_per_min") < 0.01


def test_apnoea_on_air_takes_oxygen_in_a_minute_and_oxygen_before_it_buys_minutes() -> None:
    def seconds_to_90(body: Body) -> float:
        for second in range(900):
            body.advance(100)
            if body.read("sao2_pct") < 90.0:
                return float(second)
        return 900.0

    air = after(healthy(), 0.01, paralysed=1.0, airway_block_frac=1.0)
    full = after(healthy(), 240.0, oxygen_device_code=6.0, oxygen_flow_l_per_min=15.0)
    after(full, 0.01, paralysed=1.0, airway_block_frac=1.0)
    assert 30.0 <= seconds_to_90(air) <= 75.0
    assert seconds_to_90(full) > 360.0


def test_carbon_dioxide_drives_breathing() -> None:
    body = healthy()
    before = body.read("minute_ventilation_l_per_min")
    after(body, 420.0, ambient_co2_frac=0.05)
    assert body.read("minute_ventilation_l_per_min") > 1.8 * before
    assert body.read("paco2_mmhg") > 42.0


def test_thin_air_drives_breathing_and_the_heart() -> None:
    body = healthy()
    breathing, rate = body.read("minute_ventilation_l_per_min"), body.read("heart_rate_per_min")
    after(body, 420.0, ambient_o2_frac=0.11)
    assert body.read("minute_ventilation_l_per_min") > breathing * 1.1
    assert body.read("heart_rate_per_min") > rate + 3.0
    assert body.read("sao2_pct") < 88.0


def test_valve_in_the_left_chest_and_the_needle() -> None:
    body = after(healthy(), 420.0, lung_leak_left_ml_per_s_per_cmh2o=15.0, lung_leak_left_is_valve=1.0)
    assert body.read("pleural_air_left_ml") > 1200.0
    assert body.read("sao2_pct") < 94.0
    assert body.read("respiratory_rate_per_min") > 22.0
    assert body.read("breath_sound_left_frac") < 0.3 < body.read("breath_sound_right_frac")
    assert body.read("trachea_shift_frac") > 0.3
    assert body.read("neck_veins_frac") > 0.6
    wrong = after(body.copy(), 40.0, chest_vent_right_ml_per_s_per_cmh2o=30.0)
    right = after(body, 40.0, chest_vent_left_ml_per_s_per_cmh2o=30.0)
    assert right.read("pleural_air_left_ml") < wrong.read("pleural_air_left_ml") - 300.0
    assert right.read("central_venous_pressure_mmhg") < wrong.read("central_venous_pressure_mmhg")


def test_open_wound_collapses_a_lung_without_pressure() -> None:
    body = after(healthy(), 300.0, chest_wound_right_ml_per_s_per_cmh2o=60.0)
    assert body.read("pleural_air_right_ml") > 400.0
    assert body.read("mean_arterial_pressure_mmhg") > 75.0
    assert body.read("chest_rise_right_frac") < body.read("chest_rise_left_frac")


def test_right_main_stem_tube_silences_the_left() -> None:
    body = after(
        healthy(), 120.0, paralysed=1.0, anaesthetised=1.0, airway_device_code=5.0, given_breath_rate_per_min=12.0
    )
    assert body.read("breath_sound_left_frac") < 0.1
    assert body.read("breath_sound_right_frac") > 0.5


def test_tube_in_the_gullet_moves_no_air_and_shows_no_carbon_dioxide() -> None:
    body = after(
        healthy(), 60.0, paralysed=1.0, anaesthetised=1.0, airway_device_code=4.0, given_breath_rate_per_min=12.0
    )
    assert body.read("etco2_mmhg") == 0.0
    assert body.read("sao2_pct") < 90.0


def test_unconscious_patient_needs_the_airway_held() -> None:
    left = after(healthy(), 120.0, anaesthetised=1.0)
    held = after(healthy(), 120.0, anaesthetised=1.0, airway_held_open=1.0)
    assert left.read("snoring_frac") > held.read("snoring_frac") + 0.3
    assert left.read("minute_ventilation_l_per_min") < held.read("minute_ventilation_l_per_min")


def test_fluid_in_the_pericardium() -> None:
    body = healthy()
    before = {
        name: body.read(name)
        for name in ("cardiac_output_l_per_min", "central_venous_pressure_mmhg", "heart_rate_per_min")
    }
    after(body, 300.0, pericardial_fluid_ml=230.0)
    assert body.read("cardiac_output_l_per_min") < 0.75 * before["cardiac_output_l_per_min"]
    assert body.read("central_venous_pressure_mmhg") > before["central_venous_pressure_mmhg"] + 3.0
    assert body.read("heart_rate_per_min") > before["heart_rate_per_min"] + 10.0


def test_fibrillation_compressions_shock() -> None:
    body = after(healthy(), 20.0, rhythm_order=1.0)
    assert body.read("rhythm_code") == 1.0
    assert body.read("cardiac_output_l_per_min") < 0.3
    assert body.read("gcs_total") == 3.0
    assert body.read("has_pulse") == 0.0
    after(body, 60.0)
    alone = body.copy()
    after(body, 120.0, compression_rate_per_min=110.0, compression_depth_cm=5.5, airway_device_code=3.0,
          given_breath_rate_per_min=10.0)  # fmt: skip
    after(alone, 120.0)
    assert 0.8 <= body.read("cardiac_output_l_per_min") <= 2.2
    assert body.read("coronary_perfusion_pressure_mmhg") > 15.0
    assert body.read("heart_energy_frac") > alone.read("heart_energy_frac") + 0.2
    shallow = after(body.copy(), 60.0, compression_depth_cm=3.5)
    leaning = after(body.copy(), 60.0, compression_recoil_frac=0.3)
    good = after(body.copy(), 60.0)
    assert mean_of(shallow, "cardiac_output_l_per_min") < mean_of(good, "cardiac_output_l_per_min")
    assert mean_of(leaning, "cardiac_output_l_per_min") < mean_of(good, "cardiac_output_l_per_min")
    for _ in range(3):  # a shock works by chance
        if body.read("rhythm_code") == 1.0:
            after(body, 1.0, shock_j=200.0)
    after(body, 60.0, compression_rate_per_min=0.0)
    assert body.read("rhythm_code") == 0.0
    assert body.read("has_pulse") == 1.0
    assert body.read("systolic_pressure_mmhg") < 220.0


def test_untreated_fibrillation_ends_in_asystole_and_death() -> None:
    body = after(healthy(), 1500.0, rhythm_order=1.0)
    assert body.read("rhythm_code") == 2.0
    assert body.read("is_alive") == 0.0
    assert body.is_finite


def test_asphyxia_slows_then_stops_the_heart() -> None:
    body = after(healthy(), 1.0, paralysed=1.0, anaesthetised=1.0, airway_block_frac=1.0)
    rates, gone = [], 0.0
    for second in range(0, 900, 20):
        after(body, 20.0)
        rates.append(body.read("heart_rate_per_min"))
        if not gone and body.read("has_pulse") < 0.5:
            gone = second + 20.0
    assert min(rates[:20]) < 55.0, "hypoxaemia slows the heart before it stops"
    assert 240.0 <= gone <= 660.0


def test_head_up_tilt_and_raised_legs() -> None:
    flat = healthy()
    rate, output = flat.read("heart_rate_per_min"), mean_of(flat, "cardiac_output_l_per_min")
    up = after(healthy(), 300.0, tilt_deg=60.0)
    assert up.read("heart_rate_per_min") > rate + 5.0
    assert mean_of(up, "cardiac_output_l_per_min") < output - 0.3
    bled = after(healthy(), 600.0, venesection_ml_per_min=120.0)
    low = bled.copy()
    after(low, 60.0, venesection_ml_per_min=0.0)
    after(bled, 60.0, venesection_ml_per_min=0.0, legs_raised=1.0)
    assert mean_of(bled, "cardiac_output_l_per_min") > mean_of(low, "cardiac_output_l_per_min")


@pytest.mark.parametrize(
    ("on", "value", "signal", "low", "high"),
    [
        ("hold_heart_rate", {"hold_heart_rate_per_min": 40.0}, "heart_rate_per_min", 39.5, 40.5),
        ("hold_respiratory_rate", {"hold_respiratory_rate_per_min": 26.0}, "respiratory_rate_per_min", 24.0, 28.0),
        ("hold_tidal_volume", {"hold_tidal_volume_ml": 800.0}, "tidal_volume_ml", 680.0, 920.0),
        ("hold_shunt", {"hold_shunt_frac": 0.35}, "sao2_pct", 75.0, 92.0),
        ("hold_resistance", {"hold_resistance_frac": 0.5}, "systemic_resistance_mmhg_s_per_ml", 0.2, 0.75),
        ("hold_metabolic_rate", {"hold_metabolic_rate_frac": 2.0}, "oxygen_uptake_ml_per_min", 420.0, 520.0),
    ],
)
def test_held_effectors_take_their_value(
    on: str, value: dict[str, float], signal: str, low: float, high: float
) -> None:
    body = after(healthy(), 60.0, **{f"{on}_on": 1.0}, **value)
    assert low <= body.read(signal) <= high


def test_pulses_go_in_the_order_wrist_groin_neck() -> None:
    body = healthy()
    body.set_control("venesection_ml_per_min", 260.0)
    gone = {}
    for second in range(0, 1200, 5):
        body.advance(500)
        for site in ("radial", "femoral", "carotid"):
            if site not in gone and body.read(f"pulse_{site}_frac") < 0.02:
                gone[site] = second
        if len(gone) == 3:
            break
    assert gone["radial"] <= gone["femoral"] <= gone["carotid"]
    assert gone["radial"] < gone["carotid"]
