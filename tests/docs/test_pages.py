"""The documentation holds: links lead somewhere, examples run, commands exist, generated pages are up to date."""

import argparse
import re
import subprocess
import sys
from pathlib import Path

import pytest

from drillyard.adapters.exchange import organ_pages, schemas, signals_page
from drillyard.cli import VERBS, check, cite, rehearse, serve, validate
from drillyard.core.measures.page import measures_page
from drillyard.validation.kept import read_page
from drillyard.validation.table import reference_rows
from drillyard.web import typescript

ROOT = Path(__file__).resolve().parents[2]


def _files() -> list[str]:
    if (ROOT / ".git").exists():
        words = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
        done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
        return done.stdout.splitlines()
    made = {".venv", ".cache", "node_modules", "static", "lab", "__pycache__", ".mypy_cache", ".ruff_cache"}
    return [
        path.relative_to(ROOT).as_posix()
        for path in sorted(ROOT.rglob("*"))
        if path.is_file() and not made & set(path.relative_to(ROOT).parts)
    ]


TRACKED = _files()
PAGES = [name for name in TRACKED if name.endswith(".md") and (ROOT / name).is_file()]
FENCE = re.compile(r"^```(\w*)\n(.*?)^```", re.MULTILINE | re.DOTALL)
MODULES = {"serve": serve, "check": check, "rehearse": rehearse, "validate": validate, "cite": cite}


def _anchors(text: str) -> set[str]:
    heads = re.findall(r"^#+ (.+)$", FENCE.sub("", text), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).strip().replace(" ", "-") for head in heads}


@pytest.mark.parametrize("name", PAGES)
def test_links_between_pages_lead_somewhere(name: str) -> None:
    page = ROOT / name
    text = page.read_text(encoding="utf-8")
    missing = []
    for target in re.findall(r"\[[^\]]*\]\(([^)\s]+)\)", FENCE.sub("", text)):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, anchor = target.partition("#")
        linked = (page.parent / path).resolve() if path else page
        if not linked.exists() or (anchor and anchor not in _anchors(linked.read_text(encoding="utf-8"))):
            missing.append(target)
    assert not missing, f"{name} links to {missing}"


def test_every_page_of_the_documentation_is_reached_from_its_index() -> None:
    seen: set[Path] = set()
    waiting = [ROOT / "README.md", ROOT / "docs" / "index.md"]
    while waiting:
        page = waiting.pop()
        if page in seen or page.suffix != ".md" or not page.is_file():
            continue
        seen.add(page)
        targets = re.findall(r"\]\(([^)#\s]+)", page.read_text(encoding="utf-8"))
        waiting += [(page.parent / target).resolve() for target in targets if ":" not in target]
    lonely = [name for name in PAGES if name.startswith("docs/") and ROOT / name not in seen]
    assert not lonely


@pytest.mark.parametrize(("page", "n_least"), [("scripting.md", 4), ("bedside-formulas.md", 4)])
def test_the_examples_of_the_guides_run(page: str, n_least: int) -> None:
    text = (ROOT / "docs" / page).read_text(encoding="utf-8")
    blocks = [code for language, code in FENCE.findall(text) if language == "python"]
    assert len(blocks) >= n_least
    # One namespace, in order, as a reader would type them.
    names: dict[str, object] = {}
    for number, code in enumerate(blocks, start=1):
        exec(compile(code, f"docs/{page}, example {number}", "exec"), names)


