"""Frames of waves: the bytes as written down, only what a sensor gives, nothing lost between frames."""

import struct
from itertools import pairwise

import numpy as np
import pytest

from drillyard.core.ecg import CompressionSpan
from drillyard.core.signals.waves import LATE_STEPS, LINE_STEPS, WAVE_CODES, WAVE_RATE_PER_S, WaveFeed, pack_frame

NAMES = (
    "arterial_pressure_mmhg", "pleth_wave_frac", "airway_co2_mmhg", "airway_flow_ml_per_s", "heart_phase_frac",
    "beat_count", "beat_step",
)  # fmt: skip
ALL = ("ECG electrodes", "finger probe", "CO2 sampling line", "pressure cuff")


def unpack(frame: bytes):
    """An independent reader of the format: (index in steps, {code: samples})."""
    form, count, rate, index = struct.unpack_from("<BBHI", frame)
    assert form == 1
    at, waves = 8, {}
    for _ in range(count):
        code, n = struct.unpack_from("<BH", frame, at)
        waves[code] = np.frombuffer(frame, "<f4", n, at + 3)
        at += 3 + 4 * n
    assert at == len(frame)
    return rate, index, waves


def body_rows(n_steps: int, rr_steps: float = 83.7, zero_step: int = 24_000, first_beat: float = 40.3) -> np.ndarray:
    """Rows as the body writes them; its clock began ``zero_step`` before time zero of the run."""
    rows = np.zeros((n_steps, len(NAMES)))
    beats = np.arange(first_beat, n_steps + 1, rr_steps)
    for step in range(n_steps):
        done = beats[beats < step + 1]
        rows[step] = (
            step, step + 0.25, step + 0.5, 0.0, 0.0, 100 + len(done),
            zero_step + (done[-1] if len(done) else first_beat - rr_steps),
        )  # fmt: skip
    return rows


def play(rows, sizes, sensors=ALL, **more):
    feed, at, frames, i = WaveFeed(NAMES, seed=5), 0, [], 0
    while at < len(rows):
        size = sizes[i % len(sizes)]
        frame = feed.frame(at, rows[at : at + size], rhythm_code=0, sensors_on=sensors, **more)
        at, i = at + size, i + 1
        if frame is not None:
            frames.append(unpack(frame))
    return frames


def joined(frames, code):
    return np.concatenate([waves[code] for _, _, waves in frames])


def test_frames_follow_one_another_without_gap():
    frames = play(body_rows(1000), [5, 10, 7, 1])
    assert all(rate == 100 for rate, _, _ in frames)
    for (_, index, waves), (_, following, _) in pairwise(frames):
        assert following == index + len(waves[WAVE_CODES["pleth"]])
        assert len(waves[WAVE_CODES["ecg_ii"]]) * 2 == len(waves[WAVE_CODES["pleth"]]) * 5
    end = frames[-1][1] + len(frames[-1][2][WAVE_CODES["pleth"]])
    assert 1000 - LATE_STEPS - 2 < end <= 1000 - LATE_STEPS


@pytest.mark.parametrize("sizes", [[5], [10], [3, 8, 1], [100]])
def test_cutting_into_frames_changes_no_sample(sizes):
    rows = body_rows(900)
    whole, cut = play(rows, [900]), play(rows, sizes)
    for code in (WAVE_CODES["ecg_ii"], WAVE_CODES["pleth"]):
        n = min(len(joined(whole, code)), len(joined(cut, code)))
        assert np.array_equal(joined(whole, code)[:n], joined(cut, code)[:n])


def test_only_what_a_sensor_gives_is_sent():
    rows = body_rows(200)
    assert {code for _, _, waves in play(rows, [50], sensors=()) for code in waves} == set()
    only = play(rows, [50], sensors=("finger probe",))
    assert {code for _, _, waves in only for code in waves} == {WAVE_CODES["pleth"]}
    everything = {code for _, _, waves in play(rows, [50]) for code in waves}
    assert everything == {WAVE_CODES[name] for name in ("ecg_ii", "pleth", "co2")}


def test_body_waves_keep_their_step_and_gas_comes_late():
    frames = play(body_rows(600), [10])
    _, first, waves = frames[-1]
    pleth, co2 = waves[WAVE_CODES["pleth"]], waves[WAVE_CODES["co2"]]
    assert pleth == pytest.approx(first + np.arange(len(pleth)) + 0.25)
    assert co2 == pytest.approx(first + np.arange(len(co2)) + 0.5 - LINE_STEPS)


def test_r_waves_stand_where_the_body_put_its_beats():
    frames = play(body_rows(1200, rr_steps=83.7, first_beat=40.3), [5])
    ecg = joined(frames, WAVE_CODES["ecg_ii"])
    tops = [i for i in range(1, len(ecg) - 1) if ecg[i] > 0.6 and ecg[i - 1] < ecg[i] >= ecg[i + 1]]
    times = np.array(tops) / WAVE_RATE_PER_S["ecg_ii"]
    beats = np.arange(0.403, times[-1] + 0.2, 0.837)[: len(times)]
    assert len(times) >= 13
    assert times - beats == pytest.approx(np.full(len(times), 0.042), abs=0.008)


def test_a_cuff_above_the_probe_flattens_the_pleth():
    frames = play(body_rows(200), [10], finger_is_cut_off=True)
    assert np.abs(joined(frames, WAVE_CODES["pleth"])).max() == 0.0


def test_a_jump_in_time_begins_anew():
    feed, rows = WaveFeed(NAMES, seed=5), body_rows(2000)
    feed.frame(0, rows[:200], rhythm_code=0, sensors_on=ALL)
    frame = feed.frame(1500, rows[1500:1600], rhythm_code=0, sensors_on=ALL)
    assert unpack(frame)[1] == 1500


def test_fibrillation_begins_when_it_is_told():
    feed, rows = WaveFeed(NAMES, seed=5), body_rows(400)
    rows[:, NAMES.index("beat_count")] = 100.0
    feed.frame(0, rows[:200], rhythm_code=2, sensors_on=ALL)
    frame = feed.frame(200, rows[200:], rhythm_code=1, sensors_on=ALL)
    _, first, waves = unpack(frame)
    ecg = waves[WAVE_CODES["ecg_ii"]]
    begins = int((2.0 - first / 100.0) * 250)
    assert np.abs(ecg[:begins]).max() < 0.1
    assert np.abs(ecg[begins + 125 :]).max() > 0.3


def test_compressions_reach_the_ecg():
    span = (CompressionSpan(start_s=0.0, rate_per_min=110.0),)
    rows = body_rows(300)
    rows[:, NAMES.index("beat_count")] = 100.0
    still = joined(play(rows, [10]), WAVE_CODES["ecg_ii"])
    pushed = joined(play(rows, [10], compressions=span), WAVE_CODES["ecg_ii"])
    assert np.ptp(pushed) > 5.0 * np.ptp(still)


def test_bytes_of_a_small_frame_by_hand():
    frame = pack_frame(258, {"pleth": np.array([1.0, -2.0])})
    assert frame.hex(" ") == "01 01 64 00 02 01 00 00 02 02 00 00 00 80 3f 00 00 00 c0"
