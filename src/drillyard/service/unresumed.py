"""The end of a run that could not be resumed after the server stopped: its log is closed, its body never asked."""

import asyncio
from typing import Literal

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.events import Event, RunEnded
from drillyard.service.clock import wall_text
from drillyard.service.lab import Lab


async def end_unresumed(lab: Lab, run_id: str) -> None:
    """Ends a run that could not be resumed; its outcome is what its stored tracks say.

    Raises:
        Refusal: there is no such run.
    """
    record = await asyncio.to_thread(lab.store.runs.get, run_id)
    if record is None or record.state != "open" or run_id not in lab.not_resumed:
        raise Refusal(Fault(code="no such run", said="there is no run to end", remedy="look at the list of runs"))
    events = await asyncio.to_thread(lab.store.events.events, run_id)
    last = events[-1] if events else None
    body = RunEnded(reason=f"not resumed: {lab.not_resumed[run_id]}", outcome=await _stored_outcome(lab, run_id))
    event = Event(
        seq=last.seq + 1 if last else 1,
        step=last.step if last else 0,
        t_sim_s=last.t_sim_s if last else 0.0,
        t_wall_utc=wall_text(lab.clock.utc()),
        source="server",
        actor="server",
        client_id=f"server-ended-{run_id}",
        body=body,
    )
    await asyncio.wrap_future(lab.store.events.append(run_id, [event]))
    now = wall_text(lab.clock.utc())
    await asyncio.wrap_future(lab.store.runs.close(run_id, "ended", now, body.outcome))
    del lab.not_resumed[run_id]


async def _stored_outcome(lab: Lab, run_id: str) -> Literal["alive", "arrested", "dead"]:
    tracks = await asyncio.to_thread(lab.store.tracks.read, run_id)
    if tracks is None or not len(tracks.block.true):
        return "alive"
    last = dict(zip(tracks.block.names, tracks.block.true[-1].tolist(), strict=True))
    if last["is_alive"] < 0.5:
        return "dead"
    return "arrested" if last["has_pulse"] < 0.5 else "alive"
