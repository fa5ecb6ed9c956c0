"""Lines in veins and bones: how much they let through, what runs by which of them, and what becomes of it when one
fails.

``notes["lines"]`` holds ``flow`` or ``flow|trouble`` by site, ``notes["runs"]`` the site by fluid.
Left out: a line that fails by itself, phlebitis, air.
"""

from typing import TYPE_CHECKING, Final, get_args

from drillyard.core.care.actions import Fluid, GiveDrug, PlaceLine, RemoveLine, StartFluid, StartInfusion
from drillyard.core.care.fluid_problems import LineFailure
from drillyard.core.quantities.faults import Refusal

if TYPE_CHECKING:
    from drillyard.core.body.problem_effects import Controlled

LINE_FLOW_ML_PER_MIN: Final = {14: 240.0, 16: 180.0, 17: 140.0, 18: 90.0, 20: 60.0, 22: 35.0, 24: 20.0}
"""Gravity flow of crystalloid by gauge: order of the figures printed on cannula packs (from memory)."""
IO_FLOW_ML_PER_MIN: Final = 80.0
"""Intraosseous line under a pressure bag (from memory)."""
FLUIDS: Final[tuple[Fluid, ...]] = get_args(Fluid)
BLOOD_FLUIDS: Final[tuple[Fluid, ...]] = ("red cells", "plasma", "whole blood")
UNDER_SKIN_FRAC: Final = 0.3
"""Flow into the tissue around an infiltrated line over that of a good one (our choice: tissue resists)."""
TROUBLE_CODE: Final = {"": 0.0, "kinked": 1.0, "blocked": 2.0, "infiltrated": 3.0, "dislodged": 4.0}


def stem_of(fluid: str) -> str:
    """Stem of the controls of a fluid."""
    return fluid.replace(" ", "_")


def place_line(body: "Controlled", action: PlaceLine) -> None:
    """A new line, in place of the one that was there."""
    flow = IO_FLOW_ML_PER_MIN if action.line_kind == "IO" else LINE_FLOW_ML_PER_MIN.get(action.gauge, 60.0)
    body.notes["lines"][action.site] = str(flow if action.patent else 0.0)
    _tell(body)


def remove_line(body: "Controlled", action: RemoveLine) -> str:
    """A line out; what ran by the last one stops."""
    lines = body.notes["lines"]
    lines.pop(action.site, None)
    _tell(body)
    running = [stem for stem in map(stem_of, FLUIDS) if body.control(f"{stem}_left_ml") > 0.0]
    if not running or any(_flow(body, site) > 0.0 for site in lines):
        return ""
    for stem in running:
        body.set_control(f"{stem}_left_ml", 0.0)
    return "That was the last patent line: the fluid has stopped."


def start_fluid(body: "Controlled", action: StartFluid) -> str:
    """A bag through a line: the one named, or the widest that works."""
    lines = body.notes["lines"]
    site = action.line or max(lines, key=lambda each: _flow(body, each), default="")
    limit = _flow(body, site)
    trouble = _trouble(body, site)
    if trouble == "infiltrated":
        _under_skin(body, site, action.volume_ml)
        return f"The line at the {site} has infiltrated: the fluid goes under the skin."
    if limit <= 0.0:
        said = f"The line at the {site} is {trouble}" if trouble else "No patent line"
        return f"{said}: the fluid does not run. Log a line first."
    rate = min(action.rate_ml_per_min, limit) if action.rate_ml_per_min > 0.0 else limit
    if action.fluid in BLOOD_FLUIDS and action.rate_ml_per_min <= 0.0:
        rate = min(rate, 0.5 * limit)  # thicker than crystalloid
    stem = stem_of(action.fluid)
    if action.temperature_degc is not None:
        control = "blood_bag_degc" if action.fluid in BLOOD_FLUIDS else "fluid_degc"
        body.set_control(control, min(max(action.temperature_degc, 0.0), 43.0))
    body.set_control(f"{stem}_ml_per_min", rate)
    body.set_control(f"{stem}_left_ml", body.control(f"{stem}_left_ml") + action.volume_ml)
    body.notes["runs"][stem] = site
    return "" if rate >= action.rate_ml_per_min else f"This line lets {rate:.0f} mL/min through."


