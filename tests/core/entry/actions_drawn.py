"""Actions of every kind as they can be typed, drawn at random for property tests."""

from typing import Any, get_args

from hypothesis import strategies as st

from drillyard.core.care import actions as care
from drillyard.core.entry.at_hand import DrugAtHand
from drillyard.core.entry.grammar.airway_breath import HOW_CLEARED
from drillyard.core.entry.grammar.lines_fluids import GAUGES
from drillyard.core.entry.words import (
    AIRWAY_SIZES,
    BONE_PARTS,
    LIMB_PARTS,
    MUSCLE_PARTS,
    OXYGEN_DEVICES,
    PARTS_OF_BODY,
    POSTURES,
    SENSORS,
    SURVEY_PARTS,
    USUAL_MUSCLE,
    VEIN_PARTS,
)
from drillyard.core.formulary.doses import dose_verdict, rate_amount_per_min, rate_verdict
from drillyard.core.signals.findings import FINDINGS
from tests.core.entry.hand import CASE

sides = st.sampled_from(["left", "right"])
words = st.text("abcdefghij klmnopqrstuvwxyz0123456789/", min_size=1, max_size=40).map(lambda t: " ".join(t.split()))
free_text = words.filter(lambda text: text != "")


def decimals(low: float, high: float, digits: int = 2) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda x: min(high, max(low, round(x, digits))))


def shares(low: int = 1, high: int = 100) -> st.SearchStrategy[float]:
    return st.integers(low, high).map(lambda percent: percent / 100)


def sites(parts: frozenset[str] | None = None) -> st.SearchStrategy[str]:
    names = []
    for name, rule in set(PARTS_OF_BODY.values()):
        if parts is None or name in parts:
            names += [f"{side} {name}" for side in ("left", "right") if rule != "none"]
            names += [name] if rule != "needed" else []
    return st.sampled_from(sorted(names))


@st.composite
def drugs_given(draw: Any) -> care.GiveDrug:
    at_hand: DrugAtHand = draw(st.sampled_from(CASE.drugs))
    drug = at_hand.drug
    route = draw(st.sampled_from(drug.routes()))
    most_mg = 2 * drug.impossible.value
    dose = draw(decimals(0.001, most_mg * (1000 if drug.dose_unit == "ug" else 1), 4))
    site = ""
    if route == "IM":
        site = draw(sites(MUSCLE_PARTS)) if drug.name in USUAL_MUSCLE else draw(st.just("") | sites(MUSCLE_PARTS))
    verdict = dose_verdict(drug, dose, drug.dose_unit, route, CASE.mass_kg)
    has_range = bool(at_hand.usual_by(route))
    is_unusual = verdict.verdict == "impossible" or (verdict.verdict == "unusual" and has_range)
    return care.GiveDrug(
        drug=drug.name,
        dose=dose,
        dose_unit=drug.dose_unit,
        route=route,
        site=site,
        over_s=float(draw(st.integers(0, 3600))),
        confirmed_unusual=is_unusual,
    )


@st.composite
def infusions(draw: Any) -> care.StartInfusion:
    at_hand: DrugAtHand = draw(st.sampled_from(CASE.drugs))
    drug = at_hand.drug
    of_kind = {"mg": ("ug", "mg", "g"), "units": ("units",), "mmol": ("mmol",), "mL": ()}[drug.amount_unit]
    unit = draw(st.sampled_from([u for u in get_args(care.RateUnit) if u.split("/")[0] in (*of_kind, "mL")]))
    rate = draw(decimals(0.001, 500, 3))
    strength = draw(decimals(0.001, 10, 3)) if unit.startswith("mL") and drug.amount_unit != "mL" else 0.0
    route = draw(st.sampled_from(["IV", "IO"]))
    per_min = rate_amount_per_min(drug, rate, unit, CASE.mass_kg, strength)
    verdict = rate_verdict(drug, per_min, route, CASE.mass_kg).verdict
    has_range = any(row.per_time for row in at_hand.usual_by(route))
    return care.StartInfusion(
        drug=drug.name,
        rate=rate,
        rate_unit=unit,
        strength_per_ml=strength,
        route=route,
        site=draw(st.just("") | sites(VEIN_PARTS if route == "IV" else BONE_PARTS)),
        confirmed_unusual=verdict == "impossible" or (verdict == "unusual" and has_range),
    )


@st.composite
def airways(draw: Any) -> care.PlaceAirway:
    device = draw(st.sampled_from(get_args(care.AirwayDevice)))
    low, high = AIRWAY_SIZES[device]
    is_tube = device == "tracheal tube"
    return care.PlaceAirway(
        device=device,
        size=draw(decimals(low, high, 1)),
        depth_cm=draw(st.just(0.0) | decimals(10, 30, 1)) if is_tube else 0.0,
        place=draw(st.sampled_from(get_args(care.TubePlace))) if is_tube else "trachea",
        leak_frac=draw(st.just(0.0) | shares()),
    )


def lines() -> st.SearchStrategy[care.PlaceLine]:
    vein = st.builds(
        care.PlaceLine,
        line_kind=st.just("IV"),
        site=sites(VEIN_PARTS),
        gauge=st.sampled_from(GAUGES["IV"]),
        patent=st.booleans(),
    )
    bone = st.builds(
        care.PlaceLine,
        line_kind=st.just("IO"),
        site=sites(BONE_PARTS),
        gauge=st.sampled_from(GAUGES["IO"]),
        patent=st.booleans(),
    )
    return vein | bone


def bleeding() -> st.SearchStrategy[care.ControlBleeding]:
    limb = st.builds(care.ControlBleeding, how=st.just("tourniquet"), site=sites(LIMB_PARTS), stopped_frac=shares())
    any_site = st.builds(
        care.ControlBleeding,
        how=st.sampled_from(["packing", "direct pressure"]),
        site=sites(),
        stopped_frac=shares(),
    )
    return limb | any_site


