"""One open lab: its files, its store, its rooms.  Everything that a screen or a command can ask for goes through here.

Only the event loop touches rooms.  What takes longer than a tick (opening files, making or replaying a patient) is
done in worker threads on things that no room holds.
"""

import asyncio
import contextlib
import logging
import secrets
from collections.abc import Callable, Coroutine
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

from drillyard.core.body.body import Body
from drillyard.core.body.patient import Patient
from drillyard.core.formulary import Formulary
from drillyard.core.numerics.kernel import Kernel
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.session.events import FalseStart, RunStarted, ServerRecovered
from drillyard.core.session.run import Run
from drillyard.core.session.setup import PrerollStore, RunSetup
from drillyard.service import sessions
from drillyard.service.ahead import Looker
from drillyard.service.case import Case, open_case, stored_case
from drillyard.service.clock import Clock, wall_text
from drillyard.service.desk import Desk
from drillyard.service.keeper import Keeper
from drillyard.service.lab_files import LabFiles
from drillyard.service.live_room import LiveRoom
from drillyard.service.ports import LabStore
from drillyard.service.records import Exposure, LabSettings, Person, RoleName, RunRecord
from drillyard.service.recovery import Moment, moment_to_resume, rebuilt
from drillyard.service.version import program_version

_LOGGER: Final = logging.getLogger(__name__)


@dataclass(frozen=True)
class Playing:
    """One run in one room with all that goes with it; ``order`` is what starts it again."""

    record: RunRecord
    case: Case
    room: LiveRoom
    desk: Desk
    looker: Looker
    order: sessions.StartOrder

    @property
    def is_over(self) -> bool:
        """Whether the room is free for another run."""
        return self.room.run.state.is_ended


