"""Why a row has no experiment: said openly, in words that a reader of the report can use.

Looked up in this order: the row itself, words of the row, its kind, whether its drug is in the formulary.  Whoever
writes an experiment takes the row's sentence out here; a test watches that no answered row keeps one.
"""

from functools import lru_cache
from typing import Final

from drillyard.scripting import shipped_drugs
from drillyard.validation.table import Row

_SHARE_OF_PEOPLE: Final = "a share among many patients, which one computed patient cannot show"
_CUT_OFF: Final = "a cut-off of a decision rule from patient groups; it describes a test, not one body"
_PALPATION: Final = "how often fingers mislead rescuers is a property of people, which this version does not sample"
_AMPLITUDE: Final = "the size of fibrillation waves is drawn, not derived from the heart's energy"
_PRACTICE: Final = "what crews did before training; a body cannot answer it"
_KELMAN: Final = "Kelman's formula: the body shifts its curve by the Bohr slope of Severinghaus 1979 instead"
_ROWS: Final = {
    "GX024": _KELMAN,
    "GX025": _KELMAN,
    "GX077": "a definition for classing patients; there is nothing to measure",
    "LC022": "chronic lung and heart disease before the case is not modelled",
    "LC035": _SHARE_OF_PEOPLE,
    "CV026": "arterial elastance from a two-element fit; nothing in the program uses the formula",
    "CV095": "death by base deficit: " + _SHARE_OF_PEOPLE,
    "CV112": _PALPATION,
    "CV115": _PALPATION,
    "CV133": "the width of the QRS is drawn by the ECG, not derived from conduction in the body",
    "CV135": "pressure waves do not travel along the arteries of a lumped circulation",
    "CV136": "one arterial pressure: growth of the pulse towards the arm is not modelled",
    "CA001": _CUT_OFF,
    "CA005": _SHARE_OF_PEOPLE,
    "CA017": _AMPLITUDE,
    "CA021": _AMPLITUDE,
    "CA032": "a guideline's ratio, and what a crew does: nothing to measure in a body",
    "CA033": "a guideline's rate, and what a crew does: nothing to measure in a body",
    "CA036": "monophasic shocks are not modelled",
    "CA037": _SHARE_OF_PEOPLE,
    "CA048": _PRACTICE,
    "CA053": _CUT_OFF,
    "CA056": _CUT_OFF,
    "MN044": "the EEG is not modelled",
    "MN050": "a threshold of treatment, not a property of a body",
    "PK092": _SHARE_OF_PEOPLE,
    "PK096": "whether a team intubates is its decision, not the body's",
    "PK170": _SHARE_OF_PEOPLE,
}
_WORDS: Final = (
    (
        ("carboxy", "cohb", "carbon monoxide", "haldane constant", "methaemoglobin", "methb"),
        "carbon monoxide and methaemoglobin are not modelled yet",
    ),
    (
        ("paediatric", "child", "infant", "10 kg"),
        "children are modelled, but no experiment does what this row asks yet",
    ),
    (("acclimatised", "8400 m"), "acclimatisation to height over weeks is not modelled yet"),
    (("exercise", "treadmill", "maximal heart rate"), "exercise is not modelled"),
    (("potassium", "hyperkalaemia"), "potassium is modelled; what it does to the ECG has no experiment yet"),
    (("seizure", "status"), "seizures are modelled, but no experiment does what this row asks yet"),
    (("etco2 at 20 min",), "twenty minutes of resuscitation with and without return of flow have no experiment yet"),
    (("cerebral", "consciousness", "carotid"), "no experiment asks this of the brain yet"),
)
_KINDS: Final = {
    "guideline": "a teaching value, dose or target of a guideline that no data file of this version carries",
    "population": "needs many patients; this version has no experiment over many patients yet",
    "arithmetic": "nothing in the program uses this formula",
    "patient": "nobody has written the experiment yet",
    "parameter": "nobody has read this number from the drug file yet",
}
EXPLAINED: Final = frozenset(_ROWS)


@lru_cache(maxsize=1)
def _drug_words() -> tuple[str, ...]:
    return tuple(word.lower() for word in shipped_drugs().words())


def reason_for(row: Row) -> str:
    """The reason for a row that nothing answers, as one sentence without its full stop."""
    if row.id in _ROWS:
        return _ROWS[row.id]
    if row.kind in ("guideline", "population"):
        return _KINDS[row.kind]
    text = f"{row.check} {row.conditions}".lower()
    for words, reason in _WORDS:
        if any(word in text for word in words):
            return reason
    if row.area == "pkpd":
        name = row.check.split()[0].lower().strip(",")
        if any(word.startswith(name) for word in _drug_words()):
            return f"{name} is in the formulary, but this number of it has no experiment yet"
        return f"{name} is not in the formulary yet"
    return _KINDS[row.kind]
