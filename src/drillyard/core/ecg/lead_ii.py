"""Lead II as the room monitor draws it: organised beats, fibrillation, a still heart, and what disturbs the picture.

A pure function of its input and the sample numbers asked for: two halves asked for apart are the whole asked for at
once.  Left out: ischaemia (no ST change in this version), conduction faults, extra beats, pacing.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drillyard.core.ecg.dipole import Values, beats_mv

RATE_PER_S: Final = 250
SINUS, FIBRILLATION, STILL = 0, 1, 2
"""Rhythm codes of ``core/quantities/signals.py``."""

# ventricular fibrillation
VF_LOW_HZ, VF_HIGH_HZ, VF_TONES = 3.6, 7.0, 16
"""Band in which the tones lie; Strohmenger et al., Chest 111:584-589, 1997: dominant 4.6 +- 1.0, median 5.2 +- 1.1
Hz."""
VF_COARSE_MV, VF_FINE_MV = 0.42, 0.12
"""Root mean square at onset and after long: a coarse wave of about 1.3 mV from peak to trough (Strohmenger 1997:
1.33 +- 0.44 mV) and a fine one below 0.4 mV (that it decays is common knowledge; the shape is ours)."""
VF_DECAY_S: Final = 420.0
VF_SLOWS_S, VF_SLOWEST_FRAC = 300.0, 0.75
"""Fibrillation slows as the heart starves (direction: common knowledge; numbers ours)."""
VF_BUILDS_S: Final = 0.35

WANDER_HZ: Final = (0.11, 0.19, 0.31)
WANDER_MV: Final = 0.02
NOISE_MV: Final = 0.006
"""Muscle and wire, root mean square.  Ours."""
SQRT_3: Final = sqrt(3.0)
PUSH_MV: Final = 0.9
"""Height of what one chest compression adds.  Ours: the order of the QRS, enough to hide a rhythm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CompressionSpan:
    """Compressions at one rate without a break; ``end_s`` infinite while they go on."""

    start_s: float
    rate_per_min: float
    end_s: float = float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class EcgInput:
    """What the ECG is drawn from.

    ``beats``: onset of each QRS and the RR interval that ended with it, (m, 2), in seconds, rising; a beat must be
    known 0.25 s before its QRS, because its P wave comes first.  ``rhythm``: ``(from_s, code)``, rising.
    """

    beats: Values
    rhythm: Sequence[tuple[float, int]] = ((0.0, SINUS),)
    compressions: Sequence[CompressionSpan] = field(default=())
    seed: int = 1


def ecg_lead_ii_mv(given: EcgInput, first_sample: int, n: int, *, lead: str = "II") -> Values:
    """Samples ``first_sample`` to ``first_sample + n - 1`` of a lead, 250 a second.

    Args:
        first_sample: number of the first sample, counted from time zero.

    Returns:
        (n,). [mV]
    """
    samples = first_sample + np.arange(n, dtype=np.int64)
    t_s = samples / RATE_PER_S
    total = beats_mv(t_s, given.beats, lead)
    total += _wander(t_s, given.seed) + NOISE_MV * _gaussian(samples, given.seed)
    for (from_s, code), until_s in zip(given.rhythm, [*(t for t, _ in given.rhythm[1:]), float("inf")], strict=True):
        inside = (t_s >= from_s) & (t_s < until_s)
        if code == FIBRILLATION and inside.any():
            total[inside] += fibrillation_mv(t_s[inside] - from_s, given.seed)
    for span in given.compressions:
        inside = (t_s >= span.start_s) & (t_s < span.end_s)
        if inside.any():
            total[inside] += _push(t_s[inside] - span.start_s, span.rate_per_min)
    return total


def fibrillation_mv(since_s: Values, seed: int) -> Values:
    """Fibrillation ``since_s`` after its onset: tones of the band whose phases run on integrated frequency.

    The frequency of every tone falls together with time; its phase is the integral in closed form, so that nothing
    jumps, however late.
    """
    # integral of slowest + (1 - slowest) * exp(-t / slows)
    run_s = VF_SLOWEST_FRAC * since_s + (1.0 - VF_SLOWEST_FRAC) * VF_SLOWS_S * (1.0 - np.exp(-since_s / VF_SLOWS_S))
    chance = _even(np.arange(3 * VF_TONES, dtype=np.int64), seed + 7919).reshape(3, VF_TONES)
    # tones crowd in the middle of the band: the sum of two even chances
    spread = 0.5 * (chance[0] + chance[1])
    total = np.zeros_like(since_s)
    for tone, phase in zip(VF_LOW_HZ + (VF_HIGH_HZ - VF_LOW_HZ) * spread, chance[2], strict=True):
        total += np.sin(2.0 * np.pi * (tone * run_s + phase))
    height = VF_FINE_MV + (VF_COARSE_MV - VF_FINE_MV) * np.exp(-since_s / VF_DECAY_S)
    built = 1.0 - np.exp(-since_s / VF_BUILDS_S)
    return np.asarray(height * built * total * np.sqrt(2.0 / VF_TONES))


def _push(since_s: Values, rate_per_min: float) -> Values:
    """Compressions: a rounded push and a rebound each; their rate is constant within a span."""
    phase = np.mod(since_s * rate_per_min / 60.0, 1.0)
    return np.asarray(
        PUSH_MV * (np.sin(np.pi * np.minimum(phase / 0.5, 1.0)) ** 2 + 0.35 * np.sin(2.0 * np.pi * phase))
    )


def _wander(t_s: Values, seed: int) -> Values:
    total = np.zeros_like(t_s)
    for hz, phase in zip(WANDER_HZ, _wander_phases(seed), strict=True):
        total += np.sin(2.0 * np.pi * (hz * t_s + phase))
    return WANDER_MV * total


@lru_cache(maxsize=64)
def _wander_phases(seed: int) -> tuple[float, ...]:
    return tuple(_even(np.arange(len(WANDER_HZ), dtype=np.int64), seed + 104729).tolist())


def _bits(counter: NDArray[np.int64], seed: int) -> NDArray[np.uint64]:
    """64 chance bits by counter and seed (the finaliser of splitmix64: Steele, Lea & Flood, OOPSLA 2014)."""
    with np.errstate(over="ignore"):
        z = counter.astype(np.uint64) * np.uint64(0x9E3779B97F4A7C15)
        z += np.uint64(seed % 2**63) * np.uint64(0xD1B54A32D192ED03)
        z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return np.asarray(z ^ (z >> np.uint64(31)))


def _even(counter: NDArray[np.int64], seed: int) -> Values:
    """Even chances in [0, 1)."""
    return np.asarray((_bits(counter, seed) >> np.uint64(11)).astype(np.float64) / 2.0**53)


def _gaussian(counter: NDArray[np.int64], seed: int) -> Values:
    """Nearly normal chances: the sum of the four quarters of one draw of bits, standard deviation 1."""
    quarters = _bits(counter, seed).view(np.uint16).reshape(-1, 4)
    return np.asarray((quarters.sum(axis=1) / 65536.0 - 2.0) * SQRT_3)
