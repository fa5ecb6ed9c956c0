"""The drug slots alone, compiled: hours of kinetics in milliseconds, the same bits as in the body."""

from functools import lru_cache
from types import SimpleNamespace
from typing import Any, cast

import numpy as np

from drillyard.adapters.kernel.compiled import numba_kernel
from drillyard.adapters.kernel.yardstick import c_kernel
from drillyard.core.body import drugs
from drillyard.core.body.drugs.alone import DrugsAlone
from drillyard.core.formulary import Formulary, Person
from drillyard.core.numerics.assembler import Model
from drillyard.core.numerics.kernel import Array, Kernel
from drillyard.core.numerics.names import State

STEPS_PER_S = 100


def clockwork(turns: float) -> float:
    """The assembler asks for something that moves fast; this stands still."""
    d_turns_per_s = 0.0 * turns
    return d_turns_per_s  # noqa: RET504 - the assembler reads the name


@lru_cache(maxsize=1)
def drugs_kernel() -> Kernel:
    """C where there is a compiler (a second, once), else numba (ten seconds, once)."""
    names = (
        State("cardiac_output_frac", 1.0, "1", "cardiac output over rest, given", rate="slow"),
        State("turns", 0.0, "1", "stands still", rate="fast"),
    )
    around = cast(Any, SimpleNamespace(NAMES=names, PARTS={"FAST": (clockwork,)}, __name__="around"))
    own = (State("step_count", 0.0, "1", "steps of 10 ms"),)
    model = Model((around, drugs), ("mu_opioid_occupancy_frac",), ("turns",), own)
    return c_kernel(model) or numba_kernel(model)


def compiled_drugs(formulary: Formulary, person: Person) -> DrugsAlone:
    """``DrugsAlone`` on the compiled slots."""
    kernel = drugs_kernel()
    layout = kernel.layout
    flow = layout.x_index["cardiac_output_frac"]
    no_waves: Array = np.zeros((0, 1))

    def move(x: Array, p: Array, seconds: int, cardiac_output_frac: float) -> None:
        x[flow] = cardiac_output_frac
        kernel.advance(x, p, STEPS_PER_S * seconds, no_waves)

    return DrugsAlone(
        formulary,
        person,
        x=np.zeros(layout.n_x),
        p=np.zeros(layout.n_p),
        x0=layout.array_start("drugs_x"),
        p0=layout.array_start("drugs_p"),
        move=move,
    )
