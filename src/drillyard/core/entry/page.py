"""The page of the entry line as text, made from its commands; ``docs/entry-line.md`` is compared with it by a test."""

import sys
from typing import Final

from drillyard.core.entry.commands import commands

_HEAD: Final = """# The entry line

Made from `src/drillyard/core/entry` by `python -m drillyard.core.entry.page > docs/entry-line.md`; do not edit it.

TRAINING ONLY. Usual doses are shown for checking what was typed, never as advice; local protocols and licensed practice
come first.

One line is one entry. It is said back in full before Enter, with side, dose and route set off. Generic drug names only.

- **Drugs**: name, dose with its unit, route, and if you like a place and a time, in any order: `epi 0.3 mg im r thigh`,
  `txa 1 g iv over 10 min`, `nlx 1 ml iv` (from the label in the box). A number without a unit is taken only where one
  reading alone is a usual dose; otherwise you are asked. A dose outside the published ones is shown with them and
  logged only on a second Enter, and the log says so.
- **Strengths**: per cent, before or after the name, or in it, turn millilitres into a dose: `dextrose 10% 250 ml iv`,
  `d10 100 ml iv`, `nacl 3% 250 ml iv`; so does `of 1 mg/ml`, or `1:10000`. 1 % is 10 mg/mL. Where the box holds several
  strengths and none is named, you are asked. `bicarb 1 amp iv` is one of those in the box.
- **By body mass**: `ketamine 1.5 mg/kg iv`, with the patient's mass; the line shows the total before Enter.
- **Again**: `repeat epi` gives its last dose once more. A dose sooner than any published pause is said to be so.
- **Infusions**: a drug with a rate, `norepinephrine 8 mcg/min iv`, `insulin 5 units/h`; a rate by volume needs what
  runs, `30 ml/h of 0.016 mg/ml`, unless the box holds just one bag of it. A new rate takes the place of the old one;
  `norepinephrine stop` ends it.
- **Looks**: the finding's own word does: `gcs`, `pupils`, `sugar`, `listen left`.
- **Late**: a time in front, `@2:10 tq l thigh`. **Take back** the newest entry: `undo`.
- Sides are `l` and `r` or written out. Write decimals with a point.
- What nothing here knows is kept as text, and it is said that the body does not change.

| first word | is | for instance |
|---|---|---|
"""


def entry_page() -> str:
    """The whole page in Markdown."""
    rows: dict[str, str] = {}
    for command in commands().values():
        words = ", ".join(f"`{word}`" for word in command.words if not word.endswith(":"))
        examples = " · ".join(f"`{example}`" for example in command.examples)
        rows.setdefault(words, f"| {words} | {command.about} | {examples} |")
    return _HEAD + "\n".join(rows.values()) + "\n"


if __name__ == "__main__":
    sys.stdout.write(entry_page())
