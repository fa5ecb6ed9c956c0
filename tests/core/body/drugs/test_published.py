"""Levels and times of the four drugs against published figures.  Each figure's source stands beside it."""

import math

import pytest

from .conftest import Syringe

pytestmark = pytest.mark.reference


def course(formulary, drug, dose_mg, route, seconds, over_s=1.0, mass_kg=70.0):
    syringe = Syringe(formulary, mass_kg=mass_kg)
    syringe.give(drug, dose_mg, route, over_s)
    return syringe.run(seconds)


def peak_min(levels):
    return (levels.index(max(levels)) + 1) / 60.0


def test_epinephrine_level_during_2_ug_per_min(formulary):
    """Best & Halter 1982, J Clin Endocrinol Metab 55:263: arterial 862 +- 71 (SEM) pg/mL, basal 71 pg/mL."""
    level = course(formulary, "epinephrine", 0.060, "IV", 1800, over_s=1800.0)[-1][0]
    assert 700.0 <= 1000.0 * level + 71.0 <= 1050.0


def test_epinephrine_im_has_two_peaks(formulary):
    """Dreborg & Kim 2021, Allergy Asthma Clin Immunol 17:25: 5 to 10 and 30 to 50 min in adults.

    Peak level: Worm 2020, Clin Transl Allergy 10:21: 0.35 to 0.52 ng/mL (venous, 0.3 mg); venous is about 0.49 of
    arterial (Best & Halter 1982).  These were used to fit the absorption, so this checks the fit, not the body.
    """
    levels = [level for level, _ in course(formulary, "epinephrine", 0.3, "IM", 7200)]
    peaks = [i for i in range(1, len(levels) - 1) if levels[i - 1] < levels[i] >= levels[i + 1]]
    assert len(peaks) == 2
    assert 5.0 <= peaks[0] / 60.0 <= 10.0
    assert 30.0 <= peaks[1] / 60.0 <= 50.0
    assert 0.30 <= 0.49 * max(levels) <= 0.70


def test_epinephrine_half_life_after_im(formulary):
    """Simons 1998, J Allergy Clin Immunol 101:33: terminal 43 +- 15 min (children)."""
    levels = [level for level, _ in course(formulary, "epinephrine", 0.3, "IM", 3 * 3600)]
    half_life_min = 60.0 * math.log(2.0) / math.log(levels[2 * 3600 - 1] / levels[3 * 3600 - 1])
    assert 28.0 <= half_life_min <= 58.0


@pytest.mark.parametrize(("rate_ng_per_kg_per_min", "resistance_fall", "heart_rate_rise"), [
    (25.0, 0.31, 8.0), (50.0, 0.42, 12.0), (100.0, 0.48, 17.0),
])  # fmt: skip
def test_epinephrine_beta_shares_follow_the_dose_as_in_volunteers(
    formulary, rate_ng_per_kg_per_min, resistance_fall, heart_rate_rise
):
    """Stratton 1985, J Appl Physiol 58:1199.  Share over the share at the largest dose; used to set the levels."""

    def shares(rate):
        syringe = Syringe(formulary)
        syringe.give("epinephrine", rate * 70.0 * 14.0 / 1e6, "IV", 14.0 * 60.0)
        syringe.run(14 * 60)
        return syringe.share("beta2"), syringe.share("beta1")

    vessel, heart = shares(rate_ng_per_kg_per_min)
    vessel_most, heart_most = shares(100.0)
    assert vessel / vessel_most == pytest.approx(resistance_fall / 0.48, rel=0.08)
    assert heart / heart_most == pytest.approx(heart_rate_rise / 17.0, rel=0.08)


def test_fentanyl_reaches_the_brain_in_minutes(formulary):
    """Brain peak 6 min after a bolus: Anesthesiology 92:1559-1567, 2000.  Half of it at 25 to 45 s."""
    levels = [level for _, level in course(formulary, "fentanyl", 0.1, "IV", 1800)]
    assert 3.5 <= peak_min(levels) <= 7.0


def test_fentanyl_leaves_plasma_by_distribution(formulary):
    """McClain & Hug 1980, Clin Pharmacol Ther 28:106: 98.6 % gone from plasma at 60 min (row range 97 to 99.5)."""
    levels = [level for level, _ in course(formulary, "fentanyl", 0.35, "IV", 3600)]
    assert 0.97 <= 1.0 - levels[-1] / (1000.0 * 0.35 / 10.1) <= 0.995


def test_fentanyl_apnoea_dose_lies_high_on_the_curve_and_the_next_lower_one_does_not(formulary):
    """Dahan 2005, Br J Anaesth 94:825: apnoea from 2.9 ug/kg over 90 s, not at 2.1 ug/kg (CO2 held)."""

    def most(dose_ug_per_kg):
        syringe = Syringe(formulary)
        syringe.give("fentanyl", dose_ug_per_kg * 0.07, "IV", 90.0)
        return max((syringe.run(1), syringe.share("mu_opioid"))[1] for _ in range(900))

    assert most(2.9) > 0.87 > most(2.1)


