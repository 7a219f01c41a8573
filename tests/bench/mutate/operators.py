"""The ways in which one node of a module can be wrong: a node -> what might stand instead."""

import ast
import re
from collections.abc import Callable, Iterator
from typing import TypeVar

NEIGHBOURS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
SUMS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
}
OPPOSITES = {"min": "max", "max": "min", "any": "all", "all": "any", "sorted": "list"}
OUT_OF_A_FEW = re.compile(r"[\w.]*")
"""A slug, a key, a mark: one of a closed set of strings, or none. Sentences are not broken."""

Instead = Iterator[ast.AST]
Node = TypeVar("Node")


def comparison(node: ast.AST) -> Instead:
    if isinstance(node, ast.Compare):
        for at, held in enumerate(node.ops):
            for other in NEIGHBOURS[type(held)]:
                ops = [*node.ops[:at], other(), *node.ops[at + 1 :]]
                yield ast.Compare(node.left, ops, node.comparators)


def boolean(node: ast.AST) -> Instead:
    """And for or, or for and; each of the parts left out."""
    if not isinstance(node, ast.BoolOp):
        return
    yield ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)
    for at in range(len(node.values)):
        left = _without(node.values, at)
        yield ast.BoolOp(node.op, left) if len(left) > 1 else left[0]


def negation(node: ast.AST) -> Instead:
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node.operand


def choice(node: ast.AST) -> Instead:
    """Of a conditional expression, always the one or always the other."""
    if isinstance(node, ast.IfExp):
        yield node.body
        yield node.orelse


def sifting(node: ast.AST) -> Instead:
    """A comprehension that leaves nothing out."""
    if isinstance(node, ast.comprehension):
        for at in range(len(node.ifs)):
            yield ast.comprehension(node.target, node.iter, _without(node.ifs, at), node.is_async)


def condition(node: ast.AST) -> Instead:
    """The wrong way round; comparisons and the like are turned by their own operators."""
    if isinstance(node, ast.If | ast.While) and not isinstance(
        node.test, ast.Compare | ast.BoolOp | ast.UnaryOp
    ):
        wrong = ast.UnaryOp(ast.Not(), node.test)
        if isinstance(node, ast.If):
            yield ast.If(wrong, node.body, node.orelse)
        else:
            yield ast.While(wrong, node.body, node.orelse)


def constant(node: ast.AST) -> Instead:
    if not isinstance(node, ast.Constant):
        return
    if isinstance(node.value, bool):
        yield ast.Constant(not node.value)
    elif isinstance(node.value, int):
        yield ast.Constant(node.value + 1)
        yield ast.Constant(node.value - 1)
    elif isinstance(node.value, str) and OUT_OF_A_FEW.fullmatch(node.value):
        yield ast.Constant(f"{node.value}_other")


def arithmetic(node: ast.AST) -> Instead:
    if isinstance(node, ast.BinOp) and type(node.op) in SUMS:
        yield ast.BinOp(node.left, SUMS[type(node.op)](), node.right)


def opposite(node: ast.AST) -> Instead:
    """The smallest for the largest, any for all, unsorted for sorted."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        name = OPPOSITES.get(node.func.id)
        if name:
            keywords = node.keywords if name != "list" else []
            yield ast.Call(ast.Name(name, ast.Load()), node.args, keywords)


def argument(node: ast.AST) -> Instead:
    """A named argument left to its default; one of several things to choose from left out."""
    if not isinstance(node, ast.Call):
        return
    for at, keyword in enumerate(node.keywords):
        if not _is_flag(keyword.value):
            yield ast.Call(node.func, node.args, _without(node.keywords, at))
    chooses = isinstance(node.func, ast.Name) and node.func.id in OPPOSITES
    if chooses and len(node.args) > 1:
        for at in range(len(node.args)):
            yield _only_left(node, at)


def _only_left(node: ast.Call, at: int) -> ast.expr:
    left = _without(node.args, at)
    return ast.Call(node.func, left, node.keywords) if len(left) > 1 else left[0]


def member(node: ast.AST) -> Instead:
    """One of a set, a list or a tuple left out."""
    if not isinstance(node, ast.Set | ast.List | ast.Tuple) or len(node.elts) < 2:
        return
    for at in range(len(node.elts)):
        left = _without(node.elts, at)
        if isinstance(node, ast.Set):
            yield ast.Set(left)
        elif isinstance(node.ctx, ast.Load):
            yield type(node)(left, ast.Load())


def returned(node: ast.AST) -> Instead:
    """Nothing given back."""
    if isinstance(node, ast.Return) and node.value and not _is_none(node.value):
        yield ast.Return(ast.Constant(None))
    if isinstance(node, ast.Lambda):
        yield ast.Lambda(node.args, ast.Constant(None))


def statement(node: ast.AST) -> Instead:
    """Left out; an assignment may then find an older value under its name."""
    if isinstance(node, ast.Expr | ast.AugAssign | ast.Assign | ast.Raise):
        yield ast.Pass()
    if isinstance(node, ast.If):
        yield ast.If(ast.Constant(value=False), node.body, node.orelse)


def _is_none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


def _is_flag(node: ast.expr) -> bool:
    """True or False, which `constant` already turns."""
    return isinstance(node, ast.Constant) and isinstance(node.value, bool)


def _without(held: list[Node], at: int) -> list[Node]:
    return held[:at] + held[at + 1 :]


OPERATORS: tuple[Callable[[ast.AST], Instead], ...] = (
    comparison,
    boolean,
    negation,
    choice,
    sifting,
    condition,
    constant,
    arithmetic,
    opposite,
    argument,
    member,
    returned,
    statement,
)
