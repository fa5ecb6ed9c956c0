"""Home: what is there, starting and closing, people and settings."""

import asyncio
from typing import Annotated

from fastapi import APIRouter, Query
from pydantic import Field

from drillyard.core.lab.readiness import Seat
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.service.lab import Lab
from drillyard.service.paperwork import Paperwork
from drillyard.service.records import Count
from drillyard.service.sessions import CloseOrder, StartOrder
from drillyard.web.home_messages import (
    CloseAsked,
    CloseForm,
    HomeView,
    Name,
    PersonAsked,
    PersonView,
    SessionForm,
    SettingsChange,
    SettingsView,
    StartAsked,
    Started,
)
from drillyard.web.home_view import (
    close_view,
    control_address,
    form_view,
    home_view,
    is_known_zone,
    monitor_address,
    settings_view,
    title_of,
)
from drillyard.web.refusals import RESPONSES
from drillyard.web.sockets import Feeds
from drillyard.web.wire import Health

Id = Annotated[str, Field(min_length=1, max_length=120)]


def home_router(lab: Lab, feeds: Feeds) -> APIRouter:
    """Everything under ``/api`` that is not about one room or one run."""
    router = APIRouter(prefix="/api", responses=RESPONSES)
    paperwork = Paperwork(lab)

    @router.get("/health", summary="Whether the server is there and the body is loaded")
    async def health() -> Health:
        return Health(
            version=lab.version,
            server_id=lab.server_id,
            body=lab.body,
            body_text=lab.body_text,
            lab_name=lab.settings.lab_name,
        )

    @router.get("/home", summary="Cases, manikins, rooms, runs, people")
    async def home() -> HomeView:
        return await asyncio.to_thread(home_view, lab)

    @router.get("/session-form", summary="What a real session asks for before it starts")
    async def session_form(scenario: Annotated[Name, Query()], manikin: Annotated[Name, Query()]) -> SessionForm:
        form = await asyncio.to_thread(paperwork.form, scenario, manikin)
        return form_view(form, scenario, manikin, lab.settings)

    @router.post("/runs", status_code=201, summary="Start a rehearsal or a session")
    async def start(asked: StartAsked) -> Started:
        playing = await lab.start(_order(asked))
        room = playing.record.room
        return Started(
            run_id=playing.record.run_id,
            room=room,
            session_id=playing.record.session_id,
            control_address=control_address(room),
            monitor_address=monitor_address(room),
        )

    @router.post("/people", status_code=201, summary="Add a person")
    async def add_person(asked: PersonAsked) -> PersonView:
        person = await lab.add_person(asked.name, asked.role)
        return PersonView(person_id=person.person_id, name=person.name, role=person.role, met=[])

    @router.get("/sessions/{session_id}/close", summary="The count sheet of a session")
    async def close_form(session_id: Id) -> CloseForm:
        session = await paperwork.with_used(session_id)
        return close_view(session, await asyncio.to_thread(title_of, lab, session.scenario))

    @router.post("/sessions/{session_id}/close", summary="Count out and close a session")
    async def close(session_id: Id, asked: CloseAsked) -> CloseForm:
        order = CloseOrder(
            counted_out={row.item: row.counted_out for row in asked.counts},
            signed_by=asked.signed_by,
            second_name=asked.second_name,
            one_name_reason=asked.one_name_reason,
        )
        session, warnings = await paperwork.close_session(session_id, order)
        title = await asyncio.to_thread(title_of, lab, session.scenario)
        return close_view(session, title, " ".join(fault.sentence() for fault in warnings))

    @router.get("/settings", summary="The lab's own choices")
    async def settings() -> SettingsView:
        return settings_view(lab.settings)

    @router.put("/settings", summary="Change some of the lab's choices")
    async def change_settings(asked: SettingsChange) -> SettingsView:
        changes = asked.model_dump(exclude_none=True)
        if asked.zone is not None and not is_known_zone(asked.zone):
            said = f"'{asked.zone}' is not a time zone that this machine knows"
            raise Refusal(Fault(code="unknown zone", said=said, remedy="write it as area and city, 'Europe/Dublin'"))
        changed = await lab.change_settings(changes)
        for feed in feeds.rooms.values():
            feed.settings_changed()
        return settings_view(changed)

    return router


def _order(asked: StartAsked) -> StartOrder:
    return StartOrder(
        purpose=asked.purpose,
        scenario=asked.scenario,
        manikin=asked.manikin,
        room=asked.room,
        seed=asked.seed,
        crew=tuple(Seat(seat.person_id, seat.seat, seat.agreed) for seat in asked.crew),
        counts=tuple(Count(item=row.item, kind=row.kind, counted_in=row.counted_in) for row in asked.counts),
        ticks=tuple(asked.ticks),
        signed_by=asked.signed_by,
        second_name=asked.second_name,
        one_name_reason=asked.one_name_reason,
    )