def said() -> st.SearchStrategy[care.Say]:
    what = care.Say.__annotations__["what"]
    with_text = ["order", "call-out", "asked history", "leader named", "report item"]
    bare = [kind for kind in get_args(what) if kind not in (*with_text, "stated weight")]
    return st.one_of(
        st.builds(care.Say, what=st.sampled_from(with_text), text=free_text),
        st.builds(care.Say, what=st.sampled_from(bare), text=words),
        st.builds(care.Say, what=st.just("stated weight"), text=st.integers(1, 150).map(lambda kg: f"{kg} kg")),
    )


DRAWN: dict[type, st.SearchStrategy[Any]] = {
    care.GiveDrug: drugs_given(),
    care.StartInfusion: infusions(),
    care.StopInfusion: st.builds(care.StopInfusion, drug=st.sampled_from([row.name for row in CASE.drugs])),
    care.StartFluid: st.builds(
        care.StartFluid,
        fluid=st.sampled_from(get_args(care.Fluid)),
        volume_ml=decimals(1, 5000, 0),
        rate_ml_per_min=st.just(0.0) | decimals(0.5, 500, 1),
        line=st.just("") | sites(VEIN_PARTS | BONE_PARTS),
    ),
    care.StopFluid: st.builds(care.StopFluid, fluid=st.sampled_from(get_args(care.Fluid))),
    care.PlaceLine: lines(),
    care.RemoveLine: st.builds(care.RemoveLine, site=sites(VEIN_PARTS | BONE_PARTS)),
    care.GiveOxygen: st.builds(
        care.GiveOxygen,
        device=st.sampled_from(sorted(set(OXYGEN_DEVICES.values()))),
        flow_l_per_min=decimals(0.1, 60, 1),
    ),
    care.StopOxygen: st.builds(care.StopOxygen),
    care.OpenAirway: st.builds(care.OpenAirway, how=st.sampled_from(["head tilt", "jaw thrust"]), held=st.booleans()),
    care.PlaceAirway: airways(),
    care.RemoveAirway: st.builds(care.RemoveAirway),
    care.ClearAirway: st.builds(
        care.ClearAirway, how=st.sampled_from(sorted(set(HOW_CLEARED.values()))), cleared_frac=shares()
    ),
    care.Ventilate: st.builds(
        care.Ventilate, rate_per_min=decimals(1, 80, 1), volume_ml=decimals(20, 1600, 0), leak_frac=shares(0)
    ),
    care.SetVentilator: st.one_of(
        st.builds(
            care.SetVentilator,
            mode=st.just("volume"),
            rate_per_min=decimals(1, 80, 1),
            volume_ml=decimals(20, 1600, 0),
            peep_cmh2o=decimals(0, 30, 1),
            o2_frac=st.integers(21, 100).map(lambda n: n / 100),
            leak_frac=shares(0),
        ),
        st.builds(
            care.SetVentilator,
            mode=st.sampled_from(["pressure", "bilevel"]),
            rate_per_min=decimals(1, 80, 1),
            pressure_cmh2o=decimals(0, 60, 1),
            peep_cmh2o=decimals(0, 30, 1),
        ),
        st.builds(care.SetVentilator, mode=st.just("CPAP"), peep_cmh2o=decimals(0, 30, 1), leak_frac=shares(0)),
    ),
    care.StopVentilating: st.builds(care.StopVentilating),
    care.ControlBleeding: bleeding(),
    care.ReleaseBleeding: st.builds(care.ReleaseBleeding, site=sites()),
    care.DecompressChest: st.builds(
        care.DecompressChest,
        side=sides,
        space=st.integers(1, 9),
        line=st.sampled_from(["anterior axillary", "mid axillary", "mid clavicular"]),
        gauge=st.integers(10, 18),
    ),
    care.InsertChestTube: st.builds(care.InsertChestTube, side=sides),
    care.SealChest: st.builds(care.SealChest, side=sides, vented=st.booleans()),
    care.Compress: st.builds(
        care.Compress, rate_per_min=decimals(20, 220, 0), depth_cm=decimals(0.5, 10, 1), recoil_frac=shares()
    ),
    care.StopCompressions: st.builds(care.StopCompressions),
    care.Shock: st.builds(care.Shock, energy_j=decimals(1, 400, 0), synchronised=st.booleans()),
    care.Position: st.builds(care.Position, posture=st.sampled_from(sorted(set(POSTURES.values())))),
    care.Attach: st.builds(
        care.Attach, sensor=st.sampled_from(sorted(set(SENSORS.values()))), site=st.just("") | sites()
    ),
    care.Detach: st.builds(care.Detach, sensor=st.sampled_from(sorted(set(SENSORS.values())))),
    care.MeasurePressure: st.builds(care.MeasurePressure, site=sites(frozenset({"arm", "forearm", "thigh", "leg"}))),
    care.RepeatPressure: st.one_of(
        st.just(care.RepeatPressure(every_s=0.0)),
        st.builds(
            care.RepeatPressure,
            every_s=st.integers(60, 3600).map(float),
            site=st.one_of(st.just(""), sites(frozenset({"arm", "forearm", "thigh", "leg"}))),
        ),
    ),
    care.Examine: st.builds(care.Examine, finding=st.sampled_from(sorted(FINDINGS))),
    care.Survey: st.builds(care.Survey, part=st.sampled_from(sorted(set(SURVEY_PARTS.values())))),
    care.Say: said(),
    care.Other: st.builds(care.Other, text=free_text),
}
"""One strategy a kind of action."""

KINDS: tuple[type, ...] = get_args(get_args(care.Action)[0])
