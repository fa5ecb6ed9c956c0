"""Writes the text of one assembled model: helpers, ``advance`` and ``show``, as plain Python without imports."""

import ast
import copy
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from drillyard.core.numerics.model_text import Helper, Part, state_of

if TYPE_CHECKING:
    from drillyard.core.numerics.assembler import Model

MID_STEPS_PER_S = 100
MID_PER_CALM = 5
"""A calm step is 50 ms, the tick at which commands act."""
PARTS_A_FUNCTION = 6
"""Our choice: numba's compile time grows faster than the length of a function."""


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
        return ast.copy_location(ast.Constant(value=_number(node)), node)


def _number(node: ast.Constant) -> float:
    if not isinstance(node.value, int | float):
        raise TypeError(f"{node.value!r} is not a number")
    return float(node.value)


class _Reciprocals(ast.NodeTransformer):
    """Division by a parameter or a number becomes a product with its reciprocal: a division costs ten products.

    All three forms are made from the text after this change, so they still agree to the bit.
    """

    def __init__(self, params: frozenset[str], constants: Mapping[str, float], used: set[str]) -> None:
        self.params, self.constants, self.used = params, constants, used

    def visit_BinOp(self, node: ast.BinOp) -> ast.AST:
        self.generic_visit(node)
        if not isinstance(node.op, ast.Div):
            return node
        if isinstance(node.right, ast.Name) and node.right.id in self.params:
            self.used.add(node.right.id)
            factor: ast.expr = ast.Name(id=f"per_{node.right.id}", ctx=ast.Load())
        elif isinstance(node.right, ast.Name) and node.right.id in self.constants:
            factor = ast.Constant(value=1.0 / self.constants[node.right.id])
        elif isinstance(node.right, ast.Constant) and not isinstance(node.left, ast.Constant):
            factor = ast.Constant(value=1.0 / _number(node.right))
        else:
            return node
        return ast.copy_location(ast.BinOp(left=node.left, op=ast.Mult(), right=factor), node)


@dataclass(slots=True)
class _Block:
    """One function of the generated text while it is being written."""

    name: str
    lines: list[str]
    known: set[str]

    def put(self, depth: int, line: str) -> None:
        self.lines.append("    " * depth + line)


