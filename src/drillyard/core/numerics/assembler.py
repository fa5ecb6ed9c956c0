"""The assembler: organ parts in, one generated step function out.

``Model`` checks that every name is known and every state is moved by its own block; ``python_like`` writes the
step as Python text (run as it is, or compiled by numba), and ``c_text.py`` turns that same text into C, so that all
three do the same arithmetic in the same order.
"""

import ast
import copy
import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import ModuleType
from typing import Any

from drillyard.core.numerics.model_text import Function, Helper, Helpers, ModelTextError, Part, read_part
from drillyard.core.numerics.names import Mid, Name, Param, State

BLOCKS = ("OUT", "FAST", "TURN", "MID", "SLOW", "SHOW")
FAST_STEPS = 5
MID_STEPS_PER_S = 100
CONSTANTS = {"dt_fast_s": 0.002, "dt_mid_s": 0.01, "dt_slow_s": 1.0}


@dataclass(frozen=True, slots=True)
class Layout:
    """Where every name lives: index in ``x`` (states, then arrays), in ``p`` (parameters, arrays), in ``out``."""

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
        self, organs: Sequence[ModuleType | Any], outputs: Iterable[str], waves: Sequence[str], extra: Sequence[Name] = ()
    ) -> None:
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
        states = [n for n in self.names.values() if isinstance(n, State)]
        self.layout = Layout(
            x_names=tuple(n.name for n in states),
            p_names=tuple(n.name for n in self.names.values() if isinstance(n, Param)),
            out_names=tuple(outputs),
            wave_names=tuple(waves),
            x_arrays=tuple(self.x_arrays.items()),
            p_arrays=tuple(self.p_arrays.items()),
            x_start=tuple(n.start for n in states),
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
        known = set(self.names) | set(CONSTANTS) | {"step_count"}
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
                    state = _state_of(returned)
                    if state is not None:
                        moved.add(state)
                        self._check_move(returned, state, part, block)
                    elif not isinstance(self.names.get(returned), Mid) and returned not in self.layout.out_names:
                        raise ModelTextError(
                            f"{part.where} returns '{returned}', which is no Mid, no output, no d_<state>_per_s and no "
                            f"next_<state>{self._near(returned)}."
                        )
            if block in ("OUT", "FAST"):
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
            raise ModelTextError(f"{part.where} returns '{returned}', but there is no state '{state}'{self._near(state)}.")
        if block not in ("FAST", "TURN", "MID", "SLOW"):
            raise ModelTextError(f"{part.where}: {block} must not move a state ('{returned}').")
        if block == "FAST" and (returned.startswith("next_") or not self._is_fast(state)):
            raise ModelTextError(f"{part.where}: FAST moves fast states by d_<state>_per_s only, not '{returned}'.")

    def _near(self, name: str) -> str:
        near = difflib.get_close_matches(name, [*self.names, *self.layout.out_names], n=3) if hasattr(self, "layout") else []
        return f" (near: {', '.join(near)})" if near else ""

    def source(self) -> str:
        """The generated text: helpers, ``advance`` and ``show``, as plain Python without imports."""
        return StepText(self).text()


def _state_of(returned: str) -> str | None:
    if returned.startswith("d_") and returned.endswith("_per_s"):
        return returned[2:-6]
    return returned[5:] if returned.startswith("next_") else None


class _Rename(ast.NodeTransformer):
    def __init__(self, names: Mapping[str, str]) -> None:
        self.names = names

    def visit_Name(self, node: ast.Name) -> ast.AST:
        if node.id in self.names:
            return ast.copy_location(ast.Name(id=self.names[node.id], ctx=node.ctx), node)
        return node


class _Floats(ast.NodeTransformer):
    """Whole numbers become floats, so that numba and C see one type."""

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        return ast.copy_location(ast.Constant(value=float(node.value)), node)


class StepText:
    """Writes the text of one model."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.layout = model.layout
        self.lines: list[str] = []
        self.counter = 0
        self.fast = [s.name for s in model.states.values() if s.rate == "fast"]
        self.means: list[str] = []
        self.gains: list[str] = []
        for block in ("MID", "SLOW"):
            for part in model.parts[block]:
                self.means += [r[5:] for r in part.reads if r.startswith("mean_") and r not in model.names]
                self.gains += [r[5:] for r in part.reads if r.startswith("gain_") and r not in model.names]
        self.means, self.gains = sorted(set(self.means)), sorted(set(self.gains))

    def text(self) -> str:
        pieces = [self._function(helper) for helper in self.model.helpers.ordered]
        pieces.append(self._advance())
        pieces.append(self._show())
        return "\n\n".join(pieces) + "\n"

    @staticmethod
    def _function(helper: Helper) -> str:
        tree = copy.deepcopy(helper.tree)
        tree.name = helper.name
        if not helper.is_array:
            tree = _Floats().visit(tree)
        return ast.unparse(ast.fix_missing_locations(tree))

    def _put(self, depth: int, line: str) -> None:
        self.lines.append("    " * depth + line)

    def _load(self, reads: set[str]) -> None:
        for index, name in enumerate(self.layout.x_names):
            if name in reads:
                self._put(1, f"{name} = x[{index}]")
        for index, name in enumerate(self.layout.p_names):
            if name in reads:
                self._put(1, f"{name} = p[{index}]")
        for name, value in CONSTANTS.items():
            if name in reads:
                self._put(1, f"{name} = {value!r}")

    def _part(self, part: Part, depth: int, rename: Mapping[str, str]) -> None:
        self.counter += 1
        names = {name: f"{name}_{self.counter}_" for name in part.locals}
        names.update({name: rename[name] for name in (*part.reads, *part.returns) if name in rename})
        for statement in part.statements:
            tree = _Floats().visit(_Rename(names).visit(copy.deepcopy(statement)))
            for line in ast.unparse(ast.fix_missing_locations(tree)).splitlines():
                self._put(depth, line)

    def _block(self, block: str, depth: int, rename: Mapping[str, str] | None = None) -> None:
        for part in self.model.parts[block]:
            self._part(part, depth, rename or {})

    def _moves(self, block: str, depth: int, dt: str) -> None:
        for part in self.model.parts[block]:
            for returned in part.returns:
                state = _state_of(returned)
                if state is not None:
                    change = returned if returned.startswith("next_") else f"{state} + {dt} * {returned}"
                    self._put(depth, f"{state} = {change}")

    def _reads(self, blocks: Sequence[str]) -> set[str]:
        reads = {read for block in blocks for part in self.model.parts[block] for read in part.reads}
        for block in blocks:
            for part in self.model.parts[block]:
                reads |= {s for r in part.returns if (s := _state_of(r)) is not None}
        return reads

    def _advance(self) -> str:
        self.lines = ["def advance(x, p, n_steps, waves):"]
        reads = self._reads(BLOCKS[:5]) | set(self.layout.wave_names) | {"step_count"}
        for _, arguments, taps, _ in self.model.array_parts:
            reads |= set(arguments) | set(taps)
        reads |= set(self.fast)
        self._load(reads)
        self._put(1, "n_rows = waves.shape[0]")
        self._put(1, "for i_step in range(n_steps):")
        self._block("OUT", 2)
        for name in self.means:
            self._put(2, f"mean_{name} = 0.0")
        for name in self.gains:
            self._put(2, f"start_{name} = {name}")
        self._put(2, f"for i_fast in range({FAST_STEPS}):")
        self._fast(3)
        self._block("TURN", 3, self._second())
        self._moves("TURN", 3, "0.002")
        for name in self.means:
            self._put(2, f"mean_{name} = mean_{name} * {0.5 / FAST_STEPS!r}")
        for name in self.gains:
            self._put(2, f"gain_{name} = {name} - start_{name}")
        self._block("MID", 2, self._second())
        self._moves("MID", 2, "0.01")
        self._put(2, "step_count = step_count + 1.0")
        self._put(2, f"if step_count - {MID_STEPS_PER_S}.0 * floor(step_count * {1 / MID_STEPS_PER_S!r} + 0.001) == 0.0:")
        self._slow(3)
        self._put(2, "if i_step < n_rows:")
        second = self._second()
        for index, name in enumerate(self.layout.wave_names):
            self._put(3, f"waves[i_step, {index}] = {second.get(name, name)}")
        for index, name in enumerate(self.layout.x_names):
            if name in reads:
                self._put(1, f"x[{index}] = {name}")
        return "\n".join(self.lines)

    def _second(self) -> dict[str, str]:
        """After a fast step, an intermediate of FAST is the one of its second evaluation."""
        returned = [r for part in self.model.parts["FAST"] for r in part.returns]
        return {name: f"{name}_b_" for name in returned}

    def _fast(self, depth: int) -> None:
        self._block("FAST", depth)
        for name in self.fast:
            if self._has_rate(name):
                self._put(depth, f"{name}_b_ = {name} + 0.002 * d_{name}_per_s")
        moved = [name for name in self.fast if self._has_rate(name)]
        self._block("FAST", depth, {**self._second(), **{name: f"{name}_b_" for name in moved}})
        for name in self.means:
            # a fast state counts with its value before and after, an intermediate with both evaluations
            self._put(depth, f"mean_{name} = mean_{name} + ({name} + {name}_b_)")
        for name in moved:
            self._put(depth, f"{name} = {name} + 0.001 * (d_{name}_per_s + d_{name}_per_s_b_)")

    def _has_rate(self, name: str) -> bool:
        return any(f"d_{name}_per_s" in part.returns for part in self.model.parts["FAST"])

    def _slow(self, depth: int) -> None:
        for helper, arguments, taps, array in self.model.array_parts:
            call = [
                argument if argument in ("x", "p") else self._array_argument(argument) for argument in arguments
            ]
            self._put(depth, f"{helper.name}({', '.join(call)})")
            start = self.layout.array_start(array)
            for name, index in taps.items():
                self._put(depth, f"{name} = x[{start + index}]")
        self._block("SLOW", depth, self._second())
        self._moves("SLOW", depth, "1.0")

    def _array_argument(self, argument: str) -> str:
        return str(self.layout.array_start(argument[:-1])) if argument.endswith("0") else argument

    def _show(self) -> str:
        self.lines = ["def show(x, p, out):"]
        self._load(self._reads(("OUT", "FAST", "SHOW")) | set(self.layout.out_names))
        self._block("OUT", 1)
        self._block("FAST", 1)
        self._block("SHOW", 1)
        for index, name in enumerate(self.layout.out_names):
            self._put(1, f"out[{index}] = {name}")
        return "\n".join(self.lines)
