"""The generated step as C: the yardstick for speed, and the proof that the bits do not depend on the compiler.

Compile with ``-O3 -march=native -ffp-contract=off``; then it agrees with plain Python and numba to the bit.
"""

import ast
import struct
from math import isfinite

from drillyard.core.numerics.elementary import POWERS_OF_TWO, ROOTS_OF_TWO

_HEAD = """\
#include <math.h>
#include <stdlib.h>
static const unsigned long long POWER_BITS[] = {%s};
static inline double times_power_of_two(double x, double k) {
    union { unsigned long long bits; double value; } u; u.bits = POWER_BITS[(long)k + 1074]; return x * u.value; }
static const double ROOTS[] = {%s};
static inline double times_root_of_two(double x, double j) { return x * ROOTS[(long)j]; }
static inline double mantissa(double x) { int e; return frexp(x, &e); }
static inline double exponent(double x) { int e; frexp(x, &e); return (double)e; }
static inline double sqrt_(double x) { return x > 0.0 ? sqrt(x) : 0.0; }
"""
_OPERATORS = {
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=",
    ast.Eq: "==", ast.NotEq: "!=", ast.And: "&&", ast.Or: "||",
}  # fmt: skip


def c_source(python_text: str) -> str:
    """The C text of a generated Python step (``Model.source()``)."""
    bits = ",".join(f"{struct.unpack('<Q', struct.pack('<d', power))[0]}ULL" for power in POWERS_OF_TWO)
    pieces = [_HEAD % (bits, ",".join(repr(root) for root in ROOTS_OF_TWO))]
    pieces += [_Function(node).text() for node in ast.parse(python_text).body if isinstance(node, ast.FunctionDef)]
    return "\n".join(pieces)


