"""The body is a pure function: same case, seed and events give the same bits, however they are computed."""

import subprocess
import sys
import threading

import numpy as np
import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.kernel import load_kernel
from drillyard.adapters.kernel.yardstick import c_kernel
from drillyard.core.body.assembly import body_model
from drillyard.core.body.body import Body
from drillyard.core.body.patient import Patient
from drillyard.core.care.actions import Compress, GiveDrug, GiveOxygen, Shock, Ventilate
from drillyard.core.care.problems import Arrest, Bleeding, Pneumothorax
from drillyard.core.numerics.kernel import Kernel
from drillyard.core.quantities.faults import Refusal

MAN = Patient(age_years=38.0, sex="male", mass_kg=88.0, height_cm=180.0)


def played(kernel: Kernel, chunk: int = 100, seconds: int = 60, settle_s: int = 240) -> Body:
    """A short hard case: bleeding, valve in the chest, opioid, bagging, fibrillation, compressions, shock."""
    body = Body.healthy(MAN, 5, packaged_formulary(), kernel, settle_s)
    events = {
        0: lambda: (
            body.set_problem(Bleeding(name="a", rate_ml_per_min=200.0, site="left thigh")),
            body.set_problem(Pneumothorax(name="b", side="left", leak_ml_per_s_per_cmh2o=0.6)),
        ),
        seconds // 4: lambda: (
            body.apply(GiveDrug(drug="fentanyl", dose=100.0, dose_unit="ug", route="IV")),
            body.apply(GiveOxygen(device="reservoir mask", flow_l_per_min=15.0)),
        ),
        seconds // 2: lambda: (
            body.apply(Ventilate(rate_per_min=12.0)),
            body.set_problem(Arrest(name="c", rhythm="ventricular fibrillation")),
        ),
        seconds * 5 // 8: lambda: (
            body.apply(Compress()),
            body.apply(GiveDrug(drug="epinephrine", dose=1.0, route="IV")),
        ),
        seconds * 7 // 8: lambda: (body.apply(Shock(energy_j=200.0)),),
    }
    for second in range(seconds):
        if second in events:
            events[second]()
        left = 100
        while left:
            n = min(chunk, left)
            body.advance(n)
            left -= n
    return body


@pytest.fixture(scope="module")
def usual() -> Body:
    return played(load_kernel())


@pytest.mark.parametrize("chunk", [1, 7, 50])
def test_call_size_does_not_change_a_bit(usual: Body, chunk: int) -> None:
    assert played(load_kernel(), chunk).state_hash() == usual.state_hash()


def test_snapshot_is_small_and_restores_to_the_bit(usual: Body) -> None:
    snapshot = usual.snapshot()
    assert len(snapshot) <= 16_384
    twin = Body.healthy(MAN, 5, packaged_formulary(), load_kernel())
    twin.restore(snapshot)
    assert twin.state_hash() == usual.state_hash()
    on = usual.copy()
    for body in (on, twin):
        body.advance(3000)
    assert on.state_hash() == twin.state_hash()


def test_threads_do_not_change_a_bit(usual: Body) -> None:
    hashes: list[str] = []
    threads = [threading.Thread(target=lambda: hashes.append(played(load_kernel()).state_hash())) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert hashes == [usual.state_hash()] * 3


def test_another_process_gives_the_same_bits(usual: Body) -> None:
    text = (
        "from tests.core.body.test_determinism import played;"
        "from drillyard.adapters.kernel import load_kernel;"
        "print(played(load_kernel()).state_hash())"
    )
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == usual.state_hash()


def test_plain_python_and_c_give_the_same_bits() -> None:
    compiled = c_kernel(body_model())
    assert compiled is not None, "no C compiler found: install gcc to run this test"
    kernels = [load_kernel("numba"), load_kernel("python"), compiled]
    bodies = [played(kernel, seconds=16, settle_s=5) for kernel in kernels]
    for other in bodies[1:]:
        differ = np.flatnonzero(bodies[0].x != other.x)
        assert [bodies[0].kernel.layout.x_names[i] for i in differ if i < len(bodies[0].kernel.layout.x_names)] == []
        assert bodies[0].read_all() == other.read_all()


def test_a_copy_leaves_its_original_alone(usual: Body) -> None:
    before = usual.state_hash()
    twin = usual.copy()
    twin.apply(GiveDrug(drug="naloxone", dose=0.4, route="IV"))
    twin.advance(500)
    assert usual.state_hash() == before
    assert twin.state_hash() != before


def test_another_seed_is_another_patient_file() -> None:
    body = Body.healthy(MAN, 6, packaged_formulary(), load_kernel())
    with pytest.raises(Refusal, match="another patient"):
        body.restore(Body.healthy(MAN, 5, packaged_formulary(), load_kernel()).snapshot())


def test_unknown_names_are_refused_with_near_matches(usual: Body) -> None:
    with pytest.raises(Refusal, match="heart_rate_per_min"):
        usual.read("heart_rate_per_minute")


def test_a_fourth_wound_is_refused() -> None:
    body = Body.healthy(MAN, 5, packaged_formulary(), load_kernel())
    for number in range(3):
        body.set_problem(Bleeding(name=f"w{number}", rate_ml_per_min=1.0, site="left arm"))
    with pytest.raises(Refusal, match="at most 3 bleeding wounds"):
        body.set_problem(Bleeding(name="w3", rate_ml_per_min=1.0, site="left arm"))
