"""Sensors, posture, looks and survey: "probe on", "cuff", "legs up", "listen left", "gcs", "survey airway"."""

from functools import cache
from typing import Final

from drillyard.core.care.actions import (
    Attach,
    Detach,
    Examine,
    MeasurePressure,
    Position,
    RepeatPressure,
    Side,
    Survey,
)
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry, take_side, take_site, take_time_s
from drillyard.core.entry.reader import Ask, Reader, check_range
from drillyard.core.entry.words import OFF, ON, POSTURES, SENSORS, SMALL_WORDS, SURVEY_PARTS
from drillyard.core.quantities.near import near_matches
from drillyard.core.signals.cuff import LONGEST_REPEAT_S, SHORTEST_REPEAT_S
from drillyard.core.signals.findings import FINDINGS, Finding

LOOK_VERBS: Final = ("look", "feel", "listen", "check", "see", "examine", "inspect")
BY_ITSELF: Final = ("auto", "automatic", "every", "repeat")


def read_sensor(reader: Reader, context: EntryContext, word: str) -> Entry:
    sensor = SENSORS[word]
    if reader.take_word(*OFF):
        return Entry(action=Detach(sensor=sensor))
    if reader.take_word(*ON):
        site = "" if reader.at_end else take_site(reader, "Where?")
        return Entry(action=Attach(sensor=sensor, site=site))
    if sensor == "pressure cuff":
        return read_pressure(reader, context, word)
    if reader.at_end:
        is_on = sensor in context.sensors_on
        reading = findings_by_word().get(word)
        if reading is not None and (is_on or word == "spo2"):
            # the reading itself is named: what it needs is said where it is asked for
            return Entry(action=Examine(finding=reading.id))
        raise Ask(f"Is the {sensor} put on or taken off?", ("off", "on") if is_on else ("on", "off"))
    begun = reader.left_over().lower()
    fitting = [offer for offer in ("on", "off") if offer.startswith(begun)]
    if fitting:
        raise Ask(f"Is the {sensor} put on or taken off?", fitting, reader.here)
    return Entry(action=Attach(sensor=sensor, site=take_site(reader, "Where?")))


def read_attach(reader: Reader, context: EntryContext, word: str) -> Entry:
    sensor = reader.need(SENSORS, "sensor", "Which sensor?", options=("probe", "ecg", "cuff", "co2", "temp"))
    site = "" if reader.at_end else take_site(reader, "Where?")
    return Entry(action=Attach(sensor=sensor, site=site))


