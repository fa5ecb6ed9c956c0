"""Sensors: late, wrong or silent in the ways that are written down, and never before they are on."""

import pytest

from drillyard.core.quantities.faults import Refusal
from drillyard.core.signals.sensors import SENSORS, Sensors

WELL = {
    "rhythm_code": 0.0, "heart_rate_per_min": 75.0, "pulse_rate_per_min": 75.0, "spo2_pct": 97.4, "etco2_mmhg": 37.6,
    "respiratory_rate_per_min": 14.0, "temperature_core_degc": 37.0, "systolic_pressure_mmhg": 118.0,
    "diastolic_pressure_mmhg": 72.0, "mean_arterial_pressure_mmhg": 88.0,
}  # fmt: skip


class Bedside:
    """Sensors in time, with the patient's signals to be changed at will."""

    def __init__(self, seed: float = 7.0, **signals: float) -> None:
        self.sensors, self.t_s, self.signals, self.readings = Sensors(seed=seed), 0, {**WELL, **signals}, []

    def run(self, seconds: int, **signals: float):
        self.signals.update(signals)
        for _ in range(seconds):
            self.t_s += 1
            self.readings += self.sensors.update(float(self.t_s), self.signals)
        return self.sensors.shown()

    def on(self, *sensors: str, site: str = "") -> "Bedside":
        for sensor in sensors:
            self.sensors.attach(sensor, site, float(self.t_s))
        return self

    def measure(self, **signals: float):
        """The reading of one cycle."""
        before = len(self.readings)
        self.sensors.start_cuff("left arm", float(self.t_s))
        self.run(80, **signals)
        return self.readings[before]


def test_nothing_shows_before_its_sensor_is_on():
    assert set(Bedside().run(120).values()) == {None}


@pytest.mark.parametrize(("sensor", "shows"), [
    ("ECG electrodes", {"heart_rate_per_min"}),
    ("finger probe", {"spo2_pct", "pulse_rate_per_min"}),
    ("CO2 sampling line", {"etco2_mmhg", "respiratory_rate_per_min"}),
    ("temperature probe", {"temperature_core_degc"}),
    ("pressure cuff", set()),
])  # fmt: skip
def test_each_sensor_shows_its_own_and_takes_it_away(sensor, shows):
    bed = Bedside().on(sensor)
    shown = bed.run(60)
    assert {name for name, value in shown.items() if value is not None} == shows
    bed.sensors.detach(sensor, 60.0)
    assert set(bed.run(1).values()) == {None}


def test_an_unknown_sensor_is_refused():
    with pytest.raises(Refusal, match=r"no sensor 'thermometer'; allowed: ECG electrodes, finger probe"):
        Bedside().on("thermometer")


def test_a_healthy_patient_reads_as_he_is():
    shown = Bedside().on(*SENSORS).run(300)
    assert shown["heart_rate_per_min"] == 75
    assert shown["spo2_pct"] == 97
    assert shown["etco2_mmhg"] == 38
    assert shown["respiratory_rate_per_min"] == 14
    assert shown["temperature_core_degc"] == 37.0


def test_heart_rate_follows_over_seconds_and_is_silent_in_fibrillation():
    bed = Bedside().on("ECG electrodes")
    bed.run(30)
    assert 75 < bed.run(2, heart_rate_per_min=150.0)["heart_rate_per_min"] < 140
    assert bed.run(15)["heart_rate_per_min"] == pytest.approx(150, abs=1)
    assert bed.run(1, rhythm_code=1.0)["heart_rate_per_min"] is None
    assert bed.run(30, rhythm_code=2.0, heart_rate_per_min=0.0)["heart_rate_per_min"] == 0


