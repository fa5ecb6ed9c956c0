"""A kernel: the assembled step in one of its three forms, with the layout of its arrays.

``python_kernel`` runs the generated text as it is: no compiler, about forty times real time, the reference for the
other two.  The numba and C forms live in ``drillyard.adapters.kernel``, because they need a disk.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from drillyard.core.numerics import elementary
from drillyard.core.numerics.assembler import Layout, Model

Array = NDArray[np.float64]
Advance = Callable[[Any, Any, int, Any], None]
Show = Callable[[Any, Any, Any], None]


@dataclass(frozen=True, slots=True)
class Kernel:
    """``advance(x, p, n_steps, waves)`` moves ``x`` in place; ``show(x, p, out)`` fills ``out``.

    ``waves`` is a C-ordered array (rows, waves of the layout); a row is written for each of its first steps.
    """

    layout: Layout
    text_hash: str
    form: str
    advance: Advance
    show: Show


def text_hash(source: str) -> str:
    """Name of the model: a hash of its generated text."""
    return hashlib.sha256(source.encode()).hexdigest()[:16]


def intrinsics() -> dict[str, Any]:
    """The names that the generated text needs when run as plain Python."""
    return {
        "sqrt": elementary.sqrt,
        "floor": elementary.floor,
        "times_power_of_two": elementary.times_power_of_two,
        "times_root_of_two": elementary.times_root_of_two,
        "mantissa": elementary.mantissa,
        "exponent": elementary.exponent,
        "scratch": lambda n: [0.0] * n,
    }


def python_kernel(model: Model) -> Kernel:
    """The kernel as plain Python."""
    source = model.source()
    space = intrinsics()
    exec(compile(source, "<body>", "exec"), space)  # noqa: S102 - text assembled from our own modules
    step: Advance = space["advance"]
    show: Show = space["show"]

    def advance_array(x: Array, p: Array, n_steps: int, waves: Array) -> None:
        values = x.tolist()  # Python floats: the same bits, several times quicker than numpy scalars
        step(values, p.tolist(), n_steps, waves)
        x[:] = values

    def show_array(x: Array, p: Array, out: Array) -> None:
        values = out.tolist()
        show(x.tolist(), p.tolist(), values)
        out[:] = values

    return Kernel(
        layout=model.layout, text_hash=text_hash(source), form="python", advance=advance_array, show=show_array
    )
