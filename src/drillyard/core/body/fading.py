"""Values that fade away are cut off at 1e-30: numbers near the smallest float slow the processor down tenfold."""


def faded(value: float) -> float:
    """``value``, or 0 once it is next to nothing."""
    return value if value > 1.0e-30 or value < -1.0e-30 else 0.0