def test_probe_needs_a_pulse_and_holds_its_last_number_for_some_seconds():
    bed = Bedside().on("finger probe")
    assert bed.run(3)["spo2_pct"] is None
    assert bed.run(10)["spo2_pct"] == 97
    assert bed.run(5, spo2_pct=0.0, pulse_rate_per_min=0.0)["spo2_pct"] == 97
    assert bed.run(10)["spo2_pct"] is None
    assert bed.run(3, spo2_pct=88.0, pulse_rate_per_min=90.0)["spo2_pct"] is None
    assert bed.run(10)["spo2_pct"] == 88


def test_a_full_cuff_takes_the_pulse_from_a_probe_on_the_same_arm_only():
    def lowest(probe_site):
        bed = Bedside()
        bed.on("finger probe", site=probe_site).run(30)
        bed.sensors.start_cuff("left arm", 30.0)
        return [bed.run(1)["spo2_pct"] for _ in range(40)]

    assert None in lowest("left hand")
    assert None not in lowest("right hand")


def test_capnography_is_late_and_sees_apnoea():
    bed = Bedside().on("CO2 sampling line")
    assert bed.run(2)["etco2_mmhg"] is None
    bed.run(30)
    assert bed.run(2, etco2_mmhg=20.0)["etco2_mmhg"] == 38  # still in the tube
    assert bed.run(2)["etco2_mmhg"] == 20
    gone = bed.run(10, etco2_mmhg=0.0, respiratory_rate_per_min=0.0)
    assert gone["etco2_mmhg"] == 0 and gone["respiratory_rate_per_min"] > 0
    assert bed.run(20)["respiratory_rate_per_min"] == 0


def test_breaths_without_co2_are_no_breaths():
    """A tube in the gullet, or no blood to the lungs."""
    bed = Bedside(etco2_mmhg=1.0).on("CO2 sampling line")
    shown = bed.run(60)
    assert shown["respiratory_rate_per_min"] == 0 and shown["etco2_mmhg"] == 1


def test_temperature_probe_warms_up():
    bed = Bedside().on("temperature probe")
    assert bed.run(10)["temperature_core_degc"] < 30.0
    assert bed.run(240)["temperature_core_degc"] == pytest.approx(37.0, abs=0.1)


# ---- the cuff --------------------------------------------------------------------------------------------------


def test_a_cycle_takes_half_a_minute_and_says_what_it_does():
    bed = Bedside()
    bed.sensors.start_cuff("left arm", 0.0)
    phases, pressures = [], []
    for _ in range(40):
        bed.run(1)
        view = bed.sensors.cuff_view()
        phases.append(view.phase)
        pressures.append(view.pressure_mmhg)
    assert phases[:7] == ["inflating"] * 7 and "measuring" in phases and phases[-1] == "idle"
    done = phases.index("idle")
    assert 28 <= done <= 38
    assert max(p for p in pressures if p is not None) > 150 and pressures[-1] is None
    assert len(bed.readings) == 1
    assert bed.sensors.shown()["systolic_pressure_mmhg"] == bed.readings[0].systolic_mmhg


def readings(n: int, **signals: float):
    found = []
    for seed in range(n):
        found.append(Bedside(seed=float(seed + 1), **signals).measure())
    return found


def mean_of(values):
    return sum(values) / len(values)


def test_in_the_normal_range_it_is_right_within_the_standard():
    """ISO 81060-2: mean difference within 5 mmHg, standard deviation within 8 mmHg."""
    found = readings(200)
    for values, truth in (
        ([r.systolic_mmhg for r in found], 118.0), ([r.diastolic_mmhg for r in found], 72.0),
        ([r.mean_mmhg for r in found], 88.0),
    ):  # fmt: skip
        differences = [value - truth for value in values]
        bias = mean_of(differences)
        spread = mean_of([(d - bias) ** 2 for d in differences]) ** 0.5
        assert abs(bias) < 1.5
        assert 1.0 < spread < 8.0


