"""The shipped formulary and a bleeding case as the entry line sees them, for tests."""

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.care.actions import GiveDrug
from drillyard.core.entry import Box, DrugAtHand, EntryContext, LineAtHand

LABELS_PER_ML = {"epinephrine": (1.0, 0.1), "fentanyl": (0.05,), "naloxone": (0.4,), "tranexamic acid": (100.0,)}
"""Labels of the test's own drug box."""

FORMULARY = packaged_formulary()
DRUGS = tuple(DrugAtHand(drug=FORMULARY.get(name), labels_per_ml=labels) for name, labels in LABELS_PER_ML.items())

CASE = EntryContext(
    drugs=DRUGS,
    mass_kg=80.0,
    box=Box(line_gauges=(14, 18), needle_gauges=(14,), tube_sizes=(7.0, 7.5), pharyngeal_sizes=(3.0, 4.0)),
    now_s=300.0,
    lines=(LineAtHand(kind="IV", site="right arm"), LineAtHand(kind="IO", site="left tibia")),
    bleeding_sites=("left thigh",),
    chest_sides=("left",),
    crew=("anna", "ben"),
    done=((-600.0, GiveDrug(drug="epinephrine", dose=0.3, route="IM", site="thigh")),),
)
