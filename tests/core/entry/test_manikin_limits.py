"""What the entry line says of the manikin before Enter.  Limits as such are tested in ``tests/core/manikin``."""

from dataclasses import replace

from drillyard.adapters.files.case_files import CaseFiles
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.core.care.actions import ControlBleeding, DecompressChest
from drillyard.core.entry import parse
from drillyard.service.case import open_case

CONTEXT = replace(open_case(CaseFiles(LabFolder(DEMO)), "c8-tractor", "adult-manikin-a").at_hand, now_s=200.0)


def test_a_tube_that_is_too_large_is_warned_of_with_the_limit_and_logged_at_once() -> None:
    result = parse("tube 7.5 at 22", CONTEXT)
    assert result.is_complete and not result.needs_confirmation
    assert "7.5 mm is larger than the 7 mm that this manikin takes" in result.warning
    assert "nothing larger than 7.0 mm" in result.warning, "what the profile says to do instead"
    assert result.warned == result.warning
    assert result.sentence == parse("tube 7.5 at 22", replace(CONTEXT, profile=None)).sentence


def test_what_goes_only_into_an_insert_is_a_warning_and_no_question() -> None:
    result = parse("needle left 5", CONTEXT)
    assert "only into this manikin's marked insert" in result.warned
    assert not result.needs_confirmation


def test_what_is_forbidden_wants_a_second_enter_and_names_the_stand_in() -> None:
    result = parse("needle right 5", CONTEXT)
    assert result.needs_confirmation
    assert "is forbidden on this manikin" in result.warning and "tell what would have happened" in result.warning
    again = parse("needle right 5", CONTEXT, confirmed=True)
    assert not again.needs_confirmation and again.warned == result.warned
    assert isinstance(again.action, DecompressChest)
    assert parse("shock 200", CONTEXT).needs_confirmation


def test_an_unusual_dose_and_a_manikin_are_both_said() -> None:
    profile = CONTEXT.profile
    assert profile is not None
    barred = tuple(replace(row, how="forbidden") if row.procedure == "give drug" else row for row in profile.procedures)
    result = parse("naloxone 40 mg iv", replace(CONTEXT, profile=replace(profile, procedures=barred)))
    assert "usual" in result.warning and "forbidden on this manikin" in result.warning
    assert "usual" not in result.warned


def test_a_late_entry_is_held_against_what_was_done_before_it() -> None:
    done = ((150.0, ControlBleeding(how="tourniquet", site="left thigh")),)
    context = replace(CONTEXT, done=done)
    assert "rest 120 s between two; wait 70 s more" in parse("tq right thigh", context).warned
    assert parse("@2:20 tq right thigh", context).warned == ""


def test_without_a_profile_nothing_is_said() -> None:
    result = parse("shock 200", replace(CONTEXT, profile=None))
    assert (result.warned, result.needs_confirmation) == ("", False)
