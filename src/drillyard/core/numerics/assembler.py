"""The assembler: organ parts in, one generated step function out.

``Model`` checks that every name is known and every state is moved by its own block; ``python_like`` writes the
step as Python text (run as it is, or compiled by numba), and ``c_text.py`` turns that same text into C, so that all
three do the same arithmetic in the same order.
"""

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import ModuleType
from typing import Any

from drillyard.core.numerics.model_text import (
    Function,
    Helper,
    Helpers,
    ModelTextError,
    Part,
    read_part,
    state_of,
)
from drillyard.core.numerics.names import Mid, Name, Param, State
from drillyard.core.numerics.step_text import MID_PER_CALM, StepText

BLOCKS = ("CALM", "OUT", "FAST", "TURN", "MID", "SLOW", "SHOW")


@dataclass(frozen=True, slots=True)
class Steps:
    """Step sizes: 10/3 ms fast, 10 ms mid, 50 ms calm, 1 s slow.  ``divide`` makes all but the slow one finer.

    With ``divide`` = 67, the reference, the fast step is 0.05 ms, mid and calm steps 0.15 ms; a "step" of ``advance``
    is still 10 ms.
    """

    divide: int = 1
    fast_per_mid: int = 3

    @property
    def fast_s(self) -> float:
        return 0.01 / self.fast_per_mid / self.divide

    @property
    def mid_s(self) -> float:
        return 0.01 / self.divide

    @property
    def calm_s(self) -> float:
        return 0.01 * MID_PER_CALM if self.divide == 1 else self.mid_s

    def constants(self) -> dict[str, float]:
        return {"dt_fast_s": self.fast_s, "dt_mid_s": self.mid_s, "dt_calm_s": self.calm_s, "dt_slow_s": 1.0}


@dataclass(frozen=True, slots=True)
class Layout:
    """Where every name lives: index in ``x`` (states, what CALM leaves, arrays), ``p`` (parameters, arrays), ``out``.

    What CALM leaves is kept in ``x``, because a snapshot may fall between two calm steps.
    """

    x_names: tuple[str, ...]
    p_names: tuple[str, ...]
    out_names: tuple[str, ...]
    wave_names: tuple[str, ...]
    x_arrays: tuple[tuple[str, int], ...] = ()
    p_arrays: tuple[tuple[str, int], ...] = ()
    x_start: tuple[float, ...] = ()

    @property
    def x_index(self) -> dict[str, int]:
        return {name: index for index, name in enumerate(self.x_names)}

    @property
    def p_index(self) -> dict[str, int]:
        return {name: index for index, name in enumerate(self.p_names)}

    @property
    def n_x(self) -> int:
        return len(self.x_names) + sum(size for _, size in self.x_arrays)

    @property
    def n_p(self) -> int:
        return len(self.p_names) + sum(size for _, size in self.p_arrays)

    def array_start(self, name: str) -> int:
        """First index of an array in ``x`` or ``p``."""
        for names, arrays in ((self.x_names, self.x_arrays), (self.p_names, self.p_arrays)):
            start = len(names)
            for array, size in arrays:
                if array == name:
                    return start
                start += size
        raise KeyError(name)


