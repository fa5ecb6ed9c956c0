"""Violent random sessions leave every number a number and no volume below its floor.

Twelve of the 300 sessions of ``python -m benchmarks.extremes``, which is run before a release.
"""

from dataclasses import replace

from benchmarks.extremes import faults

from drillyard.adapters.kernel import load_kernel


def test_violent_sessions_stay_finite_and_above_their_floors() -> None:
    assert faults(load_kernel(), 12) == []


def test_the_check_would_see_a_fault() -> None:
    """A patient with a number that is not a number is found at the first look."""
    kernel = load_kernel()

    def broken(x: object, p: object, n_steps: int, waves: object) -> None:
        kernel.advance(x, p, n_steps, waves)
        x[kernel.layout.x_index["aorta_ml"]] = float("nan")  # type: ignore[index]

    assert faults(replace(kernel, advance=broken), 1)[0].t_s == 5
