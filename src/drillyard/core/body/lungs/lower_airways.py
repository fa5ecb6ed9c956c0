"""Lower airways: muscle spasm, swelling and mucus of the bronchi, and what opens them again.

In:       spasm, share of it that is swelling and mucus, secretions, aspirated matter (controls); drugs at beta-2,
          muscarinic, magnesium and steroid receptors.
Out:      resistance of the lower airways over rest, unevenness of emptying, share of blood that meets badly
          ventilated alveoli, wasted ventilation.
Assumes:  resistance goes with the inverse fourth power of the radius (Poiseuille); full spasm leaves 40 % of the
          radius, some 50 cmH2O s/L; four fifths of it 18 (severe acute asthma 10-30 and more: from memory).  Drugs
          relax muscle only; swelling and mucus go with steroids over hours.  Airways widen with the volume of the lung
          (Briscoe and DuBois 1958, J Clin Invest 37:1279).  Low ventilation over blood flow: a third of the blood in
          severe asthma (Rodriguez-Roisin 1989, J Appl Physiol 67:?, order from memory).
Left out: single bronchi and plugs, one side worse than the other, exercise, time course of an attack by itself (the
          scenario gives it), drug that does not arrive where breaths are small.
"""

from typing import Final

from drillyard.core.body.couple.receptor import together_frac
from drillyard.core.numerics.elementary import clamp, sqrt
from drillyard.core.numerics.names import Mid, Param

NAMES: Final = (
    Param("spasm_radius_lost_frac", 0.60, "1", "share of the radius of the bronchi lost in full spasm",
          "our choice: gives 39 times the resistance at rest, about 50 cmH2O s/L in the worst attack"),
    Param("beta2_relaxes_frac", 0.65, "1", "share of muscle spasm that full beta-2 stimulation takes away",
          "FEV1 in acute asthma 35 to 55 % of predicted within an hour (order of Rodrigo 2002, from memory)"),
    Param("muscarinic_relaxes_frac", 0.25, "1", "share of what is left that muscarinic block takes away",
          "some 7-10 % of predicted FEV1 on top (Rodrigo and Castro-Rodriguez 2005, Thorax 60:740, from memory)"),
    Param("magnesium_relaxes_frac", 0.5, "1", "share of what is left that full magnesium action takes away",
          "2 g reach a tenth to a fifth of it: a small gain (Rowe 2000, from memory)"),
    Param("steroid_calms_frac", 0.7, "1", "share of swelling and mucus that full steroid action takes away",
          "over 4-6 h (Rowe 2001, from memory)"),
    Mid("airway_narrow_frac", "1", "narrowing of the bronchi now, 0 none, 1 the narrowest"),
    Mid("airway_resistance_frac", "1", "resistance of the lower airways over rest, at resting lung volume"),
    Mid("uneven_frac", "1", "unevenness of emptying: fall of CO2 from the last to the first alveolar gas of a breath"),
)  # fmt: skip


def lower_airways(
    bronchospasm_frac, bronchospasm_swelling_frac, airway_mediators_frac, secretions_frac, aspirated_frac,
    beta2_occupancy_frac, airway_beta2_frac, airway_muscarinic_block_frac, magnesium_action_frac, steroid_action_frac,
    spasm_radius_lost_frac, beta2_relaxes_frac, muscarinic_relaxes_frac, magnesium_relaxes_frac, steroid_calms_frac,
):  # fmt: skip
    """Narrowing that is left after drugs."""
    airway_narrow_frac = 0.0
    airway_resistance_frac = 1.0
    uneven_frac = 0.0
    trouble = bronchospasm_frac + airway_mediators_frac + secretions_frac + aspirated_frac
    if trouble > 0.0:
        # what gets into the bronchi makes them narrow by its bulk and by spasm
        spasm = clamp(bronchospasm_frac + airway_mediators_frac + 0.5 * aspirated_frac, 0.0, 1.0)
        swelling = clamp(bronchospasm_swelling_frac, 0.0, 1.0)
        beta2 = together_frac(beta2_occupancy_frac, airway_beta2_frac)
        left = (
            (1.0 - beta2_relaxes_frac * beta2)
            * (1.0 - muscarinic_relaxes_frac * airway_muscarinic_block_frac)
            * (1.0 - magnesium_relaxes_frac * magnesium_action_frac)
        )
        muscle = spasm * (1.0 - swelling) * left
        wall = spasm * swelling * (1.0 - steroid_calms_frac * steroid_action_frac)
        airway_narrow_frac = clamp(muscle + wall + 0.35 * secretions_frac, 0.0, 1.0)
        radius = 1.0 - spasm_radius_lost_frac * airway_narrow_frac
        square = radius * radius
        airway_resistance_frac = 1.0 / (square * square)
        uneven_frac = clamp(0.75 * (1.0 - 1.0 / sqrt(airway_resistance_frac)), 0.0, 0.7)
    return airway_narrow_frac, airway_resistance_frac, uneven_frac


PARTS: Final = {"CALM": (lower_airways,)}
