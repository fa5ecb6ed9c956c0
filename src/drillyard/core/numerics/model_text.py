"""Reading the model's text: parts, helpers and array parts as checked syntax trees.

A part is an undecorated function over named scalars; see ARCHITECTURE.md, "The body".  This module reads its
source once, checks that it keeps to the allowed language, and says which names it reads and returns.
"""

import ast
import inspect
import textwrap
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from drillyard.core.numerics import elementary

INTRINSICS = ("sqrt", "floor", "times_power_of_two", "times_root_of_two", "mantissa", "exponent")
"""Functions of ``elementary`` that every language supplies by itself."""

Function = Callable[..., Any]


class ModelTextError(Exception):
    """The text of the model breaks a rule; says where and how to mend it."""


@dataclass(slots=True)
class Part:
    """One part: its name, the names it reads, the names it returns, and its statements."""

    name: str
    reads: tuple[str, ...]
    returns: tuple[str, ...]
    statements: list[ast.stmt]
    locals: frozenset[str]
    where: str


@dataclass(slots=True)
class Helper:
    """One helper or array part, emitted as a function of its own."""

    name: str
    tree: ast.FunctionDef
    is_array: bool = False


@dataclass(slots=True)
class Helpers:
    """All helpers that the parts call, each under a name that is unique in the generated text."""

    by_function: dict[Function, Helper] = field(default_factory=dict)
    ordered: list[Helper] = field(default_factory=list)

    def emitted_name(self, function: Function) -> str:
        """Register ``function`` (and what it calls) and give the name it has in the generated text."""
        if function in self.by_function:
            return self.by_function[function].name
        base = function.__name__.rstrip("_")
        name = f"f_{base}"
        taken = {helper.name for helper in self.ordered}
        if name in taken:
            name = f"f_{function.__module__.rsplit('.', 1)[-1]}_{base}"
        helper = Helper(name=name, tree=_function_tree(function))
        self.by_function[function] = helper
        helper.tree = _resolve(helper.tree, function, self)
        helper.is_array = any(isinstance(node, ast.For) for node in ast.walk(helper.tree))
        if not helper.is_array:
            _check_language(helper.tree, function, is_part=False)
        self.ordered.append(helper)
        return name


def _where(function: Function) -> str:
    return f"{function.__module__}.{function.__name__}"


def _function_tree(function: Function) -> ast.FunctionDef:
    tree = ast.parse(textwrap.dedent(inspect.getsource(function))).body[0]
    if not isinstance(tree, ast.FunctionDef):
        raise ModelTextError(f"{_where(function)} is not a plain function.")
    if tree.decorator_list:
        raise ModelTextError(f"{_where(function)} carries a decorator; model text must be undecorated.")
    if ast.get_docstring(tree) is not None:
        tree.body = tree.body[1:]
    return tree


class _Resolver(ast.NodeTransformer):
    """Replaces module constants by their numbers and called functions by their emitted names."""

    def __init__(self, function: Function, helpers: Helpers, local_names: set[str]) -> None:
        self.function, self.helpers, self.local_names = function, helpers, local_names
        self.globals = function.__globals__

    def visit_Call(self, node: ast.Call) -> ast.AST:
        node.args = [self.visit(argument) for argument in node.args]
        if node.keywords or not isinstance(node.func, ast.Name):
            raise ModelTextError(
                f"{_where(self.function)}, line {node.lineno}: call helpers by name, arguments in order."
            )
        name = node.func.id
        if name in ("range", "int"):
            return node
        target = self.globals.get(name)
        if target is None or not inspect.isfunction(target):
            raise ModelTextError(f"{_where(self.function)}, line {node.lineno}: '{name}' is not a helper function.")
        if target.__module__ == elementary.__name__ and target.__name__ in INTRINSICS:
            node.func = ast.Name(id=target.__name__, ctx=ast.Load())
        else:
            node.func = ast.Name(id=self.helpers.emitted_name(target), ctx=ast.Load())
        return node

    def visit_Name(self, node: ast.Name) -> ast.AST:
        if node.id in self.local_names or not isinstance(node.ctx, ast.Load):
            return node
        value = self.globals.get(node.id)
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            return node
        return ast.copy_location(ast.Constant(value=value), node)


