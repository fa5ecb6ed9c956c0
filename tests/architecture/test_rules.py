"""The rules of ARCHITECTURE.md and CONTRIBUTING.md that a program can check."""

import ast
import dataclasses
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import drillyard.core
from drillyard.cli import VERBS
from drillyard.core.quantities.units import unit_of_name

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "drillyard"
CORE = SOURCE / "core"
LONGEST_LINES = 450

# Fields that hold a number whose unit stands beside it in the same record, or that have no unit.
UNIT_BESIDE = {
    "value", "low", "high", "level", "level_low", "level_high", "high_limit", "step_size", "start", "dose", "size",
    "number", "got", "uncertainty", "largest", "values", "x_start", "beside", "true_value", "rate", "amount",
    "actual", "most",
}  # fmt: skip
NO_UNIT = {
    "seed", "score", "quality", "phase", "n_cycles", "n_waiting", "last_failed", "beat_count", "cut_off", "left",
    "foot", "back", "shares", "by_itself", "share", "others", "tube_sizes", "supraglottic_sizes", "read",
    "pharyngeal_sizes",
}  # fmt: skip
# A matrix, or pairs of a time in seconds (or a signal) and something else; their docstrings give the units.
TABLES = {"rates", "beats", "rhythm", "told", "cuff_asked", "done", "limits", "ampoules"}
# Numbers of one value each: the first and second of two sampled breaths.
NUMBERED = {"etco2_1", "etco2_2", "rate_1", "rate_2"}
# As people say it: "jumped 25 minutes" in a log, "for 60 days" in a case.
IN_WORDS = {"minutes", "days"}
KNOWN_NAMES = UNIT_BESIDE | NO_UNIT | TABLES | NUMBERED | IN_WORDS


def _modules() -> Iterator[Path]:
    for path in sorted([*SOURCE.rglob("*.py"), *(ROOT / "tests").rglob("*.py"), *(ROOT / "benchmarks").rglob("*.py")]):
        if "static" not in path.parts:
            yield path


def _core_dataclasses() -> Iterator[type]:
    for info in pkgutil.walk_packages(drillyard.core.__path__, "drillyard.core."):
        module = importlib.import_module(info.name)
        for _, kind in inspect.getmembers(module, inspect.isclass):
            if kind.__module__ == module.__name__ and dataclasses.is_dataclass(kind):
                yield kind


def test_imports_run_downward_only() -> None:
    tool = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([str(tool)], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_a_number_of_the_core_has_its_unit_last_in_its_name() -> None:
    nameless = [
        f"{kind.__module__}.{kind.__name__}.{field.name}"
        for kind in _core_dataclasses()
        for field in dataclasses.fields(kind)
        if "float" in str(field.type) and unit_of_name(field.name) is None and field.name not in KNOWN_NAMES
    ]
    assert not nameless


def test_no_exception_from_the_unit_rule_has_outlived_its_field() -> None:
    names = {field.name for kind in _core_dataclasses() for field in dataclasses.fields(kind)}
    assert names >= KNOWN_NAMES, KNOWN_NAMES - names


def test_no_module_has_grown_into_several() -> None:
    long = {
        str(path.relative_to(ROOT)): n
        for path in _modules()
        if (n := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_LINES
    }
    assert not long


def test_the_core_reads_no_clock_and_draws_no_global_numbers() -> None:
    # .importlinter forbids the modules; here the calls that would get round it.
    wrong = []
    for path in sorted(CORE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute):
                text = ast.unparse(node)
                if text.endswith((".now", ".utcnow", "date.today")) or text.startswith(("np.random", "numpy.random")):
                    wrong.append(f"{path.relative_to(ROOT)}:{node.lineno} {text}")
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in {"open", "input"}:
                wrong.append(f"{path.relative_to(ROOT)}:{node.lineno} {node.func.id}()")
    assert not wrong


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_has_a_module_with_its_two_functions(verb: str) -> None:
    module = importlib.import_module(f"drillyard.cli.{verb}")
    assert callable(module.add_parser)
    assert callable(module.run)


def test_every_verb_module_is_a_verb() -> None:
    parts = {"__init__", "__main__", "wiring"}
    assert {path.stem for path in (SOURCE / "cli").glob("*.py")} - parts == set(VERBS)


def test_a_quick_verb_does_not_load_the_compiler_or_the_server() -> None:
    code = (
        "import sys\nfrom drillyard.cli import main\n"
        "try:\n    main(['check', '--help'])\nexcept SystemExit:\n    pass\n"
        "print(*(m for m in ('numba', 'fastapi', 'sqlalchemy', 'pint') if m in sys.modules), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stderr.split() == []


def test_every_test_module_is_found_and_no_test_is_skipped_without_a_reason() -> None:
    for path in (ROOT / "tests").rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        if path == Path(__file__):
            continue
        assert "pytest.skip" not in text, f"{path} skips: a test that cannot run must say so by failing"
        assert "mark.xfail" not in text, f"{path} expects to fail"


def _pins(lock: str) -> dict[str, str]:
    lines = (ROOT / lock).read_text(encoding="utf-8").splitlines()
    return dict(line.split(" ", 1)[0].split("==", 1) for line in lines if "==" in line and line[0].isalnum())


def test_the_tests_run_with_the_very_versions_that_are_shipped() -> None:
    ships, tests = _pins("requirements.lock"), _pins("requirements-test.lock")
    assert len(ships) > 20
    assert ships.items() <= tests.items(), ships.items() - tests.items()


def test_every_pin_of_a_lock_has_hashes() -> None:
    for lock in ("requirements.lock", "requirements-test.lock", "requirements-node.lock"):
        entries = re.split(r"\n(?=[a-z0-9])", (ROOT / lock).read_text(encoding="utf-8"))[1:]
        assert entries
        assert all("--hash=sha256:" in entry for entry in entries), lock
