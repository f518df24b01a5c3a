"""Replacements that are tried for a node of a syntax tree."""

from __future__ import annotations

import ast
from collections.abc import Iterator

COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
COMPUTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.Pow: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
CALLED = {
    "min": "max",
    "max": "min",
    "any": "all",
    "all": "any",
    "lower": "upper",
    "startswith": "endswith",
    "endswith": "startswith",
}
# Calls of these without arguments are removed: `text.strip()` becomes `text`.
DROPPED = {"strip", "lower", "casefold", "upper"}
JUDGED = (ast.Compare, ast.BoolOp, ast.UnaryOp, ast.Constant)
SMALL = 1_000


def changes(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the replacements of `node`."""
    found = _BY_TYPE.get(type(node))
    if found is not None:
        for new in found(node):
            yield ast.fix_missing_locations(ast.copy_location(new, node))


def _compare(node: ast.Compare) -> Iterator[ast.AST]:
    for place, op in enumerate(node.ops):
        ops = [*node.ops]
        ops[place] = COMPARED[type(op)]()
        yield ast.Compare(node.left, ops, node.comparators)


def _bool_op(node: ast.BoolOp) -> Iterator[ast.AST]:
    for place in range(len(node.values)):
        rest = node.values[:place] + node.values[place + 1 :]
        yield rest[0] if len(rest) == 1 else ast.BoolOp(node.op, rest)


def _unary_op(node: ast.UnaryOp) -> Iterator[ast.AST]:
    if isinstance(node.op, ast.Not | ast.USub):
        yield node.operand


def _computed(node: ast.BinOp) -> Iterator[ast.AST]:
    if type(node.op) in COMPUTED:
        yield ast.BinOp(node.left, COMPUTED[type(node.op)](), node.right)


def _assigned(node: ast.AugAssign) -> Iterator[ast.AST]:
    yield ast.Assign([node.target], node.value)
    if type(node.op) in COMPUTED:
        yield ast.AugAssign(node.target, COMPUTED[type(node.op)](), node.value)


def _constant(node: ast.Constant) -> Iterator[ast.AST]:
    value = node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int | float):
        yield ast.Constant(value + 1 if abs(value) <= SMALL else value * 2)
    elif isinstance(value, str):
        yield ast.Constant(value + "XX")
    elif isinstance(value, bytes):
        yield ast.Constant(value + b"XX")


def _if_expression(node: ast.IfExp) -> Iterator[ast.AST]:
    if not isinstance(node.test, JUDGED):
        yield ast.IfExp(node.test, node.orelse, node.body)
    yield node.body
    yield node.orelse


def _if(node: ast.If) -> Iterator[ast.AST]:
    if not isinstance(node.test, JUDGED):
        yield ast.If(ast.UnaryOp(ast.Not(), node.test), node.body, node.orelse)
    if not node.orelse:
        yield ast.If(ast.Constant(True), node.body, node.orelse)
    yield ast.If(ast.Constant(False), node.body, node.orelse)


def _while(node: ast.While) -> Iterator[ast.AST]:
    yield ast.While(ast.Constant(False), node.body, node.orelse)


def _filter(node: ast.comprehension) -> Iterator[ast.AST]:
    for place in range(len(node.ifs)):
        rest = node.ifs[:place] + node.ifs[place + 1 :]
        yield ast.comprehension(node.target, node.iter, rest, node.is_async)


def _expression(node: ast.Expr) -> Iterator[ast.AST]:
    if isinstance(node.value, ast.Call):
        yield ast.Pass()


def _nothing(node: ast.AST) -> Iterator[ast.AST]:
    yield ast.Pass()


def _continue(node: ast.AST) -> Iterator[ast.AST]:
    yield ast.Break() if isinstance(node, ast.Continue) else ast.Continue()


def _slice(node: ast.Slice) -> Iterator[ast.AST]:
    if node.lower is not None:
        yield ast.Slice(None, node.upper, node.step)
    if node.upper is not None:
        yield ast.Slice(node.lower, None, node.step)


def _call(node: ast.Call) -> Iterator[ast.AST]:
    called = node.func
    if isinstance(called, ast.Name) and called.id in CALLED:
        yield ast.Call(ast.Name(CALLED[called.id], ast.Load()), node.args, node.keywords)
    if isinstance(called, ast.Name) and called.id == "sorted":
        yield ast.Call(ast.Name("list", ast.Load()), node.args[:1], [])
    if isinstance(called, ast.Attribute):
        if called.attr in CALLED:
            other = ast.Attribute(called.value, CALLED[called.attr], ast.Load())
            yield ast.Call(other, node.args, node.keywords)
        if called.attr in DROPPED and not node.args:
            yield called.value


_BY_TYPE = {
    ast.Compare: _compare,
    ast.BoolOp: _bool_op,
    ast.UnaryOp: _unary_op,
    ast.BinOp: _computed,
    ast.AugAssign: _assigned,
    ast.Constant: _constant,
    ast.IfExp: _if_expression,
    ast.If: _if,
    ast.While: _while,
    ast.comprehension: _filter,
    ast.Expr: _expression,
    ast.Raise: _nothing,
    ast.Continue: _continue,
    ast.Break: _continue,
    ast.Slice: _slice,
    ast.Call: _call,
}