class StepText:
    """Writes the text of one model.

    A step of 10 ms is a few functions (``calm_1_block`` ..., ``out_block``, ``fast_block``, ``mid_1_block`` ...,
    ``slow_block``) that ``advance`` calls in turn: compilers take far longer over one long function than over short
    ones.
    Intermediates that one block leaves to another, and the reciprocals of parameters, lie in a scratch array ``m``
    that ``advance`` makes.
    """

    def __init__(self, model: "Model") -> None:
        self.model = model
        self.steps = model.steps
        self.layout = model.layout
        self.counter = 0
        self.params = frozenset(model.layout.p_names)
        self.fast = [s.name for s in model.states.values() if s.rate == "fast"]
        self.moved = [name for name in self.fast if self._has_rate(name)]
        read_late = [read for block in ("MID", "SLOW") for part in model.parts[block] for read in part.reads]
        self.means = sorted({r[5:] for r in read_late if r.startswith("mean_") and r not in model.names})
        self.gains = sorted({r[5:] for r in read_late if r.startswith("gain_") and r not in model.names})
        self.scratch: dict[str, int] = {}
        self.inverse: dict[str, int] = {}
        self.every_step: list[str] = []
        self.now_and_then: list[str] = []
        self.shown: list[str] = []
        self.shows = False

    def text(self) -> str:
        pieces = [self._function(helper) for helper in self.model.helpers.ordered]
        calm = self._grouped("CALM", self.steps.calm_s)
        every_step = [self._out("out_block"), self._fast_block(), *self._grouped("MID", self.steps.mid_s)]
        slow = self._slow()
        # what is shown is of this instant, not of the last calm step: the same parts once more, without moving anything
        self.shows = True
        shown = [*self._grouped("CALM"), self._out("show_out_block"), self._show_block()]
        blocks = [*calm, *every_step, slow, *shown]
        written = ["\n".join(block.lines if len(block.lines) > 1 else [*block.lines, "    pass"]) for block in blocks]
        self.every_step = [block.name for block in every_step]
        self.now_and_then = [block.name for block in calm]
        self.shown = [block.name for block in shown]
        whole = [*pieces, self._inverses(), *written, self._advance(), self._show()]
        return self._numbered("\n\n".join(whole)) + "\n"

    @staticmethod
    def _function(helper: Helper) -> str:
        tree = copy.deepcopy(helper.tree)
        tree.name = helper.name
        if not helper.is_array:
            tree = _Floats().visit(tree)
        return ast.unparse(ast.fix_missing_locations(tree))

    # ---- what a block needs and leaves --------------------------------------------------------------------------

    def _begin(self, name: str, parts: Sequence[Part], also: Iterable[str] = ()) -> _Block:
        """A block function with everything loaded that its parts read and do not make themselves."""
        block = _Block(name=name, lines=[f"def {name}(x, p, m):"], known=set())
        made = {returned for part in parts for returned in part.returns}
        wanted = {read for part in parts for read in part.reads} | set(also)
        for read in sorted(wanted - made):
            self._load(block, read)
        return block

    def _load(self, block: _Block, name: str) -> None:
        layout, block_known = self.layout, block.known
        block_known.add(name)
        if self._in_x(name):
            block.put(1, f"{name} = x[{layout.x_index[name]}]")
        elif name in layout.p_index:
            block.put(1, f"{name} = p[{layout.p_index[name]}]")
        elif name in self.steps.constants():
            block.put(1, f"{name} = {self.steps.constants()[name]!r}")
        else:
            block.put(1, f"{name} = m[{self._place(name)}]")

    def _in_x(self, name: str) -> bool:
        return name in self.layout.x_index and (name in self.model.states or not self.shows)

    def _place(self, name: str) -> int:
        """Place of an intermediate in the scratch array; reciprocals come after all of them."""
        return self.scratch.setdefault(name, len(self.scratch))

    def _leave(self, block: _Block, parts: Sequence[Part], rename: Mapping[str, str]) -> None:
        """Stores what ``parts`` make and any other part, or a wave, reads; what CALM makes has its place in ``x``."""
        mine = {id(part) for part in parts}
        others = [part for block_parts in self.model.parts.values() for part in block_parts if id(part) not in mine]
        wanted = {read for part in others for read in part.reads}
        wanted |= set(self.layout.wave_names) | set(self.layout.out_names)
        for _, arguments, _, _ in self.model.array_parts:
            wanted |= set(arguments)
        for returned in self._returned(parts):
            if self._in_x(returned):
                block.put(1, f"x[{self.layout.x_index[returned]}] = {returned}")
            elif returned in wanted:
                block.put(1, f"m[{self._place(returned)}] = {rename.get(returned, returned)}")

    @staticmethod
    def _returned(parts: Sequence[Part]) -> list[str]:
        return [returned for part in parts for returned in part.returns]

    def _moved_by(self, of: str) -> list[str]:
        """States that the parts of a block move."""
        states = [state_of(returned) for returned in self._returned(self.model.parts[of])]
        return [state for state in states if state is not None]

    def _store_states(self, block: _Block, *blocks: str) -> None:
        for name in sorted({state for of in blocks for state in self._moved_by(of)}):
            block.put(1, f"x[{self.layout.x_index[name]}] = {name}")

    # ---- parts --------------------------------------------------------------------------------------------------

    def _part(self, block: _Block, part: Part, depth: int, rename: Mapping[str, str]) -> None:
        self.counter += 1
        names = {name: f"{name}_{self.counter}_" for name in part.locals}
        names.update({name: rename[name] for name in (*part.reads, *part.returns) if name in rename})
        for statement in part.statements:
            used: set[str] = set()
            tree = _Floats().visit(copy.deepcopy(statement))
            tree = _Rename(names).visit(_Reciprocals(self.params, self.steps.constants(), used).visit(tree))
            for name in sorted(used):
                self._load_inverse(block, name)
            for line in ast.unparse(ast.fix_missing_locations(tree)).splitlines():
                block.put(depth, line)

    def _load_inverse(self, block: _Block, name: str) -> None:
        key = f"per_{name}"
        if key not in block.known:
            block.known.add(key)
            place = self.inverse.setdefault(name, len(self.inverse))
            block.lines.insert(1, f"    {key} = m[INVERSE_{place}]")

    def _parts(self, block: _Block, parts: Sequence[Part], depth: int, rename: Mapping[str, str] | None = None) -> None:
        for part in parts:
            self._part(block, part, depth, rename or {})

    def _moves(self, block: _Block, of: str, depth: int, dt: str) -> None:
        for returned in self._returned(self.model.parts[of]):
            self._move(block, returned, depth, dt)

    @staticmethod
    def _move(block: _Block, returned: str, depth: int, dt: str) -> None:
        state = state_of(returned)
        if state is not None:
            change = returned if returned.startswith("next_") else f"{state} + {dt} * {returned}"
            block.put(depth, f"{state} = {change}")

    def _has_rate(self, name: str) -> bool:
        return any(f"d_{name}_per_s" in part.returns for part in self.model.parts["FAST"])

    def _second(self) -> dict[str, str]:
        """After a fast step, an intermediate of FAST is the one of its second evaluation."""
        returned = [r for part in self.model.parts["FAST"] for r in part.returns]
        return {name: f"{name}_b_" for name in returned}

    # ---- the blocks ---------------------------------------------------------------------------------------------

    def _out(self, name: str) -> _Block:
        parts = self.model.parts["OUT"]
        block = self._begin(name, parts)
        self._parts(block, parts, 1)
        self._leave(block, parts, {})
        return block

    def _fast_block(self) -> _Block:
        fast, turn = self.model.parts["FAST"], self.model.parts["TURN"]
        block = self._begin("fast_block", [*fast, *turn], [*self.fast, *self._moved_by("TURN")])
        second = self._second()
        for name in self.means:
            block.put(1, f"mean_{name} = 0.0")
        for name in self.gains:
            block.put(1, f"start_{name} = {name}")
        block.put(1, f"for i_fast in range({self.steps.fast_per_mid}):")
        self._parts(block, fast, 2)
        for name in self.moved:
            block.put(2, f"{name}_b_ = {name} + {self.steps.fast_s!r} * d_{name}_per_s")
        self._parts(block, fast, 2, {**second, **{name: f"{name}_b_" for name in self.moved}})
        for name in self.means:
            # a fast state counts with its value before and after, an intermediate with both evaluations
            block.put(2, f"mean_{name} = mean_{name} + ({name} + {name}_b_)")
        for name in self.moved:
            block.put(2, f"{name} = {name} + {0.5 * self.steps.fast_s!r} * (d_{name}_per_s + d_{name}_per_s_b_)")
        self._parts(block, turn, 2, second)
        self._moves(block, "TURN", 2, repr(self.steps.fast_s))
        for name in self.means:
            block.put(1, f"m[{self._place(f'mean_{name}')}] = mean_{name} * {0.5 / self.steps.fast_per_mid!r}")
        for name in self.gains:
            block.put(1, f"m[{self._place(f'gain_{name}')}] = {name} - start_{name}")
        self._leave(block, [*fast, *turn], second)
        self._store_states(block, "FAST", "TURN")
        return block

    def _grouped(self, of: str, dt_s: float | None = None) -> list[_Block]:
        """Functions of a few parts each.

        A state moves in the last function that reads it, so that all parts of the block see it as it was; what is
        known before that waits in the scratch array.  Without ``dt_s`` nothing moves.
        """
        parts: list[Part] = self.model.parts[of]
        groups = [parts[first : first + PARTS_A_FUNCTION] for first in range(0, len(parts), PARTS_A_FUNCTION)]
        last_read = {read: place for place, group in enumerate(groups) for part in group for read in part.reads}
        known_in = {r: place for place, group in enumerate(groups) for r in self._returned(group)}
        moves: list[list[str]] = [[] for _ in groups]
        for returned, place in known_in.items():
            state = state_of(returned)
            if state is not None and dt_s is not None:
                moves[max(place, last_read.get(state, place))].append(returned)
        blocks: list[_Block] = []
        for place, group in enumerate(groups):
            late = [returned for returned in moves[place] if known_in[returned] < place]
            states = [state for returned in moves[place] if (state := state_of(returned)) is not None]
            name = f"{of.lower()}_{place + 1}_block"
            block = self._begin(f"show_{name}" if self.shows else name, group, [*late, *states])
            self._parts(block, group, 1)
            self._leave(block, group, {})
            for returned in self._returned(group):
                if state_of(returned) is not None and returned not in moves[place] and dt_s is not None:
                    block.put(1, f"m[{self._place(returned)}] = {returned}")
            for returned in moves[place]:
                self._move(block, returned, 1, repr(dt_s))
            for state in sorted(set(states)):
                block.put(1, f"x[{self.layout.x_index[state]}] = {state}")
            blocks.append(block)
        return blocks

    def _slow(self) -> _Block:
        block = _Block(name="slow_block", lines=["def slow_block(x, p, m):"], known=set())
        for helper, arguments, _, _ in self.model.array_parts:
            for argument in arguments:
                if argument not in ("x", "p") and not argument.endswith("0"):
                    self._load(block, argument)
            call = [a if a in ("x", "p") else self._array_argument(a) for a in arguments]
            block.put(1, f"{helper.name}({', '.join(call)})")
        parts = self.model.parts["SLOW"]
        loaded = self._begin("slow_block", parts, self._moved_by("SLOW"))
        taps = {name: (array, index) for _, _, held, array in self.model.array_parts for name, index in held.items()}
        block.lines += [line for line in loaded.lines[1:] if line.split(" = ")[0].strip() not in taps]
        block.known |= loaded.known
        for name, (array, index) in taps.items():
            block.put(1, f"{name} = x[{self.layout.array_start(array) + index}]")
        self._parts(block, parts, 1)
        self._moves(block, "SLOW", 1, "1.0")
        self._store_states(block, "SLOW")
        for name in taps:
            block.put(1, f"x[{self.layout.x_index[name]}] = {name}")
        return block

    def _array_argument(self, argument: str) -> str:
        return str(self.layout.array_start(argument[:-1])) if argument.endswith("0") else argument

    def _show_block(self) -> _Block:
        fast, shown = self.model.parts["FAST"], self.model.parts["SHOW"]
        block = self._begin("show_last_block", [*fast, *shown], self.layout.out_names)
        block.lines[0] = "def show_last_block(x, p, m, out):"
        self._parts(block, fast, 1)
        self._parts(block, shown, 1)
        for index, name in enumerate(self.layout.out_names):
            block.put(1, f"out[{index}] = {name}")
        return block

    # ---- the whole ----------------------------------------------------------------------------------------------

    def _inverses(self) -> str:
        """Reciprocals of the parameters that something is divided by; 0 for a parameter that is 0."""
        lines = ["def inverses(p, m):", "    value = 0.0"]
        for name, place in self.inverse.items():
            lines.append(f"    value = p[{self.layout.p_index[name]}]")
            lines.append(f"    m[INVERSE_{place}] = 1.0 / value if value != 0.0 else 0.0")
        return "\n".join(lines)

    def _advance(self) -> str:
        lines = ["def advance(x, p, n_steps, waves):", "    m = scratch(SCRATCH_SIZE)", "    inverses(p, m)"]
        lines += ["    n_rows = waves.shape[0]", "    for i_step in range(n_steps):"]
        inner = "        "
        if self.steps.divide > 1:
            lines.append(f"        for i_part in range({self.steps.divide}):")
            inner += "    "
        count = self.layout.x_index["step_count"]
        if self.now_and_then and self.steps.divide == 1:
            lines.append(f"{inner}count = x[{count}]")
            lines.append(f"{inner}if count - {MID_PER_CALM}.0 * floor(count * {1 / MID_PER_CALM!r} + 0.01) == 0.0:")
            lines += [f"{inner}    {name}(x, p, m)" for name in self.now_and_then]
        else:
            lines += [f"{inner}{name}(x, p, m)" for name in self.now_and_then]
        lines += [f"{inner}{name}(x, p, m)" for name in self.every_step]
        lines.append(f"        count = x[{count}] + 1.0")
        lines.append(f"        x[{count}] = count")
        hundredth = 1 / MID_STEPS_PER_S
        lines.append(f"        if count - {MID_STEPS_PER_S}.0 * floor(count * {hundredth!r} + 0.001) == 0.0:")
        lines.append("            slow_block(x, p, m)")
        lines.append("        if i_step < n_rows:")
        for index, name in enumerate(self.layout.wave_names):
            states = self.layout.x_index
            value = f"x[{states[name]}]" if name in states else f"m[{self._place(name)}]"
            lines.append(f"            waves[i_step, {index}] = {value}")
        return "\n".join(lines)

    def _show(self) -> str:
        lines = ["def show(x, p, out):", "    m = scratch(SCRATCH_SIZE)", "    inverses(p, m)"]
        lines += [f"    {name}(x, p, m)" for name in self.shown[:-1]]
        return "\n".join([*lines, f"    {self.shown[-1]}(x, p, m, out)"])

    def _numbered(self, text: str) -> str:
        """Puts in what is known only when every block is written: reciprocals lie behind all intermediates."""
        first = len(self.scratch)
        text = text.replace("SCRATCH_SIZE", str(first + len(self.inverse)))
        return re.sub(r"INVERSE_(\d+)", lambda found: str(first + int(found[1])), text)
