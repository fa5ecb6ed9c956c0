"""What is at hand for the entry line as the run stands: lines, sensors and devices that the log has put in place."""

from dataclasses import replace

from drillyard.core.care.problems import Bleeding, Haemothorax, Pneumothorax
from drillyard.core.entry import EntryContext, LineAtHand
from drillyard.core.session.state import RunState


def entry_context(base: EntryContext, state: RunState, now_s: float) -> EntryContext:
    """``base`` (the case as it began) brought up to ``state`` at ``now_s``."""
    present = [row.problem for row in state.problems if not row.is_ended]
    return replace(
        base,
        now_s=now_s,
        lines=tuple(LineAtHand(kind=line.line_kind, site=line.site) for line in state.lines),
        sensors_on=tuple(sensor.sensor for sensor in state.sensors),
        oxygen_on=state.oxygen is not None,
        is_bagging=state.ventilation is not None,
        is_compressing=state.compressions is not None,
        airway_in=state.airway is not None,
        controlled_sites=tuple(dict.fromkeys(row.site for row in state.bleeding_controls)),
        bleeding_sites=tuple(dict.fromkeys(p.site for p in present if isinstance(p, Bleeding))),
        done=tuple((line.t_s, line.action) for line in state.log if line.action is not None and not line.is_undone),
        chest_sides=tuple(dict.fromkeys(p.side for p in present if isinstance(p, Pneumothorax | Haemothorax))),
    )
