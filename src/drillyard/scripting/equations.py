"""Equations of the body as plain functions, for checks by hand and by ``drillyard validate``.

They are the very functions that the body is assembled from.
"""

from drillyard.core.body.blood.curves import (
    buffer_value_mmol_per_l,
    co2_content_ml_per_ml,
    o2_content_ml_per_ml,
    o2_saturation_frac,
)

__all__ = [
    "buffer_value_mmol_per_l",
    "co2_content_ml_per_ml",
    "o2_content_ml_per_ml",
    "o2_saturation_frac",
]
