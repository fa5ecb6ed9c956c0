"""Lead II: intervals, rate, chunks that fit to the bit, fibrillation in its band, a still line."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillyard.core.ecg import RATE_PER_S, CompressionSpan, EcgInput, ecg_lead_ii_mv
from drillyard.core.ecg.dipole import beats_mv, qt_s
from drillyard.core.ecg.lead_ii import fibrillation_mv

FINE_PER_S = 2000


def regular(rate_per_min: float, n: int = 40, first_s: float = 0.5) -> np.ndarray:
    rr = 60.0 / rate_per_min
    return np.array([[first_s + rr * k, rr] for k in range(n)])


def r_peaks_s(mv: np.ndarray, rate_per_s: int = RATE_PER_S) -> np.ndarray:
    """Highest point of each excursion above half of the highest."""
    above = mv > 0.5 * mv.max()
    starts = np.flatnonzero(np.diff(above.astype(int), prepend=0) == 1)
    ends = np.flatnonzero(np.diff(above.astype(int), append=0) == -1)
    return np.array([(s + int(np.argmax(mv[s : e + 1]))) / rate_per_s for s, e in zip(starts, ends, strict=True)])


def one_beat(rr_s: float = 1.0) -> tuple[np.ndarray, np.ndarray]:
    """Time from the onset of QRS and the clean beat, finely sampled."""
    t_s = np.arange(-0.4, 0.7, 1.0 / FINE_PER_S)
    return t_s, beats_mv(t_s, np.array([[0.0, rr_s]]), "II")


@pytest.mark.parametrize("rate", [40.0, 75.0, 110.0, 180.0])
def test_rate_and_rr_are_those_of_the_beats(rate):
    peaks = r_peaks_s(ecg_lead_ii_mv(EcgInput(beats=regular(rate)), 0, 10 * RATE_PER_S))
    rr = np.diff(peaks)
    assert 60.0 / rr.mean() == pytest.approx(rate, rel=0.01)
    assert np.abs(rr - 60.0 / rate).max() <= 1.5 / RATE_PER_S


def test_an_uneven_rhythm_keeps_its_own_intervals():
    onsets = np.cumsum([0.5, 0.7, 1.1, 0.62, 0.95, 0.8, 0.71])
    beats = np.column_stack((onsets, np.diff(onsets, prepend=-0.2)))
    peaks = r_peaks_s(ecg_lead_ii_mv(EcgInput(beats=beats), 0, 7 * RATE_PER_S))
    assert np.diff(peaks) == pytest.approx(np.diff(onsets), abs=1.5 / RATE_PER_S)


def test_intervals_of_a_resting_adult():
    """Normal limits (textbook, from memory): PR 120 to 200, QRS 70 to 110 ms, QTc 350 to 450 ms.  Ours is set for PR
    160, QRS 90, QT 390 ms at 60/min; a recorder's own reading of a real adult: PR 161, QRS 75, QT 368 ms at RR 982 ms
    (sample ECG in the pydicom package)."""
    t_s, mv = one_beat()
    seen = np.abs(mv) > 0.02
    p = t_s[seen & (t_s < -0.03)]
    qrs = t_s[(np.abs(np.gradient(mv, t_s)) > 4.0) & (t_s > -0.02) & (t_s < 0.15)]
    t_wave = t_s[seen & (t_s > 0.15)]
    assert 1000.0 * -p[0] == pytest.approx(160.0, abs=20.0)
    assert 1000.0 * (qrs[-1] - qrs[0]) == pytest.approx(90.0, abs=12.0)
    assert 1000.0 * t_wave[-1] == pytest.approx(390.0, abs=25.0)


def test_heights_in_lead_two():
    """Textbook limits (from memory): P below 0.25, R 0.5 to 2, T 0.1 to 0.5 mV and below R."""
    t_s, mv = one_beat()
    assert 0.08 < mv[t_s < -0.05].max() < 0.25
    assert 0.9 < mv.max() < 1.3
    assert 0.1 < mv[t_s > 0.15].max() < 0.5
    assert mv[(t_s > 0.05) & (t_s < 0.1)].min() < -0.05


def test_qt_follows_fridericia():
    """Fridericia 1920, Acta Med Scand 53:469: QT 360 ms at 90/min is QTc 412 ms: QT goes with the cube root of RR."""
    ratio = qt_s(np.array([60.0 / 90.0])) / qt_s(np.array([1.0]))
    assert ratio[0] == pytest.approx(360.0 / 412.0, rel=2e-3)


@given(cuts=st.lists(st.integers(1, 1999), min_size=1, max_size=6, unique=True), seed=st.integers(0, 2**40))
@settings(max_examples=30, deadline=None)
def test_chunks_fit_to_the_bit(cuts, seed):
    beats = regular(88.0, n=14)
    whole_input = EcgInput(
        beats=beats, rhythm=((0.0, 0), (4.0, 1), (6.0, 2)), seed=seed,
        compressions=(CompressionSpan(start_s=5.0, rate_per_min=112.0),),
    )  # fmt: skip
    whole = ecg_lead_ii_mv(whole_input, 0, 2000)
    edges = [0, *sorted(cuts), 2000]
    parts = [ecg_lead_ii_mv(whole_input, low, high - low) for low, high in pairwise(edges)]
    assert np.array_equal(np.concatenate(parts), whole)


def test_beats_long_gone_may_be_forgotten():
    beats = regular(75.0, n=30)
    late = ecg_lead_ii_mv(EcgInput(beats=beats), 4000, 500)
    few = beats[beats[:, 0] > 4000 / RATE_PER_S - 2.0]
    assert np.array_equal(ecg_lead_ii_mv(EcgInput(beats=few), 4000, 500), late)


def spectrum(mv: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    power = np.abs(np.fft.rfft(mv * np.hanning(len(mv)))) ** 2
    return np.fft.rfftfreq(len(mv), 1.0 / RATE_PER_S), power


@pytest.mark.parametrize("seed", range(5))
def test_fibrillation_lies_in_its_band(seed):
    """Strohmenger et al., Chest 111:584, 1997: dominant 4.56 +- 0.99, median 5.17 +- 1.05 Hz before a good shock."""
    t_s = np.arange(20 * RATE_PER_S) / RATE_PER_S
    hz, power = spectrum(fibrillation_mv(t_s + 5.0, seed))
    share = power[(hz > 3.0) & (hz < 8.0)].sum() / power.sum()
    median = hz[np.searchsorted(np.cumsum(power), 0.5 * power.sum())]
    assert share > 0.97
    assert 5.17 - 1.05 <= median <= 5.17 + 1.05


def test_fibrillation_decays_and_slows_without_a_jump():
    t_s = np.arange(20 * RATE_PER_S) / RATE_PER_S
    early, late = fibrillation_mv(t_s + 5.0, 3), fibrillation_mv(t_s + 1500.0, 3)
    assert late.std() < 0.45 * early.std()
    assert 0.2 < early.std() < 0.6
    (hz, power_early), (_, power_late) = spectrum(early), spectrum(late)
    assert (hz * power_late).sum() / power_late.sum() < 0.9 * (hz * power_early).sum() / power_early.sum()
    long = fibrillation_mv(np.arange(0.0, 3600.0, 1.0 / RATE_PER_S), 3)
    assert np.abs(np.diff(long)).max() < 0.25  # a phase that jumped would step by twice that


def test_seeds_differ_and_the_same_seed_does_not():
    t_s = np.arange(500) / RATE_PER_S
    assert np.array_equal(fibrillation_mv(t_s, 1), fibrillation_mv(t_s, 1))
    assert np.abs(fibrillation_mv(t_s, 1) - fibrillation_mv(t_s, 2)).max() > 0.3


def test_a_still_heart_draws_a_line_that_is_nearly_flat():
    mv = ecg_lead_ii_mv(EcgInput(beats=np.zeros((0, 2)), rhythm=((0.0, 2),)), 0, 30 * RATE_PER_S)
    assert np.abs(mv).max() < 0.12
    assert mv.std() > 0.002


def test_compressions_show_at_their_rate():
    """A disturbance at the compressions' own rate, over a still heart."""
    push = (CompressionSpan(start_s=0.0, rate_per_min=108.0),)
    mv = ecg_lead_ii_mv(EcgInput(beats=np.zeros((0, 2)), rhythm=((0.0, 2),), compressions=push), 0, 40 * RATE_PER_S)
    hz, power = spectrum(mv - mv.mean())
    assert hz[power.argmax()] == pytest.approx(1.8, abs=0.05)
    assert np.ptp(mv) > 0.5