def test_in_shock_systolic_reads_high_and_mean_agrees():
    """Direction: Lehman et al., Crit Care Med 41:34-40, 2013 (27,022 pairs); mean pressures agree better."""
    found = readings(60, systolic_pressure_mmhg=58.0, diastolic_pressure_mmhg=38.0, mean_arterial_pressure_mmhg=45.0)
    assert 4.0 < mean_of([r.systolic_mmhg for r in found]) - 58.0 < 15.0
    assert abs(mean_of([r.mean_mmhg for r in found]) - 45.0) < 2.0


def test_a_high_pressure_reads_low_and_the_cuff_fills_again_to_reach_it():
    high = {"systolic_pressure_mmhg": 210.0, "diastolic_pressure_mmhg": 110.0, "mean_arterial_pressure_mmhg": 143.0}
    found = readings(40, **high)
    assert -16.0 < mean_of([r.systolic_mmhg for r in found]) - 210.0 < -4.0


@pytest.mark.parametrize("signals", [
    {"pulse_rate_per_min": 0.0, "systolic_pressure_mmhg": 20.0, "diastolic_pressure_mmhg": 15.0},
    {"systolic_pressure_mmhg": 45.0, "diastolic_pressure_mmhg": 38.0, "mean_arterial_pressure_mmhg": 41.0},
    {"systolic_pressure_mmhg": 36.0, "diastolic_pressure_mmhg": 20.0, "mean_arterial_pressure_mmhg": 26.0},
])  # fmt: skip
def test_without_a_pulse_the_cycle_fails_and_says_so(signals):
    bed = Bedside()
    bed.measure()
    reading = bed.measure(**signals)
    assert reading.is_failed
    assert reading.text() == "no reading (no pulse found), left arm"
    assert bed.sensors.shown()["systolic_pressure_mmhg"] is None
    assert bed.sensors.cuff_view().is_failed


def test_a_pressure_that_falls_during_the_cycle_gives_a_mixed_reading():
    bed = Bedside()
    bed.sensors.start_cuff("left arm", 0.0)
    bed.run(18)  # the cuff has passed the old systolic
    bed.run(40, systolic_pressure_mmhg=70.0, diastolic_pressure_mmhg=40.0, mean_arterial_pressure_mmhg=50.0)
    (reading,) = bed.readings
    assert reading.systolic_mmhg > 105 and reading.diastolic_mmhg < 50


def test_two_presses_give_two_readings_one_after_the_other():
    bed = Bedside()
    bed.sensors.start_cuff("left arm", 0.0)
    bed.run(5)
    bed.sensors.start_cuff("left arm", 5.0)
    bed.run(80)
    assert [reading.is_failed for reading in bed.readings] == [False, False]
    assert bed.readings[1].t_s - bed.readings[0].t_s > 25.0


def test_a_cuff_taken_off_ends_its_cycle():
    bed = Bedside()
    bed.sensors.start_cuff("left arm", 0.0)
    bed.run(10)
    bed.sensors.detach("pressure cuff", 10.0)
    bed.run(60)
    (reading,) = bed.readings
    assert reading.is_failed and reading.why_failed == "cuff taken off"


def test_repeats_scatter_and_the_same_seed_repeats_them():
    def three(seed):
        bed = Bedside(seed=seed)
        return [bed.measure().systolic_mmhg for _ in range(6)]

    assert three(3.0) == three(3.0) != three(4.0)
    assert len(set(three(3.0))) > 1


def test_snapshot_and_copy_go_on_alike():
    bed = Bedside().on(*SENSORS, site="right")
    bed.run(12)
    bed.sensors.start_cuff("left arm", 12.0)
    bed.run(15)
    state, twin = bed.sensors.get_state(), bed.sensors.copy()
    assert all(isinstance(number, float) for number in state[0])
    expected = [(bed.run(1), list(bed.readings)) for _ in range(60)]
    for again in (twin, _restored(state)):
        late = Bedside()
        late.sensors, late.t_s = again, 27
        assert [(late.run(1), list(late.readings)) for _ in range(60)] == expected


def _restored(state):
    sensors = Sensors()
    sensors.set_state(state)
    return sensors
