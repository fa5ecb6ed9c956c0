"""The heart as a turning dipole: Gaussian pulses along fixed directions, each tied to the time of an activation.

Each wave of the ECG is a sum of pulses (McSharry et al., IEEE Trans Biomed Eng 50:289-294, 2003) whose directions make
it a dipole (Sameni et al., EURASIP J Adv Signal Process 2007:43407).  A lead is the dipole times a row of the lead
field; widening to twelve leads is a table of rows and nothing else.

The pulses below are ours, set so that lead II has the intervals and heights of a resting adult: PR 160 ms, QRS 90 ms,
QT 390 ms at 60/min, P 0.13, R 1.1, T 0.3 mV (normal limits: textbook; a real recording measured by its own device: PR
161, QRS 75, QT 368 ms, R in II about 1 mV, the sample ECG of the pydicom package).
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

LEAD_FIELD: Final[dict[str, tuple[float, float, float]]] = {"II": (0.235, 1.066, -0.132)}
"""Weight of the dipole's leftward, footward and backward parts in a lead: Dower GE et al., J Electrocardiol 13:79-87,
1980 (row of lead II, from memory)."""

PR_S: Final = 0.16
"""From the onset of P to the onset of QRS at 60/min."""
QT_S: Final = 0.39
"""From the onset of QRS to the end of T at 60/min."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulse:
    """One Gaussian pulse.  ``at_s`` is its middle after the onset of QRS for "QRS" pulses, after the onset of P for "P"
    pulses, and before the end of T for "T" pulses; ``width_s`` its standard deviation; ``left``, ``foot``, ``back``
    its dipole in mV."""

    wave: str
    at_s: float
    width_s: float
    left: float
    foot: float
    back: float = 0.0

    def in_lead_mv(self, lead: str) -> float:
        weights = LEAD_FIELD[lead]
        return weights[0] * self.left + weights[1] * self.foot + weights[2] * self.back


PULSES: Final = (
    Pulse(wave="P", at_s=0.052, width_s=0.020, left=0.06, foot=0.105, back=-0.02),
    Pulse(wave="QRS", at_s=0.016, width_s=0.0065, left=-0.10, foot=-0.06, back=-0.15),
    Pulse(wave="QRS", at_s=0.042, width_s=0.0105, left=0.80, foot=0.88, back=0.20),
    Pulse(wave="QRS", at_s=0.068, width_s=0.0085, left=-0.05, foot=-0.15, back=0.45),
    Pulse(wave="T", at_s=0.135, width_s=0.048, left=0.15, foot=0.125, back=-0.05),
    Pulse(wave="T", at_s=0.088, width_s=0.032, left=0.14, foot=0.13, back=-0.05),
)


def pr_s(rr_s: Values) -> Values:
    """The PR interval shortens as the heart quickens, to 110 ms at most (rate of shortening: ours)."""
    return np.maximum(0.11, PR_S - 0.06 * np.maximum(0.0, 1.0 - rr_s))


def qt_s(rr_s: Values) -> Values:
    """The QT interval goes with the cube root of RR: Fridericia LS, Acta Med Scand 53:469-486, 1920."""
    return QT_S * np.cbrt(np.clip(rr_s, 0.25, 2.0))


def beats_mv(t_s: Values, beats: Values, lead: str) -> Values:
    """The ECG of organised beats.

    Args:
        t_s: times, (n,). [s]
        beats: onset of QRS and the RR interval that ended with it, (m, 2). [s]
        lead: a key of ``LEAD_FIELD``.

    Returns:
        the lead, (n,). [mV]
    """
    total = np.zeros_like(t_s)
    near = (
        beats[(beats[:, 0] > t_s[0] - 1.5) & (beats[:, 0] < t_s[-1] + 0.75)] if len(beats) and len(t_s) else beats[:0]
    )
    if not len(near):
        return total
    onset, rr = near[:, 0], near[:, 1]
    for pulse in PULSES:
        if pulse.wave == "QRS":
            middle = onset + pulse.at_s
        elif pulse.wave == "P":
            middle = onset - pr_s(rr) + pulse.at_s
        else:
            middle = onset + qt_s(rr) - pulse.at_s
        height = pulse.in_lead_mv(lead)
        # one beat at a time, so that the sum is the same whichever further beats are given; at twelve widths a pulse
        # is 1e-31 of its height, below the last bit of anything drawn
        reach = 12.0 * pulse.width_s
        for at in middle[(middle > t_s[0] - reach) & (middle < t_s[-1] + reach)]:
            total += height * np.exp(-0.5 * ((t_s - at) / pulse.width_s) ** 2)
    return total
