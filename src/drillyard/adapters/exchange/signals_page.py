"""The page of all signals, made from the table: ``python -m drillyard.adapters.exchange.signals_page [--check]``."""

import argparse
import sys
from pathlib import Path

from drillyard.core.quantities.signals import RHYTHMS, SIGNALS

PAGE = Path("docs/signals.md")
_HEAD = """# Signals

Every number that can be read from the patient, by name. Scenario rules, crew scripts, measures, holds and
`patient["..."]` in scripts use these names. The unit is the last part of each name. `low` and `high` bound what the
body may ever produce; they say nothing about what is normal.

Made from `src/drillyard/core/quantities/signals.py`; edit there.
"""


def page() -> str:
    """The page as text."""
    lines = [_HEAD]
    for system in dict.fromkeys(signal.system for signal in SIGNALS.values()):
        lines += [f"\n## {system.capitalize()}\n", "| name | unit | low | high | meaning |", "|---|---|---|---|---|"]
        lines += [
            f"| `{s.name}` | {s.unit} | {s.low:g} | {s.high:g} | {s.meaning} |"
            for s in SIGNALS.values()
            if s.system == system
        ]
    lines.append("\nRhythm codes: " + ", ".join(f"{code} {name}" for code, name in RHYTHMS.items()) + ".")
    return "\n".join(lines) + "\n"


def main() -> int:
    """Write the page, or with ``--check`` compare it."""
    parser = argparse.ArgumentParser(description="Write docs/signals.md from the signal table.")
    parser.add_argument("--check", action="store_true", help="compare only; exit 1 when the page is old")
    if parser.parse_args().check:
        same = PAGE.read_text(encoding="utf-8") == page()
        print("docs/signals.md is up to date" if same else "docs/signals.md is old: run this without --check")
        return 0 if same else 1
    PAGE.write_text(page(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