class _Function:
    """One function; doubles unless a name counts (loop variables, ``n_...``, ``i_...`` and array starts)."""

    def __init__(self, node: ast.FunctionDef) -> None:
        self.node = node
        self.lines: list[str] = []
        self.arguments = [argument.arg for argument in node.args.args]
        self.step = node.name in ("advance", "show", "inverses") or node.name.endswith("_block")
        self.is_array = "p" in self.arguments
        self.counts = {n.target.id for n in ast.walk(node) if isinstance(n, ast.For) and isinstance(n.target, ast.Name)}

    def text(self) -> str:
        body = self.node
        stored = {n.id for n in ast.walk(body) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
        names = sorted(stored - set(self.arguments) - ({"m"} if self.step else set()))
        for name in names:
            self.lines.append(f"    {'long' if self._counts(name) else 'double'} {name} = 0;")
        for statement in body.body:
            self._statement(statement, 1)
        kind = "static inline double"
        if self.is_array:
            kind = "void" if body.name in ("advance", "show") else "static void"
        return (
            f"{kind} {body.name}({', '.join(self._argument(a) for a in self.arguments)}) {{\n"
            + "\n".join(self.lines)
            + "\n}\n"
        )

    def _argument(self, name: str) -> str:
        if self.is_array and name in ("x", "m", "out"):
            return f"double *restrict {name}"
        if self.is_array and name == "p":
            return "const double *restrict p"
        if self.step and name == "waves":
            return "double *restrict waves, long n_rows_given, long n_columns"
        if self._counts(name):
            return f"long {name}"
        return f"double {name}"

    def _counts(self, name: str) -> bool:
        return name in self.counts or name.startswith(("n_", "i_")) or (self.is_array and name.endswith(("_x0", "_p0")))

    def _put(self, depth: int, line: str) -> None:
        self.lines.append("    " * depth + line)

    def _statement(self, node: ast.stmt, depth: int) -> None:  # noqa: C901 - one case a kind of statement
        if isinstance(node, ast.Assign):
            target = node.targets[0]
            if isinstance(node.value, ast.Call) and ast.unparse(node.value.func) == "scratch":
                self._put(depth, f"double m[{ast.unparse(node.value.args[0])}] = {{0}};")
                return
            if isinstance(node.value, ast.Subscript) and ast.unparse(node.value) == "waves.shape[0]":
                self._put(depth, f"{ast.unparse(target)} = n_rows_given;")
                return
            self._put(depth, f"{self._target(target)} = {self._value(node.value)};")
        elif isinstance(node, ast.AnnAssign) and node.value is not None:
            self._put(depth, f"{self._target(node.target)} = {self._value(node.value)};")
        elif isinstance(node, ast.AugAssign):
            self._put(depth, f"{self._target(node.target)} {_OPERATORS[type(node.op)]}= {self._value(node.value)};")
        elif isinstance(node, ast.If):
            self._put(depth, f"if ({self._value(node.test)}) {{")
            for inner in node.body:
                self._statement(inner, depth + 1)
            if node.orelse:
                self._put(depth, "} else {")
                for inner in node.orelse:
                    self._statement(inner, depth + 1)
            self._put(depth, "}")
        elif isinstance(node, ast.For) and isinstance(node.iter, ast.Call):
            variable = ast.unparse(node.target)
            bounds = [self._value(argument, whole=True) for argument in node.iter.args]
            low, high = ("0", bounds[0]) if len(bounds) == 1 else (bounds[0], bounds[1])
            self._put(depth, f"for ({variable} = {low}; {variable} < {high}; {variable}++) {{")
            for inner in node.body:
                self._statement(inner, depth + 1)
            self._put(depth, "}")
        elif isinstance(node, ast.Return):
            self._put(depth, f"return {self._value(node.value)};" if node.value is not None else "return;")
        elif isinstance(node, ast.Expr):
            if isinstance(node.value, ast.Call):
                self._put(depth, self._value(node.value) + ";")
        elif not isinstance(node, ast.Pass):
            raise TypeError(f"no C for {type(node).__name__}")

    def _target(self, node: ast.expr) -> str:
        return self._value(node) if isinstance(node, ast.Subscript) else ast.unparse(node)

    def _value(self, node: ast.expr, *, whole: bool = False) -> str:  # noqa: PLR0911 - one case a kind of expression
        if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
            return str(int(node.value)) if whole else _number(float(node.value))
        if isinstance(node, ast.Name):
            return node.id
        if isinstance(node, ast.Subscript):
            return self._subscript(node)
        if isinstance(node, ast.BinOp):
            operator = _OPERATORS[type(node.op)]
            counting = whole or self._is_whole(node)
            return f"({self._value(node.left, whole=counting)} {operator} {self._value(node.right, whole=counting)})"
        if isinstance(node, ast.UnaryOp):
            sign = "!" if isinstance(node.op, ast.Not) else "-" if isinstance(node.op, ast.USub) else "+"
            return f"({sign}{self._value(node.operand, whole=whole)})"
        if isinstance(node, ast.BoolOp):
            joined = f" {_OPERATORS[type(node.op)]} ".join(self._value(value) for value in node.values)
            return f"({joined})"
        if isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
            counting = any(self._is_whole(side) for side in sides)
            pairs = [
                f"({self._value(a, whole=counting)} {_OPERATORS[type(op)]} {self._value(b, whole=counting)})"
                for a, op, b in zip(sides, node.ops, sides[1:], strict=False)
            ]
            return f"({' && '.join(pairs)})"
        if isinstance(node, ast.IfExp):
            return f"({self._value(node.test)} ? {self._value(node.body)} : {self._value(node.orelse)})"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            name = {"sqrt": "sqrt_", "int": "(long)"}.get(node.func.id, node.func.id)
            return f"{name}({', '.join(self._value(a, whole=self._is_whole(a)) for a in node.args)})"
        raise TypeError(f"no C for {ast.dump(node)}")

    def _is_whole(self, node: ast.expr) -> bool:
        """Whether an expression is a count: made of counting names and whole constants only."""
        if isinstance(node, ast.Name):
            return self._counts(node.id)
        if isinstance(node, ast.BinOp):
            sides = (node.left, node.right)
            return any(self._is_whole(s) for s in sides) and all(
                self._is_whole(s) or (isinstance(s, ast.Constant) and isinstance(s.value, int)) for s in sides
            )
        return isinstance(node, ast.Constant) and isinstance(node.value, int) and self.is_array and not self.step

    def _subscript(self, node: ast.Subscript) -> str:
        array = ast.unparse(node.value)
        if isinstance(node.slice, ast.Tuple):
            row, column = (self._value(part, whole=True) for part in node.slice.elts)
            return f"{array}[({row}) * n_columns + ({column})]"
        return f"{array}[{self._value(node.slice, whole=True)}]"


def _number(value: float) -> str:
    if not isfinite(value):
        raise TypeError("a number of the model is not finite")
    return repr(value)
