"""The assembler: the three forms agree to the bit, and broken model text is refused with a clear sentence."""

from types import SimpleNamespace

import numpy as np
import pytest

from drillyard.adapters.kernel.compiled import numba_kernel
from drillyard.adapters.kernel.yardstick import c_kernel
from drillyard.core.numerics.assembler import Model
from drillyard.core.numerics.kernel import Kernel, python_kernel
from drillyard.core.numerics.model_text import ModelTextError
from drillyard.core.numerics.names import Mid, State
from tests.core.numerics import toy

STEP_COUNT = State("step_count", 0.0, "1", "steps of 10 ms since the start")


def toy_model() -> Model:
    return Model([toy.ORGAN], ["shown_frac", "store_ml", "pressure_mmhg"], ["store_ml", "pressure_mmhg"], [STEP_COUNT])


def start(kernel: Kernel, model: Model) -> tuple[np.ndarray, np.ndarray]:
    x, p = np.zeros(kernel.layout.n_x), np.zeros(kernel.layout.n_p)
    for name, index in kernel.layout.x_index.items():
        x[index] = model.states[name].start
    for name, index in kernel.layout.p_index.items():
        p[index] = model.names[name].value
    first = kernel.layout.array_start("toy_x")
    x[first], x[first + 2], x[first + 4] = 5.0, 7.0, 11.0
    first = kernel.layout.array_start("toy_p")
    p[first : first + 3] = (0.9, 0.99, 0.5)
    return x, p


def run(kernel: Kernel, model: Model, chunks: list[int]) -> tuple[bytes, bytes, bytes]:
    x, p = start(kernel, model)
    waves = []
    for n in chunks:
        rows = np.zeros((n, 2))
        kernel.advance(x, p, n, rows)
        waves.append(rows)
    out = np.zeros(3)
    kernel.show(x, p, out)
    return x.tobytes(), np.vstack(waves).tobytes(), out.tobytes()


@pytest.fixture(scope="module")
def forms(tmp_path_factory: pytest.TempPathFactory) -> list[Kernel]:
    model = toy_model()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DRILLYARD_CACHE", str(tmp_path_factory.mktemp("cache")))
        compiled = c_kernel(model)
        kernels = [python_kernel(model), numba_kernel(model)]
        assert compiled is not None, "no C compiler found: install gcc to run this test"
        return [*kernels, compiled]


def test_python_numba_and_c_agree_to_the_bit(forms: list[Kernel]) -> None:
    results = [run(kernel, toy_model(), [730]) for kernel in forms]
    assert results[0] == results[1]
    assert results[0] == results[2]


def test_call_size_does_not_change_a_bit(forms: list[Kernel]) -> None:
    for kernel in forms:
        assert run(kernel, toy_model(), [730]) == run(kernel, toy_model(), [1, 99, 5, 600, 25])


def test_state_moves_at_all(forms: list[Kernel]) -> None:
    x, p = start(forms[0], toy_model())
    before = x.copy()
    forms[0].advance(x, p, 250, np.zeros((0, 2)))
    moved = {name for name, i in forms[0].layout.x_index.items() if x[i] != before[i]}
    assert moved == {"store_ml", "phase_frac", "beats", "tone_frac", "tired_frac", "taken_mg", "step_count"}


def broken(part, names=(), block="MID"):
    organ = SimpleNamespace(
        __name__="broken", NAMES=(*toy.ORGAN.NAMES, *names), PARTS={**toy.ORGAN.PARTS, block: (part,)}
    )
    return Model([organ], [], [], [STEP_COUNT])


def test_unknown_name_is_refused_with_near_matches() -> None:
    def part(tone_fracc):
        d_tone_frac_per_s = tone_fracc
        return d_tone_frac_per_s

    with pytest.raises(ModelTextError, match="reads 'tone_fracc', which is not known in MID"):
        broken(part)


def test_a_loop_in_a_part_is_refused() -> None:
    def part(tone_frac):
        d_tone_frac_per_s = 0.0
        while d_tone_frac_per_s < tone_frac:
            d_tone_frac_per_s = d_tone_frac_per_s + 1.0
        return d_tone_frac_per_s

    with pytest.raises(ModelTextError, match="While is not allowed"):
        broken(part)


def test_two_parts_may_not_set_one_name() -> None:
    def part(tone_frac):
        drive_ml = tone_frac
        return drive_ml

    with pytest.raises(ModelTextError, match="already set by"):
        broken(part)


def test_an_edited_parameter_is_seen() -> None:
    model = toy_model()
    kernel = python_kernel(model)
    x, p = start(kernel, model)
    y = x.copy()
    kernel.advance(x, p, 100, np.zeros((0, 2)))
    p[kernel.layout.p_index["gain"]] = 2.5
    kernel.advance(y, p, 100, np.zeros((0, 2)))
    assert x[kernel.layout.x_index["store_ml"]] != y[kernel.layout.x_index["store_ml"]]


def test_an_unmoved_state_is_named() -> None:
    organ = SimpleNamespace(
        __name__="still", NAMES=(State("idle_ml", 0.0, "mL", "never moved"), Mid("m", "1", "x")), PARTS={}
    )
    assert Model([organ], [], [], [STEP_COUNT]).unmoved == ["idle_ml"]