class Lab:
    """The open lab.  ``body`` says whether the compiled patient is there yet."""

    def __init__(
        self,
        files: LabFiles,
        store: LabStore,
        clock: Clock,
        load_kernel: Callable[[], Kernel],
        executor: Executor | None = None,
    ) -> None:
        self.files, self.store, self.clock = files, store, clock
        self.server_id = secrets.token_hex(8)
        self.version = program_version()
        self.body: Literal["loading", "ready", "failed"] = "loading"
        self.body_text = ""
        self.settings: LabSettings = store.settings.read()
        self.playing: dict[str, Playing] = {}
        self.not_resumed: dict[str, str] = {}
        self.kernel: Kernel | None = None
        self.preroll = PrerollStore()
        self.on_seated: list[Callable[[Playing], None]] = []
        self._load_kernel = load_kernel
        self._executor = executor or ThreadPoolExecutor(max_workers=1, thread_name_prefix="look-ahead")
        self._tasks: set[asyncio.Task[None]] = set()
        self._starting: set[str] = set()

    # ---- opening and closing ----------------------------------------------------------------------------------

    def open(self) -> None:
        """Begins to load the body and to recover runs, in the background of the running event loop."""
        self._spawn(self._become_ready())

    async def _become_ready(self) -> None:
        try:
            self.kernel = await asyncio.to_thread(self._load_kernel)
        except Exception as wrong:
            _LOGGER.exception("the body could not be loaded")
            self.body, self.body_text = "failed", f"The computed patient could not be loaded: {wrong}"
            return
        for record in await asyncio.to_thread(self.store.runs.open_runs):
            await self._recover(record)
        self.body = "ready"

    async def close(self) -> None:
        """Ends all loops; what is on its way to the disk gets there."""
        for playing in self.playing.values():
            playing.looker.close()
            playing.room.close()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        self._executor.shutdown(wait=True, cancel_futures=True)

    def _spawn(self, work: Coroutine[Any, Any, None]) -> None:
        task = asyncio.ensure_future(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    # ---- recovery ---------------------------------------------------------------------------------------------

    async def _recover(self, record: RunRecord) -> None:
        """Brings back a run that was live.  One that cannot be brought back stays in the log, and home says why."""
        try:
            case, run, moment = await asyncio.to_thread(self._rebuild, record)
        except Refusal as refusal:
            self.not_resumed[record.run_id] = str(refusal)
            return
        except Exception:
            _LOGGER.exception("run %s could not be resumed", record.run_id)
            self.not_resumed[record.run_id] = "This run could not be resumed because of a fault in the program."
            return
        if run.state.is_ended:
            # Its end is in the log, but the server stopped before the record said so.
            kind = "void" if run.state.is_void else "ended"
            self.store.runs.close(record.run_id, kind, wall_text(self.clock.utc()), run.state.outcome)
            return
        playing = self._seat(record, case, run, _order_of(record))
        playing.room.log_missing(run.pending_wanted())
        body = ServerRecovered(outage_s=moment.outage_s, resumed=moment.resumes)
        client_id = f"server-recovered-{len(run.events)}"
        if not run.is_ended and run.frozen is None:
            answer = playing.room.submit(body, client_id=client_id, actor="server", source="server")
            # Where the disk is full the run stands still and says so.
            with contextlib.suppress(Refusal):
                await asyncio.wrap_future(answer)

    def _rebuild(self, record: RunRecord) -> tuple[Case, Run, Moment]:
        run_id, kernel = record.run_id, self._kernel()
        case = stored_case(self.files, record, self.store.runs.files(run_id))
        events = self.store.events.events(run_id)
        if not any(isinstance(event.body, RunStarted) for event in events):
            raise Refusal(Fault(code="never started", said="the run was made but never began", remedy="start it again"))
        tracks = self.store.tracks.read(run_id)
        stored = self.store.tracks.newest_snapshot(run_id, record.body_hash)
        setup = case.setup(run_id, record.seed, kernel, self.preroll, is_live=True)
        run = rebuilt(setup, events, stored, record.body_hash)
        known_s = len(tracks.block.true) - 1.0 if tracks is not None else 0.0
        if stored is not None:
            known_s = max(known_s, stored.step / 100.0)
        was_running = run.state.is_running and run.frozen is None
        last = self.store.moments.newest(run_id)
        limit_s = self.settings.recovery_limit_s
        moment = moment_to_resume(events, was_running, known_s, self.clock.utc(), limit_s, last)
        run.advance_to(moment.step)
        return case, run, moment

    # ---- starting ---------------------------------------------------------------------------------------------

    async def start(self, order: sessions.StartOrder, session_id: str | None = None) -> Playing:
        """Starts a run.

        Args:
            session_id: set where a session's run is started again; what was signed then holds.

        Raises:
            Refusal: with every fault that stands against it; nothing has been written then.
        """
        kernel = self._kernel()
        self._check_room(order.room)
        self._starting.add(order.room)
        try:
            case = await asyncio.to_thread(open_case, self.files, order.scenario, order.manikin)
            if order.purpose == "session" and session_id is None:
                people = await asyncio.to_thread(self.store.people.people)
                known = [person.person_id for person in people]
                faults = sessions.start_faults(order, case, self.settings, known)
                if faults:
                    raise Refusal(*faults)
            seed = secrets.randbelow(2**31) if order.seed is None else order.seed
            run_id = f"run-{secrets.token_hex(6)}"
            setup = case.setup(run_id, seed, kernel, self.preroll, is_live=True)
            run = await asyncio.to_thread(_new_run, setup)
            record = self._record(order, case, run, session_id)
            await self._write_start(order, record, case, is_again=session_id is not None)
            return await self._begin(order, record, case, run)
        finally:
            self._starting.discard(order.room)

    def _kernel(self) -> Kernel:
        if self.kernel is None:
            said = self.body_text or "the computed patient is still being loaded"
            remedy = "run the set-up again" if self.body == "failed" else "try again in a few seconds"
            raise Refusal(Fault(code="body not ready", said=said, remedy=remedy))
        return self.kernel

    def body_hash(self, formulary: Formulary) -> str | None:
        """The name of the body that is loaded now, with these drugs; None while there is none."""
        if self.kernel is None:
            return None
        patient = Patient(age_years=40.0, sex="male", mass_kg=70.0, height_cm=175.0)
        return Body(patient, 0, formulary, self.kernel).model_hash()

    def _check_room(self, room: str) -> None:
        if room not in self.settings.rooms:
            near = near_matches(room, self.settings.rooms)
            allowed = ", ".join(self.settings.rooms)
            raise Refusal(Fault(code="unknown room", said=f"there is no room '{room}'", near=near, allowed=allowed))
        playing = self.playing.get(room)
        if room in self._starting or (playing is not None and not playing.is_over):
            raise Refusal(
                Fault(
                    code="room in use", said=f"a run is going on in '{room}'", remedy="end it, or choose another room"
                )
            )

    def _record(self, order: sessions.StartOrder, case: Case, run: Run, session_id: str | None) -> RunRecord:
        hashes = {copy.role: copy.sha256 for copy in case.copies}
        if order.purpose == "session" and session_id is None:
            session_id = f"session-{secrets.token_hex(6)}"
        return RunRecord(
            run_id=run.setup.run_id,
            room=order.room,
            title=case.scenario.title,
            scenario=order.scenario,
            scenario_hash=hashes["scenario"],
            manikin=order.manikin,
            manikin_hash=hashes["manikin"],
            body_hash=run.machine.body.model_hash(),
            seed=run.setup.seed,
            purpose="session" if order.purpose == "session" else "rehearsal",
            created_wall_utc=wall_text(self.clock.utc()),
            zone=self.settings.zone,
            session_id=session_id,
            crew_text=_crew_text(order),
            version=self.version,
        )

    async def _write_start(self, order: sessions.StartOrder, record: RunRecord, case: Case, *, is_again: bool) -> None:
        if record.session_id is not None and not is_again:
            session = sessions.session_record(
                order, record.session_id, record.scenario_hash, self.settings, record.created_wall_utc
            )
            await asyncio.wrap_future(self.store.sessions.save(session))
        await asyncio.wrap_future(self.store.runs.create(record, case.copies))
        met = [
            Exposure(
                person_id=member.person_id,
                scenario=record.scenario,
                run_id=record.run_id,
                seat=member.seat,
                met_wall_utc=record.created_wall_utc,
            )
            for member in order.crew
        ]
        if met:
            await asyncio.wrap_future(self.store.people.add_exposure(met))

    async def _begin(self, order: sessions.StartOrder, record: RunRecord, case: Case, run: Run) -> Playing:
        old = self.playing.get(record.room)
        if old is not None:
            self._unseat(old)
        playing = self._seat(record, case, run, replace(order, seed=record.seed))
        started = RunStarted(
            scenario=record.scenario,
            scenario_hash=record.scenario_hash,
            manikin=record.manikin,
            manikin_hash=record.manikin_hash,
            body_hash=record.body_hash,
            seed=record.seed,
            purpose=record.purpose,
            crew=tuple(member.person_id for member in order.crew),
        )
        answer = playing.room.submit(started, client_id=f"server-{record.run_id}", actor="server", source="server")
        try:
            await asyncio.wrap_future(answer)
        except Refusal:
            # A run whose first event is not on disk has never been; its room is free again.
            self._unseat(playing)
            self.store.runs.close(record.run_id, "void", wall_text(self.clock.utc()))
            raise
        playing.room.log_missing(run.pending_wanted())
        playing.room.start()
        return playing

    def _seat(self, record: RunRecord, case: Case, run: Run, order: sessions.StartOrder) -> Playing:
        """Puts a run into its room and lets the room's loop play it."""
        keeper = Keeper(self.store, record.run_id)
        room = LiveRoom(record, run, self.store, self.clock, keeper)
        looker = Looker(room, self._executor, self.clock.monotonic_s)
        desk = Desk(case, run, tuple(member.seat for member in order.crew))
        playing = Playing(record=record, case=case, room=room, desk=desk, looker=looker, order=order)
        room.on_end.append(self._close_run)
        self.playing[record.room] = playing
        self._spawn(room.play())
        for listener in self.on_seated:
            listener(playing)
        return playing

    def _unseat(self, playing: Playing) -> None:
        del self.playing[playing.record.room]
        playing.looker.close()
        playing.room.close()

    # ---- ending -----------------------------------------------------------------------------------------------

    def _close_run(self, room: LiveRoom) -> None:
        state = room.run.state
        kind = "void" if state.is_void else "ended"
        self.store.runs.close(room.record.run_id, kind, wall_text(self.clock.utc()), state.outcome)

    async def start_again(self, room: str, client_id: str, actor: str, reason: str) -> Playing:
        """False start: the run is void, and the same case begins anew with the same patient.

        A run that has ended stays what it is and the case begins anew.  A repeated ``client_id`` does nothing more.

        Raises:
            Refusal: no run is in the room, or a new one cannot be started.
        """
        playing = self.playing.get(room)
        if playing is None:
            raise Refusal(Fault(code="no run", said=f"no run is going on in '{room}'", remedy="start one from home"))
        if await asyncio.to_thread(self._is_done_already, room, client_id):
            return playing
        if not playing.is_over:
            body = FalseStart(reason=reason)
            answer = playing.room.submit(body, client_id=client_id, actor=actor, source="key")
            await asyncio.wrap_future(answer)
        return await self.start(playing.order, playing.record.session_id)

    def _is_done_already(self, room: str, client_id: str) -> bool:
        """Whether an earlier run of this room was voided by this very command."""
        voided = [record for record in self.store.runs.newest(5, room) if record.state == "void"]
        return any(
            event.client_id == client_id for record in voided for event in self.store.events.events(record.run_id)
        )

    # ---- small things -----------------------------------------------------------------------------------------

    async def change_settings(self, changes: dict[str, object]) -> LabSettings:
        """Changes some of the lab's choices.

        Raises:
            Refusal: a value that is not allowed, or a room with a run in it taken away.
        """
        rooms = changes.get("rooms")
        if isinstance(rooms, list | tuple):
            lost = [room for room, p in self.playing.items() if room not in rooms and not p.is_over]
            if lost or not rooms:
                said = f"a run is going on in '{lost[0]}'" if lost else "a lab needs a room"
                raise Refusal(Fault(code="room needed", said=said, remedy="keep it in the list of rooms"))
            changes = {**changes, "rooms": tuple(rooms)}
        self.settings = await asyncio.wrap_future(self.store.settings.change(changes))
        return self.settings

    async def add_person(self, name: str, role: RoleName) -> Person:
        """Adds a person to the lab's list."""
        person = Person(person_id=f"person-{secrets.token_hex(6)}", name=name.strip(), role=role)
        if not person.name:
            raise Refusal(Fault(code="no name", said="a person needs a name"))
        await asyncio.wrap_future(self.store.people.save(person))
        return person


def _new_run(setup: RunSetup) -> Run:
    """A run that has worked through time zero."""
    run = Run(setup)
    run.advance_to(0)
    return run


def _order_of(record: RunRecord) -> sessions.StartOrder:
    """What starts a recovered run again; who sat where is kept with its session."""
    return sessions.StartOrder(
        purpose=record.purpose, scenario=record.scenario, manikin=record.manikin, room=record.room, seed=record.seed
    )


def _crew_text(order: sessions.StartOrder) -> str:
    n = len(order.crew)
    return f"crew of {n}" if n else "no crew named"
