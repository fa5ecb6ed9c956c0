"""The surface ECG, drawn from the times at which the heart's chambers were activated."""

from drillyard.core.ecg.lead_ii import RATE_PER_S, CompressionSpan, EcgInput, ecg_lead_ii_mv

__all__ = ["RATE_PER_S", "CompressionSpan", "EcgInput", "ecg_lead_ii_mv"]
