"""The parameters on the page of each organ: ``python -m drillyard.adapters.exchange.organ_pages [--check]``.

What a page says in words is written by hand; the table at its end is made from the organ's ``NAMES``.
"""

import argparse
import sys
from collections import Counter
from pathlib import Path
from typing import Final

from drillyard.core.body.assembly import ORGANS
from drillyard.core.numerics.names import Param
from drillyard.core.quantities.sources import status_of

FOLDER: Final = Path("docs/body")
HEAD: Final = "## Parameters"
_PAGES: Final = {
    "couple.heart": "heart",
    "couple.vessels": "vessels",
    "couple.posture": "vessels",
    "couple.lungs": "lungs",
    "couple.demand": "metabolism",
    "kidney_fluids": "fluids",
    "surface.readings": "monitor",
    "surface.sensors": "monitor",
    "surface.breath_readings": "monitor",
}
"""Module or package under ``core/body`` -> page, where it is not the package's own name."""


def page_of(module: str) -> str:
    """The page of an organ's module."""
    path = module.removeprefix("drillyard.core.body.")
    package = path.partition(".")[0]
    return _PAGES.get(path, _PAGES.get(package, package))


def tables() -> dict[str, str]:
    """Page -> its section of parameters, for every page whose organs have any."""
    by_page: dict[str, list[tuple[str, Param]]] = {}
    for organ in ORGANS:
        for value in organ.NAMES:
            if isinstance(value, Param):
                by_page.setdefault(page_of(organ.__name__), []).append((organ.__name__.rpartition(".")[2], value))
    return {page: _section(params) for page, params in by_page.items()}


def _section(params: list[tuple[str, Param]]) -> str:
    counts = Counter(status_of(param.source) for _, param in params)
    told = ", ".join(f"{n} {status}" for status, n in counts.most_common())
    rows = [
        f"| `{param.name}` | {param.value:g} | {param.unit} | {_cell(param.meaning)} | {_cell(param.source)} "
        f"| {status_of(param.source)} |"
        for _, param in params
    ]
    return (
        f"{HEAD}\n\nMade from `NAMES` in the code by `python -m drillyard.adapters.exchange.organ_pages`; do not edit "
        f"below this line. Values of the reference man of 40 years, 70 kg and 175 cm. Of {len(params)}: {told}.\n\n"
        "| name | value | unit | meaning | source | status |\n|---|---|---|---|---|---|\n" + "\n".join(rows) + "\n"
    )


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def with_table(text: str, section: str) -> str:
    """A page's text with its table renewed, the words above it untouched."""
    return text.partition(f"\n{HEAD}\n")[0].rstrip("\n") + "\n\n" + section


def outdated(folder: Path) -> dict[Path, str]:
    """Page -> its text as it should be, for those that differ or are missing."""
    found = {}
    for name, section in tables().items():
        path = folder / f"{name}.md"
        text = path.read_text(encoding="utf-8") if path.is_file() else f"# {name.replace('_', ' ').capitalize()}\n"
        if not path.is_file() or with_table(text, section) != text:
            found[path] = with_table(text, section)
    return found


def main() -> int:
    """Write the tables, or with ``--check`` compare them."""
    parser = argparse.ArgumentParser(description="Write the table of parameters on the page of each organ.")
    parser.add_argument("--check", action="store_true", help="compare only; exit 1 when a page is old")
    is_check = parser.parse_args().check
    old = outdated(FOLDER)
    for path, text in old.items():
        print(f"{path} {'is old: run this without --check' if is_check else 'written'}")
        if not is_check:
            path.write_text(text, encoding="utf-8")
    return 1 if old and is_check else 0


if __name__ == "__main__":
    sys.exit(main())
