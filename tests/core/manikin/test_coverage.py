"""Coverage and limits.  Facts of the trade (sizes printed on manikin parts, what needs a work-around) are common
practice, no source; the profile under test is invented."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.core.manikin.coverage import QUALITY, Coverage, Room, coverage, kit_item_warnings
from drillyard.core.manikin.profile import Limit, ManikinFault, ProcedureAllowed, Profile
from drillyard.core.scenario.kit import KitItem
from drillyard.core.scenario.model import Scenario
from drillyard.core.signals.findings import FINDINGS

LAB = LabFolder(DEMO)
MANIKIN = LAB.manikin("adult-manikin-a").use()
CASES = [LAB.scenario(name).use() for name in LAB.names("scenarios")]
C8 = LAB.scenario("c8-tractor").use()
KITS = {name: LAB.kit(name).use() for name in LAB.names("kits")}


def _covered(scenario: Scenario = C8, manikin: Profile = MANIKIN, room: Room | None = None) -> Coverage:
    return coverage(scenario, manikin, room, KITS[scenario.kit])


def test_a_tube_limit_of_7_mm_flags_a_larger_tube_and_no_smaller_one() -> None:
    words = ("place airway tracheal tube",)
    warned = [
        kit_item_warnings(KitItem(name=f"tube {size}", count=1, procedures=words, size_mm=size), MANIKIN)
        for size in (6.0, 7.0, 7.5, 8.0)
    ]
    assert [bool(warnings) for warnings in warned] == [False, False, True, True]
    assert "7.5 mm is larger than 7.0 mm" in warned[2][0]


def test_a_vein_limit_of_20_gauge_says_nothing_about_the_decompression_needle() -> None:
    needle = KitItem(name="needle", count=1, procedures=("decompress chest",), gauge=14)
    cannula = KitItem(name="cannula", count=1, procedures=("place line IV",), gauge=14)
    assert kit_item_warnings(needle, MANIKIN) == []
    assert all("14 gauge is thicker than 20 gauge" in warning for warning in kit_item_warnings(cannula, MANIKIN))
    assert kit_item_warnings(cannula, MANIKIN)


def test_a_limit_at_one_arm_does_not_bind_the_other() -> None:
    rows = (
        ProcedureAllowed(procedure="place line IV", site="left arm", how="possible", limit=Limit(gauge_thickest=20)),
        ProcedureAllowed(procedure="place line IV", site="right arm", how="possible", limit=Limit(gauge_thickest=16)),
    )
    manikin = replace(MANIKIN, procedures=rows)
    for sites, n_warnings in ((("right arm",), 0), (("left arm",), 1), ((), 1)):
        item = KitItem(name="cannula", count=1, procedures=("place line IV",), gauge=18, sites=sites)
        assert len(kit_item_warnings(item, manikin)) == n_warnings, sites


def test_the_needle_goes_only_into_the_insert_and_only_on_the_left() -> None:
    left, right = MANIKIN.procedure("decompress chest left"), MANIKIN.procedure("decompress chest right")
    assert left is not None and left.how == "on insert only"
    assert right is not None and right.how == "forbidden"


def test_an_unnamed_airway_falls_under_the_general_row() -> None:
    named = MANIKIN.procedure("place airway tracheal tube")
    assert named is not None and named.how == "possible"
    unnamed = replace(MANIKIN, procedures=tuple(r for r in MANIKIN.procedures if r != named))
    row = unnamed.procedure("place airway tracheal tube")
    assert row is not None and row.how == "forbidden"


def test_what_is_broken_today_changes_the_answer_at_once() -> None:
    fault = ManikinFault(what="left lung speaker dead", findings=("left breath sound",), procedures=("compress",))
    today = replace(MANIKIN, faults=(fault,))
    before, after = _covered(), _covered(manikin=today)
    sound = after.of("left breath sound")
    assert sound is not None and sound.way == "told" and "left lung speaker dead" in sound.detail
    assert after.score < before.score
    assert "compress" in after.gaps and "compress" not in before.gaps


def test_every_finding_of_the_catalogue_gets_an_answer() -> None:
    for scenario in CASES:
        assert [row.finding for row in _covered(scenario).findings] == list(FINDINGS)


def test_what_is_neither_modelled_nor_scripted_cannot_be_supplied() -> None:
    for name in ("12-lead", "ultrasound", "rash"):
        row = _covered().of(name)
        assert row is not None and row.way == "cannot be supplied" and row.detail


@pytest.mark.parametrize("finding", ["SpO2", "exhaled CO2", "heart rate", "pressure"])
def test_numbers_come_from_the_room_monitor_or_are_told(finding: str) -> None:
    with_monitor, without = _covered().of(finding), _covered(room=Room(monitor=(), devices=())).of(finding)
    assert with_monitor is not None and with_monitor.way == "room monitor"
    assert without is not None and without.way in ("told", "on the manikin")


def test_a_print_without_a_printer_is_a_card() -> None:
    handouts = tuple(replace(handout, how="print") for handout in C8.handouts)
    scenario = replace(C8, handouts=handouts)
    ways = [_covered(scenario, room=Room(has_printer=has)).of("neck veins") for has in (True, False)]
    assert [row.way for row in ways if row] == ["print", "card"]


def test_demo_cases_can_be_played_on_the_demo_manikin() -> None:
    for scenario in CASES:
        covered = _covered(scenario)
        assert covered.gaps == ()
        assert 0.7 <= covered.score < 1.0  # the demo manikin has honest gaps


@settings(deadline=None, max_examples=50)
@given(st.sets(st.sampled_from([row.finding for row in MANIKIN.findings])))
def test_breaking_more_never_helps(names: set[str]) -> None:
    """Breaking a finding never raises the score, as long as no supply beats what the manikin showed of it."""
    best_supply = max(value for way, value in QUALITY.items() if way in ("card", "prop", "told", "print"))
    shown = {n for n in names if (r := MANIKIN.finding(n)) and r.shows == "shown"}
    assert best_supply < QUALITY["on the manikin"]
    fault = ManikinFault(what="test", findings=tuple(sorted(shown)))
    assert _covered(manikin=replace(MANIKIN, faults=(fault,))).score <= _covered().score