def _resolve(tree: ast.FunctionDef, function: Function, helpers: Helpers) -> ast.FunctionDef:
    local_names = {argument.arg for argument in tree.args.args}
    local_names |= {n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
    resolver = _Resolver(function, helpers, local_names)
    tree.body = [resolver.visit(statement) for statement in tree.body]
    for argument in tree.args.args:
        argument.annotation = None
    tree.returns = None
    return tree


_ALLOWED = (
    ast.Assign, ast.AnnAssign, ast.AugAssign, ast.If, ast.Return, ast.Name, ast.Constant, ast.BinOp, ast.UnaryOp,
    ast.BoolOp, ast.Compare, ast.IfExp, ast.Call, ast.Tuple, ast.Load, ast.Store, ast.Add, ast.Sub, ast.Mult, ast.Div,
    ast.USub, ast.UAdd, ast.Not, ast.And, ast.Or, ast.Lt, ast.LtE, ast.Gt, ast.GtE, ast.Eq, ast.NotEq, ast.FunctionDef,
    ast.arguments, ast.arg, ast.Pass,
)  # fmt: skip


def _check_language(tree: ast.FunctionDef, function: Function, *, is_part: bool) -> None:
    for node in ast.walk(tree):
        if not isinstance(node, _ALLOWED):
            line = getattr(node, "lineno", 0)
            raise ModelTextError(
                f"{_where(function)}, line {line}: {type(node).__name__} is not allowed in model text; "
                "use assignments, if, arithmetic with + - * /, comparisons and helper calls."
            )
        if isinstance(node, ast.Constant) and (
            isinstance(node.value, bool) or not isinstance(node.value, (int, float))
        ):
            raise ModelTextError(f"{_where(function)}: only numbers may stand in model text, not {node.value!r}.")
    if is_part:
        for node in ast.walk(ast.Module(body=tree.body[:-1], type_ignores=[])):
            if isinstance(node, ast.Return):
                raise ModelTextError(f"{_where(function)}: a part returns once, in its last statement.")


def read_part(function: Function, helpers: Helpers) -> Part:
    """The checked part behind ``function``.

    Raises:
        ModelTextError: the text breaks a rule.
    """
    tree = _resolve(_function_tree(function), function, helpers)
    _check_language(tree, function, is_part=True)
    last = tree.body[-1] if tree.body else None
    if not isinstance(last, ast.Return) or last.value is None:
        raise ModelTextError(f"{_where(function)}: the last statement must be 'return name' or 'return a, b'.")
    values = last.value.elts if isinstance(last.value, ast.Tuple) else [last.value]
    returns = []
    for value in values:
        if not isinstance(value, ast.Name):
            raise ModelTextError(f"{_where(function)}: return plain names, each a name of the table.")
        returns.append(value.id)
    reads = tuple(argument.arg for argument in tree.args.args)
    stored = {n.id for n in ast.walk(tree) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
    if changed := stored & set(reads):
        raise ModelTextError(f"{_where(function)}: '{min(changed)}' is an argument and must not be changed.")
    if missing := set(returns) - stored:
        raise ModelTextError(f"{_where(function)}: '{min(missing)}' is returned but never set.")
    return Part(
        name=function.__name__,
        reads=reads,
        returns=tuple(returns),
        statements=tree.body[:-1],
        locals=frozenset(stored - set(returns)),
        where=_where(function),
    )


def state_of(returned: str) -> str | None:
    """The state that a returned name moves (``d_<state>_per_s`` or ``next_<state>``), or None."""
    if returned.startswith("d_") and returned.endswith("_per_s"):
        return returned[2:-6]
    return returned[5:] if returned.startswith("next_") else None
