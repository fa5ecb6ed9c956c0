"""Writes the text of one assembled model: helpers, ``advance`` and ``show``, as plain Python without imports."""

import ast
import copy
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from drillyard.core.numerics.model_text import Helper, Part, state_of

if TYPE_CHECKING:
    from drillyard.core.numerics.assembler import Model

MID_STEPS_PER_S = 100


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


class _Reciprocals(ast.NodeTransformer):
    """Division by a parameter or a number becomes a product with its reciprocal: a division costs ten products.

    All three forms are made from the text after this change, so they still agree to the bit.
    """

    def __init__(self, params: frozenset[str], used: set[str]) -> None:
        self.params, self.used = params, used

    def visit_BinOp(self, node: ast.BinOp) -> ast.AST:
        self.generic_visit(node)
        if not isinstance(node.op, ast.Div):
            return node
        if isinstance(node.right, ast.Name) and node.right.id in self.params:
            self.used.add(node.right.id)
            factor: ast.expr = ast.Name(id=f"per_{node.right.id}", ctx=ast.Load())
        elif isinstance(node.right, ast.Constant) and not isinstance(node.left, ast.Constant):
            factor = ast.Constant(value=1.0 / node.right.value)
        else:
            return node
        return ast.copy_location(ast.BinOp(left=node.left, op=ast.Mult(), right=factor), node)


class StepText:
    """Writes the text of one model."""

    def __init__(self, model: "Model") -> None:
        self.model = model
        self.steps = model.steps
        self.layout = model.layout
        self.lines: list[str] = []
        self.counter = 0
        self.params = frozenset(model.layout.p_names) | frozenset(model.steps.constants())
        self.divided_by: set[str] = set()
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
        for name, value in self.model.steps.constants().items():
            if name in reads:
                self._put(1, f"{name} = {value!r}")

    def _part(self, part: Part, depth: int, rename: Mapping[str, str]) -> None:
        self.counter += 1
        names = {name: f"{name}_{self.counter}_" for name in part.locals}
        names.update({name: rename[name] for name in (*part.reads, *part.returns) if name in rename})
        for statement in part.statements:
            tree = _Floats().visit(copy.deepcopy(statement))
            tree = _Rename(names).visit(_Reciprocals(self.params, self.divided_by).visit(tree))
            for line in ast.unparse(ast.fix_missing_locations(tree)).splitlines():
                self._put(depth, line)

    def _block(self, block: str, depth: int, rename: Mapping[str, str] | None = None) -> None:
        for part in self.model.parts[block]:
            self._part(part, depth, rename or {})

    def _moves(self, block: str, depth: int, dt: str) -> None:
        for part in self.model.parts[block]:
            for returned in part.returns:
                state = state_of(returned)
                if state is not None:
                    change = returned if returned.startswith("next_") else f"{state} + {dt} * {returned}"
                    self._put(depth, f"{state} = {change}")

    def _reads(self, blocks: Sequence[str]) -> set[str]:
        reads = {read for block in blocks for part in self.model.parts[block] for read in part.reads}
        for block in blocks:
            for part in self.model.parts[block]:
                reads |= {s for r in part.returns if (s := state_of(r)) is not None}
        return reads

    def _advance(self) -> str:
        self.lines = ["def advance(x, p, n_steps, waves):"]
        reads = self._reads(("OUT", "FAST", "TURN", "MID", "SLOW")) | set(self.layout.wave_names) | {"step_count"}
        for _, arguments, taps, _ in self.model.array_parts:
            reads |= set(arguments) | set(taps)
        reads |= set(self.fast)
        self._load(reads)
        top = len(self.lines)
        self._put(1, "n_rows = waves.shape[0]")
        self._put(1, "for i_step in range(n_steps):")
        depth = 2
        if self.steps.divide > 1:
            self._put(2, f"for i_part in range({self.steps.divide}):")
            depth = 3
        self._mid_step(depth)
        self._put(2, "step_count = step_count + 1.0")
        self._put(
            2, f"if step_count - {MID_STEPS_PER_S}.0 * floor(step_count * {1 / MID_STEPS_PER_S!r} + 0.001) == 0.0:"
        )
        self._slow(3)
        self._put(2, "if i_step < n_rows:")
        second = self._second()
        for index, name in enumerate(self.layout.wave_names):
            self._put(3, f"waves[i_step, {index}] = {second.get(name, name)}")
        for index, name in enumerate(self.layout.x_names):
            if name in reads:
                self._put(1, f"x[{index}] = {name}")
        self._put_reciprocals(top)
        return "\n".join(self.lines)

    def _put_reciprocals(self, at: int) -> None:
        """Reciprocals of the parameters that something is divided by; 0 for a parameter that is 0."""
        self.lines[at:at] = [f"    per_{name} = 1.0 / {name} if {name} != 0.0 else 0.0" for name in sorted(self.divided_by)]
        self.divided_by = set()

    def _mid_step(self, depth: int) -> None:
        self._block("OUT", depth)
        for name in self.means:
            self._put(depth, f"mean_{name} = 0.0")
        for name in self.gains:
            self._put(depth, f"start_{name} = {name}")
        self._put(depth, f"for i_fast in range({self.steps.fast_per_mid}):")
        self._fast(depth + 1)
        self._block("TURN", depth + 1, self._second())
        self._moves("TURN", depth + 1, repr(self.steps.fast_s))
        for name in self.means:
            self._put(depth, f"mean_{name} = mean_{name} * {0.5 / self.steps.fast_per_mid!r}")
        for name in self.gains:
            self._put(depth, f"gain_{name} = {name} - start_{name}")
        self._block("MID", depth, self._second())
        self._moves("MID", depth, repr(self.steps.mid_s))

    def _second(self) -> dict[str, str]:
        """After a fast step, an intermediate of FAST is the one of its second evaluation."""
        returned = [r for part in self.model.parts["FAST"] for r in part.returns]
        return {name: f"{name}_b_" for name in returned}

    def _fast(self, depth: int) -> None:
        self._block("FAST", depth)
        for name in self.fast:
            if self._has_rate(name):
                self._put(depth, f"{name}_b_ = {name} + {self.steps.fast_s!r} * d_{name}_per_s")
        moved = [name for name in self.fast if self._has_rate(name)]
        self._block("FAST", depth, {**self._second(), **{name: f"{name}_b_" for name in moved}})
        for name in self.means:
            # a fast state counts with its value before and after, an intermediate with both evaluations
            self._put(depth, f"mean_{name} = mean_{name} + ({name} + {name}_b_)")
        for name in moved:
            self._put(depth, f"{name} = {name} + {0.5 * self.steps.fast_s!r} * (d_{name}_per_s + d_{name}_per_s_b_)")

    def _has_rate(self, name: str) -> bool:
        return any(f"d_{name}_per_s" in part.returns for part in self.model.parts["FAST"])

    def _slow(self, depth: int) -> None:
        for helper, arguments, taps, array in self.model.array_parts:
            call = [argument if argument in ("x", "p") else self._array_argument(argument) for argument in arguments]
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
        top = len(self.lines)
        self._block("OUT", 1)
        self._block("FAST", 1)
        self._block("SHOW", 1)
        for index, name in enumerate(self.layout.out_names):
            self._put(1, f"out[{index}] = {name}")
        self._put_reciprocals(top)
        return "\n".join(self.lines)
