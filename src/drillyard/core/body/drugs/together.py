"""Drugs that put to sleep, taken together.

Each of the four rows benzodiazepine_site, anaesthetic, central_nervous_depression (opioids) and nmda_block is the
share of full unconsciousness that the drug would bring alone.  Together they bring more than their sum.

Form: Greco's response surface without its square root (Greco 1990, Cancer Res 50:5318; used for anaesthetics by
Bouillon 2004, Anesthesiology 100:1353, beside the general surface of Minto 2000, Anesthesiology 92:1603): with u the
level of each drug over its level of half effect, U = sum of u + sum of alpha u u', and the effect is
U^slope / (1 + U^slope).

The three alphas follow from Short, Plummer & Chui 1992 (Br J Anaesth 69:162-167, abstract read): the doses that put
half of 400 women to sleep were less than those of simple addition by 37 % for midazolam with propofol, 46 % for
midazolam with an opioid, 20 % for propofol with an opioid.  In equal parts of s/2 each, s + alpha s^2 / 4 = 1 gives
alpha = 4 (1 - s) / s^2.  Their fourth figure, 42 % for all three, was not used and comes out (test).
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, pow_

BENZODIAZEPINE_WITH_ANAESTHETIC: Final = 3.73
BENZODIAZEPINE_WITH_OPIOID: Final = 6.31
ANAESTHETIC_WITH_OPIOID: Final = 1.25
SLOPE: Final = 3.0
"""Steepness in mixtures (our choice: between 1.5 to 5 as published for single drugs).  A drug alone gets back exactly
the share that its own file gives, whatever stands here."""
MOST: Final = 0.999
"""A share is taken for at most this: the level behind full effect has no end."""


def level_over_half(share_frac: float) -> float:
    """How many times its level of half effect a drug alone must have for this share."""
    share = clamp(share_frac, 0.0, MOST)
    return pow_(share / (1.0 - share), 1.0 / SLOPE)


def hypnosis_frac(benzodiazepine_frac: float, anaesthetic_frac: float, opioid_frac: float, nmda_frac: float) -> float:
    """Share of full unconsciousness by all drugs together, from the share that each would bring alone.

    Args: the states benzodiazepine_site_frac, anaesthetic_frac, central_nervous_depression_frac, nmda_block_frac.
    NMDA block adds plainly, from memory: with propofol (Hui 1995, Anesthesiology 82:641), with midazolam (Hong 1993).
    """
    benzodiazepine = level_over_half(benzodiazepine_frac)
    anaesthetic = level_over_half(anaesthetic_frac)
    opioid = level_over_half(opioid_frac)
    together = (
        benzodiazepine
        + anaesthetic
        + opioid
        + level_over_half(nmda_frac)
        + BENZODIAZEPINE_WITH_ANAESTHETIC * benzodiazepine * anaesthetic
        + BENZODIAZEPINE_WITH_OPIOID * benzodiazepine * opioid
        + ANAESTHETIC_WITH_OPIOID * anaesthetic * opioid
    )
    odds = pow_(together, SLOPE)
    return odds / (1.0 + odds)