def test_fentanyl_in_the_nose(formulary):
    """Pain Res Manag 2021:2887773, 47 ug: peak 0.34 ng/mL (geometric mean, CV 46 %), time 0.21 h."""
    levels = [level for level, _ in course(formulary, "fentanyl", 0.047, "IN", 3600)]
    assert max(levels) == pytest.approx(0.338, rel=0.3)
    assert peak_min(levels) == pytest.approx(12.6, abs=3.0)


def test_naloxone_im_peak_time(formulary):
    """Dowling 2008, Ther Drug Monit 30:490: median 12 min (row range 6 to 20)."""
    levels = [level for level, _ in course(formulary, "naloxone", 0.8, "IM", 7200, mass_kg=75.0)]
    assert 6.0 <= peak_min(levels) <= 20.0


def test_naloxone_area_after_im_and_nose(formulary):
    """Skulberg 2019, Addiction: 0.8 mg IM 3.09 +- 0.64, 1.4 mg IN 2.62 +- 0.94 h ng/mL (to the last sample, 6 h)."""
    for dose_mg, route, mean, spread in ((0.8, "IM", 3.09, 0.64), (1.4, "IN", 2.62, 0.94)):
        levels = [level for level, _ in course(formulary, "naloxone", dose_mg, route, 6 * 3600, mass_kg=75.0)]
        assert sum(levels) / 3600.0 == pytest.approx(mean, abs=spread)


def test_naloxone_half_life(formulary):
    """60 to 95 min (reference row on a volunteer study); Dowling's own set gives 63 min."""
    levels = [level for level, _ in course(formulary, "naloxone", 0.8, "IV", 4 * 3600, mass_kg=75.0)]
    assert 60.0 <= 60.0 * math.log(2.0) / math.log(levels[3 * 3600 - 1] / levels[4 * 3600 - 1]) <= 95.0


@pytest.mark.parametrize(
    ("dose_mg_per_kg", "blocked"), [(0.001, 0.19), (0.002, 0.43), (0.01, 0.65), (0.03, 0.81), (0.1, 0.97)]
)
def test_naloxone_blocks_receptors_as_seen_by_positrons(formulary, dose_mg_per_kg, blocked):
    """Table 1 of Trostheim et al., Neuropsychopharmacology (2022): share of mu receptors blocked 45 to 65 min after."""
    syringe = Syringe(formulary, mass_kg=75.0)
    syringe.give("naloxone", dose_mg_per_kg * 75.0, "IV")
    levels = [level for _, level in syringe.run(65 * 60)][45 * 60 :]
    level = sum(levels) / len(levels)
    assert level / (level + 0.33) == pytest.approx(blocked, abs=0.12)


def test_naloxone_acts_within_two_minutes_and_wears_off(formulary):
    """US prescribing information: onset apparent within 2 min of an intravenous dose.

    Against an opioid that stays (here fentanyl held at 6 ng/mL at the effect site) 0.4 mg loses half its effect after
    30 to 90 min (Goodman & Gilman 14th ed., 2023, from memory: renarcotisation after 45 min).
    """
    from drillyard.core.body.drugs import slots

    syringe = Syringe(formulary)
    syringe.give("fentanyl", 1.0, "IV")
    syringe.x[slots.X_FEED_LEFT] = 0.0

    def second():
        syringe.x[slots.X_SITE + slots.SITE_MAIN] = 0.006
        syringe.x[slots.X_MODE] = 0.006 * 10.1
        syringe.run(1)
        return syringe.share("mu_opioid")

    assert second() > 0.95
    syringe.give("naloxone", 0.4, "IV")
    shares = [second() for _ in range(2 * 3600)]
    assert shares[20] > 0.9 and shares[59] < 0.75 and shares[119] < 0.4
    lost_min = next(i for i, share in enumerate(shares) if i > 300 and share > 0.5) / 60.0
    assert 25.0 <= lost_min <= 90.0


def test_tranexamic_acid_im_reaches_inhibiting_levels(formulary):
    """Grassin-Delyle 2021, Br J Anaesth 126:201: 5 mg/L after 4 min, 10 mg/L after 11 min of 1 g IM.

    Their time above 10 mg/L, 5.6 h, is 4.0 h here with their own mean parameters: a departure that we cannot explain.
    """
    levels = [level / 1000.0 for level, _ in course(formulary, "tranexamic acid", 1000.0, "IM", 1800)]
    assert 2.0 <= next(i for i, level in enumerate(levels) if level >= 5.0) / 60.0 <= 8.0
    assert 7.0 <= next(i for i, level in enumerate(levels) if level >= 10.0) / 60.0 <= 18.0


def test_tranexamic_acid_inhibits_as_in_the_review(formulary):
    """Picetti 2019, Blood Coagul Fibrinolysis 30:1: 5 to 10 mg/L partly, 10 to 15 mg/L substantially."""
    syringe = Syringe(formulary)
    syringe.give("tranexamic acid", 1000.0, "IV", 600.0)
    syringe.run(600)
    assert syringe.plasma() > 15_000.0
    assert syringe.share("antifibrinolysis") > 0.85
