"""What a drug may do in the body: the receptors at which it acts and the substances that it brings into the blood.

Two tables and nothing else.  The slots, the checks of drug files, their schema and the documentation read them; a
further row goes at the end of its table.  Each receptor is a state of the body, ``state``: the share of its full
effect by drugs, 0 at rest.  Each substance is a state too: the rate at which it arrives in the blood.
"""

from dataclasses import dataclass
from typing import Final, Literal

Receptor = Literal[
    "mu_opioid", "alpha1", "beta1", "beta2", "antifibrinolysis", "central_nervous_depression", "v1_vasopressin",
    "dopamine_d1", "vagal_block", "airway_muscarinic_block", "adenosine_a1", "alpha1_block", "beta1_block",
    "beta2_block", "calcium_channel_block", "sodium_channel_block", "potassium_channel_block", "nitric_oxide",
    "nitric_oxide_scavenging", "arterial_dilation", "benzodiazepine_site", "anaesthetic", "nmda_block",
    "catecholamine_release", "sympathetic_depression", "diaphragm_block", "hand_block", "potassium_release",
    "opioid_analgesia", "non_opioid_analgesia", "antiseizure", "uterotonic", "magnesium_action", "insulin_action",
    "glucagon_action", "loop_diuretic", "antipyretic", "antiemetic", "histamine_h1_block", "histamine_release",
    "dopamine_d2_block", "fibrinolysis", "antithrombotic", "antiplatelet", "steroid_action", "airway_beta2",
    "airway_alpha1", "cyanide_binding",
]  # fmt: skip
Substance = Literal[
    "glucose", "sodium", "chloride", "potassium", "calcium", "magnesium", "bicarbonate", "osmoles", "water",
    "cyanide_binder",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReceptorRow:
    """One receptor or effect.

    ``meaning`` says what a share of 1 is.  ``blocks`` names the receptor that this row blocks against the body's own
    transmitter: a drug that acts here is written as an antagonist of that receptor too, so that it meets other drugs.
    """

    name: Receptor
    state: str
    meaning: str
    blocks: Receptor | None = None


@dataclass(frozen=True, slots=True)
class SubstanceRow:
    """One substance that a drug may consist of: ``state`` is its arrival in the blood, in ``unit`` per second."""

    name: Substance
    state: str
    unit: Literal["mg", "mmol", "mosm", "mL"]
    meaning: str


def _row(name: Receptor, meaning: str, blocks: Receptor | None = None, state: str = "") -> ReceptorRow:
    return ReceptorRow(name, state or f"{name}_frac", meaning, blocks)


RECEPTORS: Final[tuple[ReceptorRow, ...]] = (
    _row("mu_opioid", "breathing: share of the full opioid effect, after an antagonist's competition",
         state="mu_opioid_occupancy_frac"),
    _row("alpha1", "vessels narrow: share of the full alpha-1 effect of drugs", state="alpha1_occupancy_frac"),
    _row("beta1", "heart faster and stronger: share of the full beta-1 effect of drugs", state="beta1_occupancy_frac"),
    _row("beta2", "muscle vessels and airways widen: share of the full beta-2 effect of drugs",
         state="beta2_occupancy_frac"),
    _row("antifibrinolysis", "share of the full inhibition of clot breakdown"),
    _row("central_nervous_depression",
         "share of full unconsciousness by a drug that has no row of its own below, after an antagonist's competition"),
    _row("v1_vasopressin", "vessels narrow through the vasopressin receptor"),
    _row("dopamine_d1", "vessels of kidney and gut widen through the dopamine receptor"),
    _row("vagal_block", "share of the vagus on the heart that is blocked (atropine)"),
    _row("airway_muscarinic_block", "share of vagal airway narrowing that is blocked"),
    _row("adenosine_a1", "conduction of the AV node blocked, sinus node slowed"),
    _row("alpha1_block", "share of alpha-1 receptors of vessels closed to the body's own nerves", "alpha1"),
    _row("beta1_block", "share of beta-1 receptors of the heart closed to the body's own nerves", "beta1"),
    _row("beta2_block", "share of beta-2 receptors closed to the body's own epinephrine", "beta2"),
    _row("calcium_channel_block", "AV node slowed, heart weaker, arteries wider"),
    _row("sodium_channel_block", "conduction in the ventricles slowed (QRS), ectopic beats held down"),
    _row("potassium_channel_block", "repolarisation prolonged (QT)"),
    _row("nitric_oxide", "veins widen first, arteries at larger shares"),
    _row("nitric_oxide_scavenging", "the body's own nitric oxide bound: pressure rises"),
    _row("arterial_dilation", "arteries widen directly, veins not"),
    _row("benzodiazepine_site", "share of the full sedation by the benzodiazepine site, after an antagonist"),
    _row("anaesthetic", "share of full hypnosis by a general anaesthetic"),
    _row("nmda_block", "share of full dissociation by NMDA block"),
    _row("catecholamine_release", "sympathetic outflow raised by the drug (ketamine's pressor effect)"),
    _row("sympathetic_depression", "sympathetic outflow lowered by the drug"),
    _row("diaphragm_block", "share of the force of diaphragm and larynx that is lost"),
    _row("hand_block", "share of the force of hand and limb muscles that is lost"),
    _row("potassium_release", "potassium let out of muscle: share of the drug's full release"),
    _row("opioid_analgesia", "share of full pain relief by opioids, after an antagonist"),
    _row("non_opioid_analgesia", "share of full pain relief by other drugs"),
    _row("antiseizure", "share of the full suppression of a seizure"),
    _row("uterotonic", "share of the full contraction of the womb"),
    _row("magnesium_action", "muscle and nerve quietened by magnesium: 0.5 where tendon reflexes are lost"),
    _row("insulin_action", "share of the full uptake of glucose and potassium under insulin"),
    _row("glucagon_action", "share of the full output of glucose from the liver"),
    _row("loop_diuretic", "share of the full loop diuresis"),
    _row("antipyretic", "share of a fever's raised set point that is taken away"),
    _row("antiemetic", "share of the full relief of nausea"),
    _row("histamine_h1_block", "share of H1 receptors blocked"),
    _row("histamine_release", "histamine set free by the drug: share of its full effect"),
    _row("dopamine_d2_block", "agitation calmed: share of D2 receptors blocked"),
    _row("fibrinolysis", "share of the full breakdown of clots"),
    _row("antithrombotic", "share of the full inhibition of clotting"),
    _row("antiplatelet", "share of the full inhibition of platelets"),
    _row("steroid_action", "share of the full anti-inflammatory effect, hours after the dose"),
    _row("airway_beta2", "airways widen by what was breathed in and lies there; beside what beta2 does from the blood"),
    _row("airway_alpha1", "swollen upper airway shrinks by what was breathed in and lies in it"),
    _row("cyanide_binding", "share of the full binding of cyanide"),
)  # fmt: skip
"""In the order of the slots."""

SUBSTANCES: Final[tuple[SubstanceRow, ...]] = (
    SubstanceRow("glucose", "glucose_given_mg_per_s", "mg", "glucose"),
    SubstanceRow("sodium", "sodium_given_mmol_per_s", "mmol", "sodium ions"),
    SubstanceRow("chloride", "chloride_given_mmol_per_s", "mmol", "chloride ions"),
    SubstanceRow("potassium", "potassium_given_mmol_per_s", "mmol", "potassium ions"),
    SubstanceRow("calcium", "calcium_given_mmol_per_s", "mmol", "calcium ions"),
    SubstanceRow("magnesium", "magnesium_given_mmol_per_s", "mmol", "magnesium ions"),
    SubstanceRow("bicarbonate", "bicarbonate_given_mmol_per_s", "mmol", "bicarbonate ions"),
    SubstanceRow("osmoles", "osmoles_given_mosm_per_s", "mosm", "osmoles beside the ions and glucose (mannitol)"),
    SubstanceRow("water", "water_given_ml_per_s", "mL", "water of the solution, where its volume matters"),
    SubstanceRow("cyanide_binder", "cyanide_binder_given_mmol_per_s", "mmol", "molecules that bind one cyanide each"),
)
"""In the order of the slots."""

RECEPTOR_ORDER: Final[tuple[str, ...]] = tuple(row.name for row in RECEPTORS)
SUBSTANCE_ORDER: Final[tuple[str, ...]] = tuple(row.name for row in SUBSTANCES)
BLOCKS: Final[dict[str, str]] = {row.name: row.blocks for row in RECEPTORS if row.blocks}
SUBSTANCE_UNIT: Final[dict[str, str]] = {row.name: row.unit for row in SUBSTANCES}
