"""A case played and judged: each figure of the outline met or missed, with the value got."""

import math
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Literal

import numpy as np

from drillyard.scripting import problem_kinds
from drillyard.validation.outlines.model import (
    MEASURES,
    SPO2,
    START,
    TIME_SHARE,
    UNTREATED,
    Case,
    Figure,
    Followed,
    Stage,
)

Verdict = Literal["met", "missed"]
_SMOOTH_S = 11
_EXPLAIN = "not explained yet: the body has moved since the reasons were written"


@dataclass(frozen=True, slots=True)
class Judged:
    """``got``: what was measured, in the unit of the signal or, for a crossing, minutes; none where it never came.

    ``passes_min``: for a value at a time, the minute nearest to it at which the value is passed.
    """

    figure: Figure
    verdict: Verdict
    got: float | None
    reason: str
    passes_min: float | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a case.  ``lacking``: problems that the body does not know yet; the case was then not played."""

    case: Case
    judged: tuple[Judged, ...]
    followed: dict[str, Followed]
    lacking: tuple[str, ...]

    @property
    def n_met(self) -> int:
        return sum(one.verdict == "met" for one in self.judged)

    @property
    def verdict(self) -> str:
        """The case in a few words."""
        if self.lacking:
            return "not played"
        return f"{self.n_met} of {len(self.judged)} met"


def play(case: Case) -> Outcome:
    """Play a case and judge its figures."""
    lacking = tuple(kind for kind in case.needs if kind not in problem_kinds())
    if lacking:
        return Outcome(case, (), {}, lacking)
    stage = Stage(case.signals)
    case.play(stage)
    why = reasons().get(case.id, {})
    judged = tuple(judge(figure, stage.followed, why.get(figure.said, _EXPLAIN)) for figure in case.figures)
    return Outcome(case, judged, stage.followed, ())


@lru_cache(maxsize=1)
def reasons() -> dict[str, dict[str, str]]:
    """Case -> words of a figure -> why it is missed, should it be."""
    text = files("drillyard.validation.outlines").joinpath("reasons.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def smoothed(followed: Followed, signal: str) -> tuple[np.ndarray, np.ndarray]:
    """Minutes from the start of the course, and the signal as a mean of 11 s: a beat or breath makes no verdict."""
    values = followed.course[signal]
    # an oximeter that finds no pulse shows nothing: a gap, not a saturation of 0
    is_there = values > 0.5 if signal == SPO2 else np.ones(len(values), dtype=bool)
    window = np.ones(_SMOOTH_S)
    n = np.convolve(is_there.astype(float), window, mode="same")
    total = np.convolve(np.where(is_there, values, 0.0), window, mode="same")
    mean = np.where(is_there & (n > 0.0), total / np.maximum(n, 1.0), np.nan)
    return (followed.course.t_s - followed.course.t_s[0]) / 60.0, mean


def judge(figure: Figure, followed: dict[str, Followed], why: str) -> Judged:
    """The verdict on one figure; ``why`` is kept where it is missed."""
    passes_min = None
    minutes, values = smoothed(followed[UNTREATED if figure.course == START else figure.course], figure.signal)
    if figure.how in ("falls to", "rises to"):
        got = _crossing(figure, minutes, values)
        is_met = got is not None and abs(got - figure.at_min) <= TIME_SHARE * figure.at_min
    elif figure.how == "change":
        got = float(np.interp(figure.at_min, minutes, values) - values[0])
        is_met = abs(got - figure.value) <= TIME_SHARE * abs(figure.value)
    else:
        got = float(np.interp(figure.at_min, minutes, values))
        window = (
            ~np.isnan(values)
            & (minutes >= figure.at_min * (1.0 - TIME_SHARE))
            & (minutes <= figure.at_min * (1.0 + TIME_SHARE))
        )
        passes_min = _passes(minutes[window], values[window], figure)
        is_met = passes_min is not None
    if got is not None and not math.isfinite(got):
        got = None
    return Judged(figure, "met" if is_met else "missed", got, "" if is_met else why, passes_min)


def _passes(minutes: np.ndarray, values: np.ndarray, figure: Figure) -> float | None:
    """The minute nearest to the outline's at which the value is passed; none where it is not."""
    slack = MEASURES[figure.signal].slack(figure.value)
    off = values - figure.value
    near = np.abs(off) <= slack
    near[1:] |= off[1:] * off[:-1] < 0.0
    if not near.any():
        return None
    hits = minutes[near]
    return float(hits[np.abs(hits - figure.at_min).argmin()])


def _crossing(figure: Figure, minutes: np.ndarray, values: np.ndarray) -> float | None:
    hit = np.flatnonzero(values <= figure.value if figure.how == "falls to" else values >= figure.value)
    return float(minutes[hit[0]]) if hit.size else None
