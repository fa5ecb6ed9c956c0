"""How the crew comes by a finding: obtained on the manikin or the room monitor, or supplied by the operator.

The value that is logged is the one that the crew got: from the manikin, what it was set to show; from the room
monitor, what it shows; told or handed over, what the body has now.  What the body has is logged beside it.
"""

from collections.abc import Mapping

from drillyard.core.care.ways import How
from drillyard.core.manikin.profile import FindingShown, Profile
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.scenario.model import Scenario
from drillyard.core.session.director import scripted_now
from drillyard.core.session.events import FindingAsked, FindingObtained
from drillyard.core.session.run import Run
from drillyard.core.signals.findings import FINDINGS, Finding
from drillyard.core.signals.readings import Reading
from drillyard.service.case import Case


def known_finding(name: str) -> Finding:
    """The row of the catalogue.

    Raises:
        Refusal: no finding of that name; near matches are offered.
    """
    row = FINDINGS.get(name)
    if row is None:
        near = near_matches(name, tuple(FINDINGS))
        raise Refusal(Fault(code="unknown finding", said=f"there is no finding '{name}'", value=name, near=near))
    return row


def obtained(case: Case, run: Run, finding: str, how: How) -> FindingObtained:
    """The crew got ``finding`` in the way ``how``, now.

    Raises:
        Refusal: unknown finding; a room monitor whose sensor is not on; a finding that nothing here can supply.
    """
    row = known_finding(finding)
    truth = true_reading(case.scenario, run, row)
    match how:
        case "on the manikin":
            got = _on_manikin(case.profile, run, row, truth)
        case "room monitor":
            got = _on_monitor(run, row)
        case _:
            got = truth
    if not got.words:
        raise Refusal(
            Fault(
                code="cannot be supplied",
                said=f"the case and the body have nothing for '{row.label}'",
                remedy="answer in your own words as a note, and script it in the case for the next time",
            )
        )
    waiting = next((asked for asked in run.state.waiting if asked.finding == finding), None)
    return FindingObtained(
        finding=finding,
        value=got.level,
        text=f"{row.label}: {got.words}",
        how=how,
        true_value=truth.level,
        requested_t_s=waiting.t_s if waiting is not None else None,
    )


def asked(case: Case, finding: str) -> FindingAsked:
    """The crew asked for a finding that has to be told or handed over."""
    return FindingAsked(finding=finding, text=known_finding(finding).label)


def true_reading(scenario: Scenario, run: Run, row: Finding) -> Reading:
    """What the body, or for a scripted finding the scenario, has now."""
    for scripted in scripted_now(scenario, run.state.rules, run.t_s):
        if scripted.finding == row.id:
            return Reading(None, scripted.words)
    handout = next((handout for handout in scenario.handouts if handout.finding == row.id), None)
    if row.origin != "body" and handout is not None:
        return Reading(None, handout.text or handout.title)
    if row.id == "stated weight":
        return Reading(scenario.patient.mass_kg, f"{scenario.patient.mass_kg:g} kg")
    return row.read(run.signals()) if row.origin == "body" else Reading(None, "")


def _on_manikin(profile: Profile, run: Run, row: Finding, truth: Reading) -> Reading:
    """What the manikin shows: its last setting where a hand sets it, else what the body has."""
    shown = profile.finding(row.id)
    if shown is None or shown.set_by != "hand":
        return truth
    setting = next((entry.setting for entry in run.state.manikin if entry.finding == row.id), None)
    if setting is None:
        return truth
    return Reading(level_of(shown, setting), setting)


def level_of(shown: FindingShown, setting: str) -> float | None:
    """The level that a setting of the manikin stands for; None where the setting has no number."""
    for step in shown.steps:
        if step.setting == setting:
            return step.level
    try:
        return float(setting)
    except ValueError:
        return None


def _on_monitor(run: Run, row: Finding) -> Reading:
    on_screen: Mapping[str, float | None] = run.shown()
    wanted = [signal for signal in row.signals if signal in on_screen] or list(row.signals[:1])
    values = {signal: on_screen.get(signal) for signal in wanted}
    missing = [signal for signal, value in values.items() if value is None]
    if missing:
        sensor = row.measured_with or "sensor"
        raise Refusal(
            Fault(
                code="not on the monitor",
                said=f"the room monitor shows no {row.label} yet",
                remedy=f"put the {sensor} on first" if row.measured_with != "pressure cuff" else "measure it first",
            )
        )
    # What the monitor does not show is taken from the body, so that the words can be put together.
    outputs = {**run.signals(), **{signal: value for signal, value in values.items() if value is not None}}
    return row.read(outputs)
