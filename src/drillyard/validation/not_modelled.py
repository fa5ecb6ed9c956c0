"""Why a row has no experiment: said openly, in words that a reader of the report can use."""

from drillyard.validation.table import Row

_BY_WORD = (
    (
        ("carboxy", "cohb", "carbon monoxide", "haldane constant", "methaemoglobin", "methb"),
        "carbon monoxide and methaemoglobin are not modelled yet",
    ),
    (("paediatric", "child", "infant", "10 kg"), "this version models adults only"),
    (
        ("chronic", "3-5 days", "acclimatised", "12-24 h"),
        "renal compensation and acclimatisation over days are not modelled yet",
    ),
    (("lbnp", "lower body"), "lower-body suction is not modelled yet"),
    (("exercise", "treadmill", "maximal heart rate"), "exercise is not modelled"),
    (("glucose", "dextrose", "glucagon", "hypoglycaemia", "insulin"), "glucose metabolism is not modelled yet"),
    (("potassium", "hyperkalaemia"), "potassium is not modelled yet"),
    (("seizure", "status epilepticus"), "seizures are not modelled yet"),
    (("valsalva",), "the Valsalva manoeuvre is not modelled yet"),
    (("hypothermia", "cooling", "shivering", "fever", "temperature"), "temperature regulation is not modelled yet"),
)
_BY_KIND = {
    "guideline": "a dose, target or threshold of a guideline: a check on data files, never evidence about the body",
    "population": "needs many patients; this version answers single patients",
    "parameter": "this drug is not in the formulary yet",
    "arithmetic": "this formula is not used by this version",
    "patient": "no experiment yet: this version does not model what the row needs",
}


def reason_for(row: Row) -> str:
    """The reason for a row that nothing answers."""
    if row.kind in ("guideline", "population"):
        return _BY_KIND[row.kind]
    text = f"{row.check} {row.conditions}".lower()
    for words, reason in _BY_WORD:
        if any(word in text for word in words):
            return reason
    if row.area == "pkpd":
        return "this drug or this effect of it is not in the formulary yet"
    return _BY_KIND[row.kind]