def read_detach(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(
        action=Detach(sensor=reader.need(SENSORS, "sensor", "Which sensor?", options=("probe", "ecg", "cuff", "co2")))
    )


def read_pressure(reader: Reader, context: EntryContext, word: str) -> Entry:
    if reader.take_word(*BY_ITSELF):
        return read_repeat(reader, context, word)
    reader.take_word("cycle", "measure", "now")
    site = "left arm" if reader.at_end else take_site(reader, "On which arm?")
    warning = "" if "pressure cuff" in context.sensors_on else "No cuff is on in the log: it is taken as put on now."
    return Entry(action=MeasurePressure(site=site), warning=warning)


def read_repeat(reader: Reader, context: EntryContext, word: str) -> Entry:
    """How often the cuff cycles by itself, or that it stops doing so."""
    reader.take_word(*BY_ITSELF)
    if reader.take_word(*OFF, "manual"):
        return Entry(action=RepeatPressure(every_s=0.0))
    every_s = take_time_s(reader, "Every")
    check_range(every_s, SHORTEST_REPEAT_S, LONGEST_REPEAT_S, "a cuff cycle every", "s")
    site = "" if reader.at_end else take_site(reader, "On which arm?")
    warning = "" if "pressure cuff" in context.sensors_on else "No cuff is on in the log: it is taken as put on now."
    return Entry(action=RepeatPressure(every_s=every_s, site=site), warning=warning)


def read_posture(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Position(posture=POSTURES[word]))


def read_position(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Position(posture=reader.need(POSTURES, "posture", "Which posture?")))


def read_survey(reader: Reader, context: EntryContext, word: str) -> Entry:
    parts = tuple(dict.fromkeys(SURVEY_PARTS.values()))
    part = reader.need(SURVEY_PARTS, "part of the survey", "Which part of the survey is done?", options=parts)
    reader.take_word("done", "ok", "clear", "checked")
    return Entry(action=Survey(part=part))


@cache
def findings_by_word() -> dict[str, Finding]:
    """Every word for a finding of the catalogue, in lower case."""
    return {word.lower(): row for row in FINDINGS.values() for word in (row.id, *row.typed)}


def read_look(reader: Reader, context: EntryContext, word: str) -> Entry:
    """A verb, then a finding of the catalogue or free words, with a side where one is named."""
    table = findings_by_word()
    start = reader.here
    reader.take_word(*SMALL_WORDS)
    finding = reader.take(table)
    if finding is not None:
        return read_finding(reader, finding)
    side = take_side(reader)
    reader.take_word(*SMALL_WORDS)
    if reader.at_end:
        sided = table.get(f"{word} {side}") if side else None
        if sided is None:
            raise Ask("At what?", (row.typed[0] for row in list(FINDINGS.values())[:12]), start if side else None)
        return Entry(action=Examine(finding=sided.id))
    rest = reader.left_over().lower()
    if side and (sided := table.get(f"{side} {rest}") or table.get(f"{rest} {side}")):
        reader.rest()
        return Entry(action=Examine(finding=sided.id))
    finding = reader.take(table)
    if finding is not None:
        return Entry(action=Examine(finding=finding.id, side=side or _side_after(reader)))
    fitting = [name for name in table if name.startswith(rest)]
    if fitting:
        raise Ask("At what?", fitting[:8], reader.here)
    words = reader.rest()
    near = near_matches(words.lower(), table)
    hint = f" Nearest: {', '.join(near)}." if near else ""
    return Entry(
        action=Examine(finding=words, side=side),
        warning=f"'{words}' is not in the list of findings; it is kept as words and you supply the answer.{hint}",
        not_modelled=True,
    )


def _side_after(reader: Reader) -> Side | None:
    reader.take_word(*SMALL_WORDS)
    return take_side(reader)


def read_finding(reader: Reader, finding: Finding) -> Entry:
    """What follows a finding's own word: at most a side, which may choose the row of that side."""
    side = _side_after(reader)
    sided = findings_by_word().get(f"{side} {finding.id}") if side else None
    if sided is not None:
        return Entry(action=Examine(finding=sided.id))
    return Entry(action=Examine(finding=finding.id, side=side))


COMMANDS: Final = (
    Command(
        words=tuple(SENSORS),
        about="sensor put on or taken off",
        examples=("probe on r finger", "ecg on", "co2 off", "cuff"),
        read=read_sensor,
    ),
    Command(words=("attach", "connect"), about="sensor put on", examples=("attach probe",), read=read_attach),
    Command(words=("detach", "disconnect"), about="sensor taken off", examples=("detach probe",), read=read_detach),
    Command(
        words=("bp", "nibp", "measure pressure"),
        about="one cuff cycle, or cycles by themselves",
        examples=("bp r arm", "nibp every 3 min"),
        read=read_pressure,
    ),
    Command(
        words=("auto cuff", "auto bp", "auto nibp"),
        about="cuff cycles by themselves, first one now",
        examples=("auto cuff 5 min", "cuff auto off"),
        read=read_repeat,
    ),
    Command(words=tuple(POSTURES), about="posture", examples=("legs up", "recovery"), read=read_posture),
    Command(words=("position",), about="posture", examples=("position head up 30",), read=read_position),
    Command(
        words=("survey",),
        about="part of the primary survey done",
        examples=("survey airway", "survey x"),
        read=read_survey,
    ),
    Command(
        words=LOOK_VERBS,
        about="a look, a feel, a listen",
        examples=("feel radial", "listen left", "look skin"),
        read=read_look,
    ),
)
