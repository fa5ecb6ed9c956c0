"""The log and what the crew obtained, as screens draw them."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from drillyard.core.care import actions as care
from drillyard.core.entry import shorthand_of
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.session.state import LogLineState, ObtainedFinding
from drillyard.core.signals.findings import FINDINGS
from drillyard.service.records import LabSettings
from drillyard.web.messages import LogLine, Ring
from drillyard.web.rows import RING_ROW
from drillyard.web.units import label_of, scale_of

CUTS: Final[dict[type, str]] = {
    care.GiveDrug: "drug",
    care.StartInfusion: "infusion",
    care.StopInfusion: "infusion off",
    care.StartFluid: "fluid",
    care.StopFluid: "fluid off",
    care.PlaceLine: "line",
    care.RemoveLine: "line out",
    care.GiveOxygen: "oxygen",
    care.StopOxygen: "oxygen off",
    care.OpenAirway: "airway opened",
    care.PlaceAirway: "airway",
    care.RemoveAirway: "airway out",
    care.ClearAirway: "airway cleared",
    care.Ventilate: "breaths",
    care.SetVentilator: "ventilator",
    care.StopVentilating: "breaths off",
    care.ControlBleeding: "bleeding",
    care.ReleaseBleeding: "bleeding released",
    care.DecompressChest: "needle",
    care.InsertChestTube: "chest tube",
    care.SealChest: "chest seal",
    care.Compress: "compressions",
    care.StopCompressions: "compressions off",
    care.Shock: "shock",
    care.Position: "position",
}
"""Actions that cut the river, and their short label; a look, a word or a sensor cuts nothing."""


def cut_label(action: care.Action) -> str:  # noqa: PLR0911 - one case a kind
    """The short label beside the line through the river."""
    match action:
        case care.GiveDrug() | care.StartInfusion():
            return action.drug
        case care.StopInfusion():
            return f"{action.drug} off"
        case care.ControlBleeding():
            return action.how
        case care.PlaceAirway():
            return action.device
        case care.OpenAirway():
            return action.how
        case care.PlaceLine():
            return f"{action.line_kind} line"
        case care.DecompressChest():
            return f"needle {action.side}"
        case care.InsertChestTube():
            return f"chest tube {action.side}"
        case care.SetVentilator():
            return action.mode if action.mode in ("CPAP", "bilevel") else "ventilator"
        case care.SealChest():
            return f"seal {action.side}"
        case care.Shock():
            return f"shock {action.energy_j:g} J"
        case care.Position():
            return action.posture
        case _:
            return CUTS.get(type(action), "")


def log_lines(log: Iterable[LogLineState], advice: Mapping[int, str]) -> list[LogLine]:
    """All lines, in the order of what happened.  ``advice`` is what the body said to an entry, by its number."""
    return [_line(line, advice.get(line.seq, "")) for line in log]


def _line(line: LogLineState, told: str) -> LogLine:
    is_cut = line.action is not None and type(line.action) in CUTS
    return LogLine(
        seq=line.seq,
        t_s=line.t_s,
        kind=line.kind,
        text=_in_words(line),
        by=line.by,
        is_undone=line.is_undone,
        is_late=line.is_late,
        is_cut=is_cut and not line.is_undone,
        cut_label=cut_label(line.action) if is_cut and line.action is not None else "",
        can_undo=line.can_undo,
        action=line.action,
        typed=shorthand_of(line.action) if line.action is not None else "",
        note="; ".join(part for part in (told, line.note) if part),
    )


def _in_words(line: LogLineState) -> str:
    """The text of a line; a held signal by the name that the screens give it."""
    what, _, rest = line.text.partition(" ")
    is_hold = line.kind in ("hold set", "hold released")
    return f"{label_of(what)} {rest}" if is_hold and what in SIGNALS else line.text


def rings(obtained: Sequence[ObtainedFinding], rows: Sequence[str], settings: LabSettings) -> list[Ring]:
    """What the crew obtained, in the row it belongs to.  A finding that has no row is in the log only."""
    drawn = []
    for got in obtained:
        row = row_of_finding(got.finding, rows)
        if row is not None:
            text = _ring_text(got, row, settings)
            drawn.append(Ring(t_s=got.t_s, signal=row, value=got.value, text=text, how=got.how))
    return drawn


def row_of_finding(finding: str, rows: Sequence[str]) -> str | None:
    """The row of the river in which a finding is drawn."""
    known = FINDINGS.get(finding)
    wanted = [RING_ROW.get(signal, signal) for signal in (known.signals if known else ())]
    return next((signal for signal in wanted if signal in rows), None)


def _ring_text(got: ObtainedFinding, row: str, settings: LabSettings) -> str:
    words = got.text.partition(": ")[2] or got.text
    scale = scale_of(row, settings)
    if scale.factor != 1.0 and got.value is not None:
        return f"{scale.text(got.value)} {scale.unit}"
    return words.removesuffix(f" {scale.unit}") if scale.unit else words
