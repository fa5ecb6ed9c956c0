"""All measures of this version by number, and ``compute``: those that apply to one run."""

from collections.abc import Callable, Sequence
from typing import Final

from drillyard.core.formulary import Formulary
from drillyard.core.measures import burden, drugs, general, opioid, speech, trauma
from drillyard.core.measures.record import Record, TracksRead
from drillyard.core.measures.result import Definition, MeasureResult, cannot_say
from drillyard.core.scenario.model import Scenario
from drillyard.core.session.events import Event

Compute = Callable[[Record], MeasureResult]

MEASURES: Final[dict[int, tuple[Definition, Compute]]] = {
    row[0].id: row
    for row in (
        (general.FIRST_LOOK, general.first_look),
        (general.SURVEY, general.primary_survey),
        (general.FIRST_SET, general.first_full_set),
        (general.BOTH_BREATHING, general.both_breathing),
        (general.SET_INTERVAL, general.vital_set_interval),
        (general.REASSESS, general.reassessed),
        (drugs.DOSE, drugs.dose_accuracy),
        (drugs.ALLERGY, drugs.allergy_first),
        (drugs.WRONG, drugs.wrong_count),
        (burden.HYPOXIA, burden.hypoxia),
        (burden.LOW_PRESSURE, burden.low_pressure),
        (general.SCENE, general.scene_time),
        (general.LEADER, general.leader_named),
        (speech.LENGTH, speech.report_length),
        (speech.CONTENT, speech.report_content),
        (opioid.VENTILATE_FIRST, opioid.ventilate_first),
        (opioid.GLUCOSE, opioid.glucose_measured),
        (trauma.STOPPED, trauma.bleeding_stopped),
        (trauma.TXA, trauma.tranexamic_in_time),
        (trauma.TRAUMA_SCENE, trauma.trauma_scene_time),
        (trauma.DECOMPRESSED, trauma.decompressed),
    )
}
"""Number -> definition and function."""

GENERAL: Final = (1, 2, 3, 5, 6, 8, 10, 11, 12, 13, 14, 17, 18, 19)
"""Measures computed for every case; a scenario adds its own."""

MEASURE_IDS: Final = tuple(MEASURES)


def compute(
    events: Sequence[Event], tracks: TracksRead, scenario: Scenario, formulary: Formulary | None = None
) -> list[MeasureResult]:
    """The measures of one run, in order of their numbers.

    Args:
        events: the log as stored; undo, corrections and late entries are resolved here.
        tracks: one value a second, true and shown.
        scenario: its ``measures`` are added to the general ones.
        formulary: for routes and ordered doses; without it these say that they were not judged.

    Returns:
        One result a measure; empty for a false start, which counts for nothing.  A number that the scenario names and
        this version cannot compute is there too and says so.
    """
    record = Record(events, tracks, scenario, formulary)
    if record.is_void:
        return []
    wanted = sorted({*GENERAL, *scenario.measures})
    return [MEASURES[number][1](record) if number in MEASURES else _not_built(number) for number in wanted]


def _not_built(number: int) -> MeasureResult:
    missing = Definition(
        id=number,
        title=f"Measure {number}",
        definition="not computed in this version",
        unit="",
        target="",
        source="",
        source_kind="memory",
    )
    return cannot_say(missing, "the scenario asks for it, and this version does not compute it")
