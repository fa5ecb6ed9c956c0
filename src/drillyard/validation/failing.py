"""Why a row fails, where the cause is known: shown beside the number, never used to excuse it from the counts."""

from typing import Final

from drillyard.validation.table import Row

_WHY: Final[dict[str, str]] = {
    "CV053": "output comes within 2 % of its last value sooner: limb veins yield less, or faster, than in the study",
    "CV116": "just under: the swing hangs on the effort of each breath; 800 mL for a breathless patient is our choice",
    "CV124": "pressure falls for 12 s instead of 5, so that the late recovery of phase II comes after the 15 s",
    "LC037": "likely because the computed lungs mix evenly: there are no slow spaces that wash out late; nitrogen that "
    "comes back from tissues is counted",
    "CA060": "likely because here ventilation alone changes; the study's slope is one over many patients and moments, "
    "in whom flow changes as well",
    "PK071": "the drug file follows Bae 2020, whose terminal half-life is longer than that of this row's older study",
    "PK013": "the drug file's clearance is arterial (Best and Halter 1982); with the extraction of that same study the "
    "forearm gives just less than this one measured",
    "PK015": "a rise of 5 % in ten minutes is taken as the start; the study looked at each volunteer's first change",
    "PK023": "the drug file holds the clearance of Silverberg 1978, which this study's levels contradict (they ask for "
    "1.9 L/min); the body's own norepinephrine is not in our level either",
    "PK026": "half of the plateau is taken as onset; with a half-life of two minutes a level gets there sooner than "
    "the label's words say",
    "PK055": "two studies put the peak under the tongue at 2 and at 5.3 min; one absorption has to answer both",
    "PK085": "full dissociation comes sooner than in the label's words: arm to heart, then a brain that fills quickly",
    "PK088": "absorption from muscle in the drug file is slow, so that the level stays up for longer",
    "PK105": "a fifth of the most is taken as onset, for every row alike; the label does not say what it counts",
    "PK160": "a fifth of the most is taken as onset, for every row alike; an AV node's answer is seen later in a rate",
    "PK171": "a fifth of the most is taken as onset, for every row alike; the dose takes the level far over half "
    "effect",
}
"""Row -> one sentence.  A row that passes again takes its sentence out: a test watches that each names a real row."""

EXPLAINED: Final = frozenset(_WHY)


def why_it_fails(row: Row, value: float) -> str:
    """How far a value lies outside its range, and the cause where it is known."""
    edge, side = (row.low, "below") if value < row.low else (row.high, "above")
    gap = f"{abs(value - edge):.3g} {row.unit} {side} the range"
    return f"{gap}: {_WHY[row.id]}" if row.id in _WHY else f"{gap}; the cause has not been found"
