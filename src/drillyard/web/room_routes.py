"""One live room beside its socket: the entry line as it is typed, find-the-cause, and the paper run sheet."""

import asyncio
from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from drillyard.core.entry import ParseResult
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.service.clock import wall_text
from drillyard.service.lab import Lab, Playing
from drillyard.service.predict import Foretold, foretell
from drillyard.service.records import LabSettings
from drillyard.web.command_messages import (
    CauseChoices,
    Completion,
    FindAnswer,
    FindAsked,
    ParseAnswer,
    ParseAsked,
)
from drillyard.web.find_view import choices_view, find
from drillyard.web.home_messages import RunSheet
from drillyard.web.home_view import local_time
from drillyard.web.refusals import RESPONSES
from drillyard.web.sheet_view import course, sheet_view
from drillyard.web.units import label_of, scale_of

Room = Annotated[str, Field(min_length=1, max_length=80)]


def room_router(lab: Lab) -> APIRouter:
    """Everything under ``/api/room/{room}``."""
    router = APIRouter(prefix="/api/room/{room}", responses=RESPONSES)

    @router.post("/parse", summary="How the entry line would be understood, and what it would do")
    async def parse(room: Room, asked: ParseAsked) -> ParseAnswer:
        playing = _playing(lab, room)
        result = playing.desk.read(asked.typed)
        predicted = await _predicted(playing, result, lab.settings) if asked.predict else ""
        return parse_view(result, predicted)

    @router.get("/causes", summary="Problems whose size may be searched for, and signals that may be asked for")
    async def causes(room: Room) -> CauseChoices:
        return choices_view(_playing(lab, room), lab.settings)

    @router.post("/find-cause", summary="The size of a problem that leads to a wanted value at a time; sets nothing")
    async def find_cause(room: Room, asked: FindAsked) -> FindAnswer:
        return await find(_playing(lab, room), asked, lab.settings)

    @router.get("/run-sheet", summary="Everything an operator needs on paper if the computer dies")
    async def run_sheet(room: Room) -> RunSheet:
        playing = _playing(lab, room)
        machine = playing.room.run.machine.copy()
        ahead = None
        if playing.room.run.frozen is None and not playing.is_over:
            ahead = await asyncio.to_thread(course, machine, playing.case.scenario.time_cap_s)
        made = local_time(wall_text(lab.clock.utc()), lab.settings.zone)
        return sheet_view(playing, ahead, lab.settings, made)

    return router


def _playing(lab: Lab, room: str) -> Playing:
    playing = lab.playing.get(room)
    if playing is None:
        said = f"no run is going on in '{room}'"
        raise Refusal(Fault(code="no run", said=said, remedy="start one from home"))
    return playing


async def _predicted(playing: Playing, result: ParseResult, settings: LabSettings) -> str:
    """What the patient would do with it, in words; empty where nothing is modelled or nothing would change."""
    run = playing.room.run
    if result.action is None or result.not_modelled or result.late_t_s is not None or run.frozen is not None:
        return ""
    foretold = await asyncio.to_thread(foretell, run.machine.copy(), result.action)
    return predicted_text(foretold, settings)


def predicted_text(foretold: list[Foretold], settings: LabSettings) -> str:
    """A prediction in words: "pressure 96 in 1 min (else 84)"."""
    parts = []
    for one in foretold:
        scale = scale_of(one.signal, settings)
        value, without = scale.text(one.value), scale.text(one.without)
        if value == without:
            continue
        when = f"{one.in_s} s" if one.in_s < 60 else f"{one.in_s // 60} min"
        label = label_of(one.signal)
        name = label if label[:2].isupper() or label == "SpO2" else label[:1].lower() + label[1:]
        unit = f" {scale.unit}" if scale.unit else ""
        parts.append(f"{name} {value}{unit} in {when} (else {without})")
    return ", ".join(parts)


def parse_view(result: ParseResult, predicted: str) -> ParseAnswer:
    """One line, understood or not, as a message."""
    return ParseAnswer(
        is_complete=result.is_complete,
        echo=result.echo,
        emphasis=list(result.emphasis),
        ghost=result.ghost,
        predicted=predicted,
        warning=result.warning,
        needs_confirmation=result.needs_confirmation,
        not_modelled=result.not_modelled,
        question=result.question or (result.fault.sentence() if result.fault is not None else ""),
        completions=[Completion(insert=row.insert, label=row.label) for row in result.completions],
    )
