"""Real sessions: what is asked for before the start, and counted before the close."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from drillyard.core.lab.counts import closing_faults, starting_faults, using_faults
from drillyard.core.lab.names import signing_faults
from drillyard.core.lab.readiness import SAFETY_TICKS, Seat, Tick, crew_faults, tick_faults
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.scenario.facts import action_words
from drillyard.core.scenario.kit import KitItem
from drillyard.core.scenario.model import BoxDrug
from drillyard.core.session.events import CareGiven, Event
from drillyard.core.session.timeline import record_timeline
from drillyard.service.case import Case
from drillyard.service.drug_use import used_of_box
from drillyard.service.records import Count, CrewMember, LabSettings, SafetyTick, SessionRecord

SEATS = ("lead", "airway", "circulation", "helper")


@dataclass(frozen=True, slots=True, kw_only=True)
class StartOrder:
    """What somebody asked to start.  The second part matters to a session only."""

    purpose: str
    scenario: str
    manikin: str
    room: str
    seed: int | None = None
    crew: tuple[Seat, ...] = ()
    counts: tuple[Count, ...] = ()
    ticks: tuple[str, ...] = ()
    signed_by: str = ""
    second_name: str = ""
    one_name_reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseOrder:
    """The counts out and who signs for them.  An item that is not given keeps the number it had."""

    counted_out: Mapping[str, int]
    signed_by: str
    second_name: str = ""
    one_name_reason: str = ""


def box_item(row: BoxDrug) -> str:
    """How one drug of the box is named on the count sheet."""
    strength = f" {row.strength_text}" if row.strength_text else ""
    return row.label or f"{row.drug}{strength}, {row.volume_ml:g} mL"


def wanted_counts(case: Case) -> list[Count]:
    """The count sheet: training drugs of the box, marked fluids and sharps of the kit; ``counted_in`` is what the
    files say should be there."""
    box = case.scenario.drug_box or (case.kit.drug_box if case.kit else ())
    rows = [Count(item=box_item(row), kind="training drug", counted_in=row.count) for row in box]
    for item in case.kit.items if case.kit else ():
        if item.sharp:
            rows.append(Count(item=item.name, kind="sharp", counted_in=item.count))
        elif item.training_only:
            kind: Literal["training fluid", "training drug"] = "training fluid" if item.volume_ml else "training drug"
            rows.append(Count(item=item.name, kind=kind, counted_in=item.count))
    return rows


def wanted_ticks(case: Case) -> list[Tick]:
    """The safety ticks: those of every session, and the hazards of this case."""
    own = [Tick(hazard.precaution, hazard.what) for hazard in case.scenario.hazards if hazard.before_start]
    return [*SAFETY_TICKS, *own]


def seats_of(case: Case) -> list[str]:
    """Names of the seats for a crew of the case's size."""
    size = max(1, case.scenario.crew_size)
    return [SEATS[n] if n < len(SEATS) else f"helper {n - len(SEATS) + 2}" for n in range(size)]


def start_faults(order: StartOrder, case: Case, settings: LabSettings, known_ids: Iterable[str]) -> list[Fault]:
    """Everything that a real session still lacks; empty when it may start."""
    counted_in = {row.item: row.counted_in for row in order.counts}
    return [
        *crew_faults(order.crew, known_ids),
        *starting_faults((row.item for row in wanted_counts(case)), counted_in),
        *tick_faults((tick.text for tick in wanted_ticks(case)), order.ticks),
        *signing_faults(order.signed_by, order.second_name, order.one_name_reason, settings.one_person_lab),
    ]


def session_record(
    order: StartOrder, session_id: str, scenario_hash: str, settings: LabSettings, now_wall_utc: str
) -> SessionRecord:
    """The session as it is kept: who, what was agreed, counted and ticked, and by whom."""
    signed = signature(order.signed_by, order.second_name, order.one_name_reason)
    return SessionRecord(
        session_id=session_id,
        room=order.room,
        scenario=order.scenario,
        scenario_hash=scenario_hash,
        manikin=order.manikin,
        created_wall_utc=now_wall_utc,
        zone=settings.zone,
        crew=tuple(
            CrewMember(
                person_id=member.person_id,
                seat=member.seat,
                agreement=settings.agreement_version,
                agreed_wall_utc=now_wall_utc,
            )
            for member in order.crew
        ),
        counts=order.counts,
        ticks=tuple(SafetyTick(tick=tick, done_by=signed, done_wall_utc=now_wall_utc) for tick in order.ticks),
    )


def signature(signed_by: str, second_name: str, one_name_reason: str) -> str:
    """Who signed, as one text: two names, or one and the reason why one had to do."""
    if second_name.strip():
        return f"{signed_by.strip()} and {second_name.strip()}"
    return f"{signed_by.strip()} alone: {one_name_reason.strip()}"


def used_counts(counts: Sequence[Count], case: Case, events: Sequence[Event]) -> tuple[Count, ...]:
    """The count sheet with what the log says was used."""
    standing = [entry for entry in record_timeline(events) if not entry.is_undone]
    timed = [(entry.t_s, entry.body.action) for entry in standing if isinstance(entry.body, CareGiven)]
    box = case.scenario.drug_box or (case.kit.drug_box if case.kit else ())
    end_s = max((entry.t_s for entry in standing), default=0.0)
    opened = used_of_box(box, timed, end_s, case.formulary, case.scenario.patient.mass_kg)
    used = {box_item(row): count for row, count in zip(box, opened, strict=True)}
    care = [action for _, action in timed]
    for item in case.kit.items if case.kit else ():
        used[item.name] = sum(_uses(item, action) for action in care)
    return tuple(replace(row, used=used.get(row.item, 0)) for row in counts)


def _uses(item: KitItem, action: object) -> int:
    """1 where an action uses this very thing: its procedure, its site and its printed size."""
    words = action_words(action)
    site, gauge = getattr(action, "site", ""), getattr(action, "gauge", None)
    if not any(own in words for own in item.procedures):
        return 0
    if item.sites and site and site not in item.sites:
        return 0
    return 0 if item.gauge is not None and gauge is not None and item.gauge != gauge else 1


def closed(
    session: SessionRecord, order: CloseOrder, settings: LabSettings, now_wall_utc: str
) -> tuple[SessionRecord, list[Fault]]:
    """The session with its counts out, closed; and warnings.

    Raises:
        Refusal: counts that do not close, or a signature that is missing.
    """
    counts = tuple(replace(row, counted_out=order.counted_out.get(row.item, row.counted_out)) for row in session.counts)
    unknown = [item for item in order.counted_out if item not in {row.item for row in session.counts}]
    faults = [Fault(code="unknown item", said=f"'{item}' is not on this count sheet") for item in unknown]
    faults += closing_faults(counts)
    faults += signing_faults(order.signed_by, order.second_name, order.one_name_reason, settings.one_person_lab)
    if faults:
        raise Refusal(*faults)
    reason = f"counts close, signed by {signature(order.signed_by, order.second_name, order.one_name_reason)}"
    done = replace(session, counts=counts, closed_wall_utc=now_wall_utc, closed_reason=reason)
    return done, using_faults(counts)
