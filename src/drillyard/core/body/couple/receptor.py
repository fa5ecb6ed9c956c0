"""How nerves and drugs share a receptor."""

from drillyard.core.numerics.elementary import clamp


def together_frac(nerves_frac, drug_frac):
    """Share of a receptor occupied by the body's own transmitter and a drug."""
    return 1.0 - (1.0 - clamp(nerves_frac, 0.0, 1.0)) * (1.0 - clamp(drug_frac, 0.0, 1.0))