def stop_fluid(body: "Controlled", fluid: Fluid) -> None:
    """A bag taken down."""
    stem = stem_of(fluid)
    body.set_control(f"{stem}_ml_per_min", 0.0)
    body.set_control(f"{stem}_left_ml", 0.0)
    body.notes["runs"].pop(stem, None)


def give(body: "Controlled", action: GiveDrug) -> str:
    """A dose; by a line that fails it does not reach the blood."""
    route = action.route
    site, trouble = _line_of(body, route, action.site)
    if not trouble:
        body.give(action.drug, action.dose, action.dose_unit, route, action.over_s, action.site)
        return ""
    said = f"The line at the {site} is {trouble}: {action.drug} does not reach the blood."
    if trouble != "infiltrated":
        return said
    for under in ("SC", "IM"):
        try:
            body.give(action.drug, action.dose, action.dose_unit, under, action.over_s)
        except Refusal:
            continue
        return f"The line at the {site} has infiltrated: {action.drug} goes under the skin and is taken up slowly."
    return said


def infuse(body: "Controlled", action: StartInfusion) -> str:
    """An infusion; by a line that fails it does not reach the blood."""
    site, trouble = _line_of(body, action.route, action.site)
    if trouble:
        return f"The line at the {site} is {trouble}: {action.drug} does not reach the blood."
    body.infuse(action.drug, action.rate, action.rate_unit, action.route, action.site, action.strength_per_ml)
    body.notes["runs"][f"drug {action.drug}"] = site
    return ""


def fail(body: "Controlled", problem: LineFailure) -> None:
    """The line at the site fails; what runs by it runs no more into the blood.  No line there: nothing happens."""
    lines = body.notes["lines"]
    if problem.site not in lines or _trouble(body, problem.site) == problem.how:
        return
    lines[problem.site] = f"{lines[problem.site].partition('|')[0]}|{problem.how}"
    for name in [name for name, site in body.notes["runs"].items() if site == problem.site]:
        if name.startswith("drug "):
            body.stop_infusion(name.removeprefix("drug "))
        elif problem.how in ("infiltrated", "dislodged"):
            left = body.control(f"{name}_left_ml")
            body.set_control(f"{name}_left_ml", 0.0)
            if problem.how == "infiltrated":
                _under_skin(body, problem.site, left)
        else:
            body.set_control(f"{name}_ml_per_min", 0.0)
            continue
        del body.notes["runs"][name]
    _tell(body)


def mend(body: "Controlled", problem: LineFailure) -> None:
    """A kinked or blocked line is open again, and its bag runs as fast as the line lets it."""
    lines = body.notes["lines"]
    if problem.site not in lines or _trouble(body, problem.site) not in ("kinked", "blocked"):
        return
    lines[problem.site] = lines[problem.site].partition("|")[0]
    for name, site in body.notes["runs"].items():
        if site == problem.site and not name.startswith("drug "):
            body.set_control(f"{name}_ml_per_min", _flow(body, site))
    _tell(body)


def _trouble(body: "Controlled", site: str) -> str:
    return body.notes["lines"].get(site, "").partition("|")[2]


def _flow(body: "Controlled", site: str) -> float:
    flow, _, trouble = body.notes["lines"].get(site, "0").partition("|")
    return 0.0 if trouble else float(flow)


def _line_of(body: "Controlled", route: str, site: str) -> tuple[str, str]:
    """The line by which something goes, and its trouble: the one named, or one that works if there is any."""
    lines = body.notes["lines"]
    if route not in ("IV", "IO") or not lines:
        return "", ""
    if site not in lines:
        site = max(lines, key=lambda each: (not _trouble(body, each), _flow(body, each)))
    return site, _trouble(body, site)


def _under_skin(body: "Controlled", site: str, volume_ml: float) -> None:
    flow = float(body.notes["lines"][site].partition("|")[0])
    body.set_control("under_skin_ml_per_min", UNDER_SKIN_FRAC * flow)
    body.set_control("under_skin_left_ml", body.control("under_skin_left_ml") + volume_ml)


def _tell(body: "Controlled") -> None:
    """The worst line, for the finding."""
    worst = max((TROUBLE_CODE[_trouble(body, site)] for site in body.notes["lines"]), default=0.0)
    body.set_control("line_trouble_code", worst)
