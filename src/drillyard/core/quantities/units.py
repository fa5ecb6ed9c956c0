"""Units at the border: text such as ``"120 mL/min"`` becomes a number in the one unit that the core uses.

Inside the core a number's unit is the last part of its name (``rate_ml_per_min``).  In files the name stands
without it (``rate``) and the unit is written beside the number.  ``unit_of_name`` connects the two and
``quantity_from_text`` converts.  Nothing else in the project converts units that people write.
"""

import math
import re
from functools import cache
from typing import Any, Final

from drillyard.core.quantities.faults import Fault, Place, Refusal

_UNIT_WORDS: Final[dict[str, str]] = {
    "mmhg": "mmHg", "kpa": "kPa", "cmh2o": "cmH2O",
    "ml": "mL", "l": "L", "dl": "dL",
    "s": "s", "ms": "ms", "min": "min", "h": "h", "years": "years", "weeks": "weeks",
    "ng": "ng", "ug": "ug", "mg": "mg", "g": "g", "kg": "kg", "mmol": "mmol",
    "mm": "mm", "cm": "cm", "m": "m",
    "j": "J", "hz": "Hz", "degc": "degC", "deg": "deg", "frac": "1", "pct": "%",
}  # fmt: skip
"""The parts of which the unit at the end of a name is made, and how people write each."""

_SAME: Final[dict[str, str]] = {
    "": "1", "°C": "degC", "C": "degC", "°F": "degF", "µg": "ug", "μg": "ug", "mcg": "ug", "ml": "mL", "l": "L",
    "years": "year", "weeks": "week", "yr": "year", "sec": "s", "secs": "s", "mins": "min",
    "minutes": "min", "minute": "min", "seconds": "s", "second": "s", "hours": "h", "hour": "h",
}  # fmt: skip
"""Spellings accepted for one unit, beside the one we print."""

_EXACT: Final[dict[tuple[str, str], float]] = {
    ("min", "s"): 60.0, ("h", "s"): 3600.0, ("%", "1"): 0.01, ("L", "mL"): 1000.0, ("ug", "mg"): 0.001,
    ("L/min", "mL/min"): 1000.0, ("mL/h", "mL/min"): 1.0 / 60.0, ("/h", "/min"): 1.0 / 60.0,
    ("L/h", "L/min"): 1.0 / 60.0,
}  # fmt: skip
"""Usual conversions, so that usual files are read without building the registry (a test holds them against it)."""

_NUMBER_AND_UNIT: Final = re.compile(r"^\s*([-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)\s*(.*?)\s*$")


def unit_of_name(name: str) -> tuple[str, str] | None:
    """The stem and the unit of a name whose last part is a unit, or ``None`` where it has none.

    >>> unit_of_name("leak_ml_per_s_per_cmh2o")
    ('leak', 'mL/s/cmH2O')
    >>> unit_of_name("compression_rate_per_min")
    ('compression_rate', '/min')
    """
    parts = name.split("_")
    for first in range(1, len(parts)):
        text = _unit_text(parts[first:])
        if text:
            return "_".join(parts[:first]), text
    return None


def _unit_text(parts: list[str]) -> str:
    text, wants_unit, tail = "", True, list(parts)
    if tail[0] == "per":
        tail.insert(0, "")
    for part in tail:
        if wants_unit:
            if part and part not in _UNIT_WORDS:
                return ""
            text += _UNIT_WORDS.get(part, "")
        elif part != "per":
            return ""
        else:
            text += "/"
        wants_unit = not wants_unit
    return "" if wants_unit else text


def quantity_from_text(text: object, wanted_unit: str, place: Place | None = None, example: str = "") -> float:
    """A number in ``wanted_unit`` from text with a unit ("120 mL/min"), or a bare number where there is no unit.

    Args:
        text: what was written: a string, or a number (allowed only for shares and counts, unit "1").
        wanted_unit: the unit of the result as printed ("mL/min", "/min", "degC", "1").
        place: where it was written, for the fault.
        example: a value that would be right, for the fault; made up from the unit if absent.

    Returns:
        The number in ``wanted_unit``, rounded to twelve digits so that a conversion leaves no dust behind.

    Raises:
        Refusal: no unit, an unknown unit, one of another kind, or no finite number.
    """
    where = place or Place()
    written = "1" if wanted_unit in ("", "1") else wanted_unit
    sample = example or ("0.4 or 40 %" if written == "1" else f"10 {written}")
    if isinstance(text, bool) or not isinstance(text, int | float | str):
        raise Refusal(_fault("not a quantity", f"{text!r} is not a number with a unit", text, sample, where))
    match = _NUMBER_AND_UNIT.match(str(text))
    if match is None or not math.isfinite(float(match[1])):
        raise Refusal(_fault("not a quantity", f"'{text}' is not a number with a unit", text, sample, where))
    number, unit = float(match[1]), _SAME.get(match[2], match[2])
    if unit == "1" and written != "1":
        said = f"'{text}' has no unit, and it could be read in more than one"
        raise Refusal(_fault("unit missing", said, text, sample, where))
    wanted = _SAME.get(written, written)
    if wanted == unit:
        return number
    if (unit, wanted) in _EXACT:
        return float(f"{number * _EXACT[unit, wanted]:.12g}")
    try:
        return float(f"{_converted(number, unit, written):.12g}")
    except Refusal:
        raise
    except Exception as error:  # pint raises many kinds, all of which mean the same here: this is no such unit
        said = f"'{text}': '{match[2]}' cannot be turned into {_named(written)}"
        raise Refusal(_fault("wrong unit", said, text, sample, where)) from error


def _named(unit: str) -> str:
    return "a share (0 to 1, or %)" if unit == "1" else unit


def _fault(code: str, said: str, value: object, sample: str, place: Place) -> Fault:
    return Fault(code=code, said=said, value=str(value), remedy=f"write for instance '{sample}'", place=place)


@cache
def _registry() -> Any:
    """The unit registry, built at first need: it costs most of a second, and usual spellings never ask for it."""
    import pint

    return pint.UnitRegistry(cache_folder=None)


def _pint_text(unit: str) -> str:
    parts = [_SAME.get(part, part) for part in unit.replace("%", "percent").split("/")]
    return "/".join(part or "1" for part in parts)


def _converted(number: float, unit: str, wanted: str) -> float:
    units = _registry()
    source, target = _pint_text(unit), _pint_text("1" if wanted == "" else wanted)
    quantity = units.Quantity(number, "dimensionless" if source == "1" else source)
    return float(quantity.to("dimensionless" if target == "1" else target).magnitude)
