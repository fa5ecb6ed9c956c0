"""The page of measures as text, made from the definitions; ``docs/measures.md`` is compared with it by a test."""

import sys
from typing import Final

from drillyard.core.measures.catalogue import GENERAL, MEASURES

_KIND: Final = {"S": "published", "L": "local teaching choice", "memory": "from memory"}

_HEAD: Final = """# Measures

Made from `src/drillyard/core/measures` by `python -m drillyard.core.measures.page > docs/measures.md`; do not edit it.

TRAINING ONLY. Targets are teaching defaults for a medical director to accept or change; local protocols and licensed
practice come first.

**Zero** is *at patient* (on the ward *at bedside*) unless the definition says otherwise. **An interval** is the later
time minus the earlier one; its uncertainty is sqrt(u1^2 + u2^2) of the two times (one standard deviation; 1 s for an
entry made at once, at least 5 s for one entered late, 0.5 s for a value that stood on a screen). Time that a declared
jump let pass at once is no crew time and does not count, but for the patient's own times (scene time, injury to drug,
burdens). **Judging:** *met*
when value and uncertainty both lie inside the target, *not met* when both lie outside, *cannot say* when they span it.
**Not done by the end** prints ">" and the time to the end, and is *not met* only if the target time had passed. **Not
applicable** is left out of any count. There is no total score. Entries taken back do not count; corrections and late
entries count at their own time; a false start counts for nothing.

**What is read:** what the crew did, said, obtained or could see on a screen. Rows marked *patient, not crew* read the
computed body.

| number | measure | formula | unit | target | target is | source |
|---|---|---|---|---|---|---|
"""


def measures_page() -> str:
    """The whole page in Markdown."""
    rows = []
    for number, (row, _) in sorted(MEASURES.items()):
        title = f"{row.title} (patient, not crew)" if row.is_patient_not_crew else row.title
        every = "" if number in GENERAL else " \u2020"
        cells = (f"{number}{every}", title, row.definition, row.unit, row.target, _KIND[row.source_kind], row.source)
        rows.append("| " + " | ".join(cells) + " |")
    foot = "\n\u2020 computed where the scenario lists its number; all others are computed for every case.\n"
    return _HEAD + "\n".join(rows) + "\n" + foot


if __name__ == "__main__":
    sys.stdout.write(measures_page())