def _options(verb: str) -> set[str]:
    parser = argparse.ArgumentParser()
    subparsers = parser.add_subparsers()
    MODULES[verb].add_parser(subparsers)
    actions = subparsers.choices[verb]._actions
    return {name for action in actions for name in action.option_strings if name.startswith("--")} - {"--help"}


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_and_option_is_documented_and_nothing_else_is(verb: str) -> None:
    text = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    section = re.search(rf"^## {verb}$(.*?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL)
    assert section is not None, f"docs/commands.md has no section on {verb}"
    assert set(re.findall(r"--[a-z][a-z-]*", section.group(1))) == _options(verb)


def test_start_py_is_documented_with_every_option() -> None:
    told = subprocess.run([sys.executable, "start.py", "--help"], cwd=ROOT, capture_output=True, text=True, check=True)
    options = set(re.findall(r"--[a-z][a-z-]*", told.stdout)) - {"--help"}
    text = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    section = text[text.index("## start.py") : text.index("## serve")]
    assert set(re.findall(r"--[a-z][a-z-]*", section)) == options


@pytest.mark.parametrize("name", ["README.md", "CONTRIBUTING.md", "docs/commands.md"])
def test_commands_named_in_pages_exist(name: str) -> None:
    text = (ROOT / name).read_text(encoding="utf-8")
    told = re.sub(r"^.*VERB.*$", "", text, flags=re.MULTILINE)
    for verb in re.findall(r"(?:start\.py run|`drillyard) ([a-z]+)\b", told):
        assert verb in VERBS, f"{name} names the verb '{verb}'"
    for module in re.findall(r"-m (drillyard[\w.]+)", text):
        file = ROOT / "src" / Path(*module.split("."))
        assert file.with_suffix(".py").is_file() or (file / "__main__.py").is_file(), f"{name} names {module}"
    for file in re.findall(r"(?:python3? |bash )([\w./-]+\.(?:py|sh)|\.ci/\w+)", text):
        assert (ROOT / file).is_file(), f"{name} names {file}"


def test_generated_pages_are_up_to_date() -> None:
    assert (ROOT / "docs/signals.md").read_text(encoding="utf-8") == signals_page.page()
    assert (ROOT / "docs/measures.md").read_text(encoding="utf-8") == measures_page()
    for name, schema in schemas.schemas().items():
        assert (ROOT / f"docs/files/{name}.schema.json").read_text(encoding="utf-8") == schemas.text_of(schema), name


def test_each_organ_has_a_page_with_its_parameters_and_what_it_leaves_out() -> None:
    folder = ROOT / "docs" / "body"
    assert not organ_pages.outdated(folder), "run: python -m drillyard.adapters.exchange.organ_pages"
    for name in organ_pages.tables():
        words = (folder / f"{name}.md").read_text(encoding="utf-8").partition(f"\n{organ_pages.HEAD}\n")[0]
        assert re.search(r"\*\*(?:Leaves|Left) out\.\*\*", words), f"{name}.md does not say what is left out"
        assert re.search(r"\b(?:18|19|20)\d\d\b", words), f"{name}.md cites no source by its year"


def test_the_validation_page_has_every_row_and_was_made_from_all_experiments() -> None:
    kept = read_page((ROOT / "docs" / "validation" / "index.html").read_text(encoding="utf-8"))
    assert list(kept) == [row.id for row in reference_rows()]
    left_out = [row for row, (verdict, _) in kept.items() if verdict == "left out"]
    assert not left_out, "made with --fast: run drillyard validate --html docs/validation/index.html"


def test_the_screens_types_are_those_of_the_messages() -> None:
    assert typescript.TARGET.read_text(encoding="utf-8") == typescript.proto_text()


def test_the_changelog_has_a_place_for_what_comes_next() -> None:
    heads = re.findall(r"^## (.+)$", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert heads[0] == "Unreleased"


def test_each_decision_has_context_decision_and_consequence_and_its_own_number() -> None:
    pages = sorted((ROOT / "docs" / "decisions").glob("*.md"))
    assert [int(page.name[:4]) for page in pages] == list(range(1, len(pages) + 1))
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert text.startswith(f"# {page.name[:4]}: ")
        assert all(f"**{part}.**" in text for part in ("Context", "Decision", "Consequence")), page.name


def test_no_tracked_file_names_a_machine_or_a_registry() -> None:
    here = Path(__file__).name
    # Split, so that this file does not hold what it looks for.
    forbidden = ["/" + "work/", "/" + "tmp/", "/" + "root/", "pypi" + ".org", "npmjs" + ".org", "python" + "hosted",
                 '"' + 'resolved"', ".." + "/shared"]  # fmt: skip
    found = []
    for name in TRACKED:
        path = ROOT / name
        if path.name == here or not path.is_file() or path.suffix in {".png", ".woff2"}:
            continue
        text = path.read_text(encoding="utf-8", errors="replace")
        found += [f"{name}: {word}" for word in forbidden if word in text]
    assert not found
