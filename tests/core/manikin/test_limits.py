"""Limits while a run goes on.  Which limits a manikin has is common practice, no source; the numbers are invented."""

from dataclasses import replace

import pytest

from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.core.care import actions as a
from drillyard.core.manikin.limits import limit_warnings, wear

MANIKIN = LabFolder(DEMO).manikin("adult-manikin-a").use()


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (a.PlaceAirway(device="tracheal tube", size=7.5), "7.5 mm is larger than the 7 mm"),
        (a.PlaceAirway(device="tracheal tube", size=7.0, depth_cm=26.0), "26 cm is deeper than the 24 cm"),
        (a.PlaceLine(site="left arm", gauge=18), "18 gauge is thicker than the 20 gauge"),
        (a.PlaceLine(line_kind="IO", site="left leg", gauge=15), "only into this manikin's marked insert"),
        (a.DecompressChest(side="left", gauge=14), "marked insert. Of this manikin: into the marked insert and no"),
        (a.DecompressChest(side="right", gauge=14), "Decompress chest, right is forbidden"),
        (a.Shock(energy_j=200.0), "Shock is forbidden on this manikin: no live shocks"),
        (a.Compress(depth_cm=7.0), "7 cm is deeper than the 6 cm"),
        (a.Compress(rate_per_min=160.0, depth_cm=5.0), "160 /min is faster than the 140 /min"),
        (a.Ventilate(volume_ml=1000.0), "1000 mL is more than the 800 mL"),
        (a.StartFluid(fluid="crystalloid", volume_ml=1000.0, line="right arm"), "1000 mL is more than the 500 mL"),
    ],
)
def test_says_what_is_too_much_for_this_manikin(action: a.Action, words: str) -> None:
    assert words in " ".join(limit_warnings(action, 0.0, MANIKIN))


@pytest.mark.parametrize(
    "action",
    [
        a.PlaceAirway(device="tracheal tube", size=7.0, depth_cm=22.0),
        a.PlaceAirway(device="supraglottic airway", size=4.0),
        a.PlaceLine(site="right arm", gauge=20),
        a.ControlBleeding(how="tourniquet", site="left thigh"),
        a.Compress(),
        a.Ventilate(),
        a.GiveDrug(drug="naloxone", dose=0.4, route="IV"),
        a.Say(what="order", text="needle"),
        a.Examine(finding="SpO2"),
    ],
)
def test_is_silent_about_what_it_takes(action: a.Action) -> None:
    assert limit_warnings(action, 0.0, MANIKIN) == []


def test_counts_uses_at_one_site_and_not_at_the_other() -> None:
    left, right = a.PlaceLine(site="left arm", gauge=20), a.PlaceLine(site="right arm", gauge=20)
    earlier = [(float(t), left) for t in range(4)]
    assert "4 in a session are allowed, and this is number 5" in " ".join(limit_warnings(left, 9.0, MANIKIN, earlier))
    assert limit_warnings(right, 9.0, MANIKIN, earlier) == []


def test_asks_for_the_rest_between_two_uses() -> None:
    tourniquet = a.ControlBleeding(how="tourniquet", site="left thigh")
    said = [limit_warnings(tourniquet, t_s, MANIKIN, [(10.0, tourniquet)]) for t_s in (70.0, 130.0)]
    rest = "Control bleeding tourniquet: rest 120 s between two; wait 60 s more."
    assert said == [[rest, "Of this manikin: loosen it as soon as the run ends."], []]


def test_wear_is_counted_by_part_and_forbidden_acts_wear_nothing() -> None:
    done = [
        a.PlaceLine(site="left arm", gauge=20), a.PlaceLine(site="right arm", gauge=20), a.DecompressChest(side="left"),
        a.DecompressChest(side="right"), a.Compress(), a.Ventilate(),
    ]  # fmt: skip
    uses = wear(done, MANIKIN)
    assert uses == {"vein pad": 2, "chest skin": 1, "bone pad": 0, "airway lining": 0, "chest spring": 1}


@pytest.mark.parametrize(("fluids", "fluid", "words"), [
    ("none", "crystalloid", "takes no fluid at all"), ("none", "red cells", "takes no fluid at all"),
    ("water only", "red cells", "takes water only; run in water for the red cells"),
    ("water only", "crystalloid", ""), ("training fluid only", "red cells", ""),
])  # fmt: skip
def test_says_which_fluids_this_manikin_takes(fluids: str, fluid: str, words: str) -> None:
    """The row's own limit comes first, then what the manikin takes as a whole."""
    action = a.StartFluid(fluid=fluid, volume_ml=250.0, line="left arm")
    rows = tuple(
        replace(row, limit=replace(row.limit, fluids=fluids)) if row.procedure == "start fluid" else row
        for row in MANIKIN.procedures
    )
    said = " ".join(limit_warnings(action, 0.0, replace(MANIKIN, procedures=rows)))
    assert (words in said) if words else "takes" not in said
    bare = tuple(
        replace(row, limit=replace(row.limit, fluids=None)) if row.procedure == "start fluid" else row
        for row in MANIKIN.procedures
    )
    whole = " ".join(limit_warnings(action, 0.0, replace(MANIKIN, procedures=bare, fluids=fluids)))
    assert (words in whole) if words else "takes" not in whole