class Model:
    """Organs joined into one checked model.

    Args:
        organs: modules (or objects) with ``NAMES`` and ``PARTS``; an array part adds ``X_ARRAYS``, ``P_ARRAYS``
            (name -> size), ``ARRAY_PART`` (function) and ``TAPS`` (state name -> index in its first x array).
        outputs: names that ``show`` fills, each a state, intermediate or SHOW result.
        waves: names written every 10 ms.

    Raises:
        ModelTextError: an unknown name, a state that nothing moves, a name that two parts set.
    """

    def __init__(
        self,
        organs: Sequence[ModuleType | Any],
        outputs: Iterable[str],
        waves: Sequence[str],
        extra: Sequence[Name] = (),
        steps: Steps = Steps(),
    ) -> None:
        self.organs, self.extra, self.steps = organs, extra, steps
        self.helpers = Helpers()
        self.names: dict[str, Name] = {}
        for name in extra:
            self._declare(name, "controls")
        self.parts: dict[str, list[Part]] = {block: [] for block in BLOCKS}
        self.x_arrays: dict[str, int] = {}
        self.p_arrays: dict[str, int] = {}
        self.array_parts: list[tuple[Helper, tuple[str, ...], Mapping[str, int], str]] = []
        for organ in organs:
            self._add(organ)
        self.parts = {block: _in_reading_order(parts) for block, parts in self.parts.items()}
        states = [n for n in self.names.values() if isinstance(n, State)]
        kept = [r for part in self.parts["CALM"] for r in part.returns if isinstance(self.names.get(r), Mid)]
        self.layout = Layout(
            x_names=(*(n.name for n in states), *kept),
            p_names=tuple(n.name for n in self.names.values() if isinstance(n, Param)),
            out_names=tuple(outputs),
            wave_names=tuple(waves),
            x_arrays=tuple(self.x_arrays.items()),
            p_arrays=tuple(self.p_arrays.items()),
            x_start=(*(n.start for n in states), *(0.0 for _ in kept)),
        )
        self.states = {n.name: n for n in states}
        self._check()

    def _declare(self, name: Name, owner: str) -> None:
        if name.name in self.names:
            raise ModelTextError(f"{owner}: '{name.name}' is declared twice.")
        self.names[name.name] = name

    def _add(self, organ: ModuleType | Any) -> None:
        owner = getattr(organ, "__name__", str(organ))
        for name in organ.NAMES:
            self._declare(name, owner)
        for block, functions in organ.PARTS.items():
            if block not in BLOCKS:
                raise ModelTextError(f"{owner}: '{block}' is not a block; blocks are {', '.join(BLOCKS)}.")
            self.parts[block].extend(read_part(function, self.helpers) for function in functions)
        self.x_arrays.update(getattr(organ, "X_ARRAYS", {}))
        self.p_arrays.update(getattr(organ, "P_ARRAYS", {}))
        array_part: Function | None = getattr(organ, "ARRAY_PART", None)
        if array_part is not None:
            self.helpers.emitted_name(array_part)
            helper = self.helpers.by_function[array_part]
            arguments = tuple(argument.arg for argument in helper.tree.args.args)
            self.array_parts.append((helper, arguments, organ.TAPS, next(iter(organ.X_ARRAYS))))

    def _check(self) -> None:
        known = set(self.names) | set(self.steps.constants()) | {"step_count"}
        set_by: dict[str, str] = {}
        moved: set[str] = set()
        available = known - {n.name for n in self.names.values() if isinstance(n, Mid)}
        for block in BLOCKS:
            in_block = set(available)
            for part in self.parts[block]:
                for read in part.reads:
                    self._check_read(read, part, block, in_block)
                for returned in part.returns:
                    if returned in set_by:
                        raise ModelTextError(f"{part.where}: '{returned}' is already set by {set_by[returned]}.")
                    set_by[returned] = part.where
                    in_block.add(returned)
                    state = state_of(returned)
                    if state is not None:
                        moved.add(state)
                        self._check_move(returned, state, part, block)
                    elif not isinstance(self.names.get(returned), Mid) and returned not in self.layout.out_names:
                        raise ModelTextError(
                            f"{part.where} returns '{returned}', which is no Mid, no output, no d_<state>_per_s and no "
                            f"next_<state>{self._near(returned)}."
                        )
            if block in ("CALM", "OUT", "FAST"):
                available = in_block
        for _, _, taps, _ in self.array_parts:
            moved |= set(taps)
        self.unmoved = sorted(set(self.states) - moved - {"step_count"})
        for name in self.layout.out_names:
            if name not in self.states and name not in set_by:
                raise ModelTextError(f"Nothing computes the output '{name}'{self._near(name)}.")

    def _check_read(self, read: str, part: Part, block: str, in_block: set[str]) -> None:
        if read in in_block:
            return
        if block in ("MID", "SLOW") and read.startswith("mean_") and read[5:] in in_block:
            return
        if block in ("MID", "SLOW") and read.startswith("gain_") and self._is_fast(read[5:]):
            return
        raise ModelTextError(f"{part.where} reads '{read}', which is not known in {block}{self._near(read)}.")

    def _is_fast(self, name: str) -> bool:
        return name in self.states and self.states[name].rate == "fast"

    def _check_move(self, returned: str, state: str, part: Part, block: str) -> None:
        if state not in self.states:
            raise ModelTextError(
                f"{part.where} returns '{returned}', but there is no state '{state}'{self._near(state)}."
            )
        if block not in ("CALM", "FAST", "TURN", "MID", "SLOW"):
            raise ModelTextError(f"{part.where}: {block} must not move a state ('{returned}').")
        if block == "FAST" and (returned.startswith("next_") or not self._is_fast(state)):
            raise ModelTextError(f"{part.where}: FAST moves fast states by d_<state>_per_s only, not '{returned}'.")

    def _near(self, name: str) -> str:
        near = (
            difflib.get_close_matches(name, [*self.names, *self.layout.out_names], n=3)
            if hasattr(self, "layout")
            else []
        )
        return f" (near: {', '.join(near)})" if near else ""

    @cached_property
    def text(self) -> str:
        """The generated text: helpers, ``advance`` and ``show``, as plain Python without imports."""
        return StepText(self).text()

    def source(self) -> str:
        """The generated text, written once."""
        return self.text


def _in_reading_order(parts: list[Part]) -> list[Part]:
    """Parts of one block, each after those that make what it reads; otherwise in the order in which they came.

    Parts that wait for each other stay where they are: the check names what is not known there.
    """
    left, ordered = list(parts), []
    while left:
        unmade = [returned for part in left for returned in part.returns]
        ready = next(
            (part for part in left if not any(r in unmade and r not in part.returns for r in part.reads)), None
        )
        ordered.append(ready or left[0])
        left.remove(ordered[-1])
    return ordered


def finer(model: Model, divide: int) -> Model:
    """The same model with fast and mid steps ``divide`` times finer: the reference for step errors."""
    steps = Steps(divide=divide, fast_per_mid=model.steps.fast_per_mid)
    return Model(model.organs, model.layout.out_names, model.layout.wave_names, model.extra, steps)
