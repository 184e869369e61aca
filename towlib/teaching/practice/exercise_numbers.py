"""What an exercise of a lesson asks, with the numbers of a seed, read from the source of its cell. The cell
is not run.
"""

import ast
import operator
from typing import NamedTuple

from towlib.lessons.judging import numbers
from towlib.teaching.practice.lesson_cells import Cell
from towlib.units import KINDS

_SUMS = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv}


class Exercise(NamedTuple):
    """What an exercise's cell asks."""

    given: str  # its numbers in words, '' when the words above the cell hold them
    kinds: tuple[str, ...]  # one kind for each answer


class _NotPlain(Exception):
    """Something that is only known when the cell runs."""


def exercise_of(cell: Cell, seed: int) -> Exercise:
    """What an exercise's cell asks with the numbers of a seed, read from its source.

    Numbers that only running the cell would give (looked up in a table, say) are those it was saved with, and
    the words say which seed.
    """
    try:
        tree = ast.parse(cell.source)
    except (SyntaxError, ValueError):  # the reader has typed into it
        return Exercise("Run the cell for its numbers.", ())
    judged = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "judge"
    ]
    judged.sort(key=lambda node: (node.lineno, node.col_offset))
    kinds = tuple(
        kind.value
        for node in judged
        for kind in node.args[2:3]
        if isinstance(kind, ast.Constant) and kind.value in KINDS
    )
    asking = [
        node.value
        for node in tree.body
        if isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Call)
        and isinstance(node.value.func, ast.Name)
        and node.value.func.id == "print"
        and not any(inner in judged for inner in ast.walk(node))
    ]
    try:
        given = _given(tree, seed)
        return Exercise(" ".join(_said(call, given) for call in asking), kinds)
    except _NotPlain:
        saved = " ".join(cell.printed.splitlines()[: len(asking)])  # the lines behind these are verdicts
        kept = next(
            (
                node.value.value
                for node in tree.body
                if _gives(node, "SEED") and isinstance(node.value, ast.Constant)
            ),
            None,
        )
        if not saved or kept is None:
            return Exercise("Run the cell for its numbers.", kinds)
        return Exercise(
            (
                saved
                if kept == seed
                else f"{saved} (The numbers of SEED = {kept}; run the cell for those of another seed.)"
            ),
            kinds,
        )


def _gives(node: ast.stmt, name: str) -> bool:
    return isinstance(node, ast.Assign) and [
        target.id for target in node.targets if isinstance(target, ast.Name)
    ] == [name]


def _given(tree: ast.Module, seed: int) -> dict[str, float]:
    """The numbers of `given = numbers(SEED, …)`."""
    for node in tree.body:
        if _gives(node, "given"):
            call = node.value
            if not (
                isinstance(call, ast.Call)
                and isinstance(call.func, ast.Name)
                and call.func.id == "numbers"
                and len(call.args) == 1
            ):
                raise _NotPlain
            try:
                return numbers(
                    seed, **{str(word.arg): ast.literal_eval(word.value) for word in call.keywords}
                )
            except (ValueError, TypeError, ArithmeticError):
                raise _NotPlain from None
    return {}


def _said(call: ast.Call, given: dict[str, float]) -> str:
    """What print("…".format(**given)) says; further words of format may be sums of given numbers."""
    text = call.args[0] if len(call.args) == 1 and not call.keywords else None
    if isinstance(text, ast.Constant) and isinstance(text.value, str):
        return text.value
    if not (
        isinstance(text, ast.Call)
        and isinstance(text.func, ast.Attribute)
        and text.func.attr == "format"
        and not text.args
        and isinstance(text.func.value, ast.Constant)
    ):
        raise _NotPlain
    words: dict[str, float] = {}
    for word in text.keywords:
        words |= {word.arg: _sum(word.value, given)} if word.arg else _all(word.value, given)
    try:
        return text.func.value.value.format(**words)
    except (KeyError, ValueError, IndexError, AttributeError):
        raise _NotPlain from None


def _all(node: ast.expr, given: dict[str, float]) -> dict[str, float]:
    if isinstance(node, ast.Name) and node.id == "given":
        return given
    raise _NotPlain


def _sum(node: ast.expr, given: dict[str, float]) -> float:
    """A number, given["name"], or + − × ÷ of such."""
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
        return node.value
    try:
        if (
            isinstance(node, ast.Subscript)
            and isinstance(node.value, ast.Name)
            and node.value.id == "given"
            and isinstance(node.slice, ast.Constant)
        ):
            return given[node.slice.value]
        if isinstance(node, ast.BinOp) and type(node.op) in _SUMS:
            return _SUMS[type(node.op)](_sum(node.left, given), _sum(node.right, given))
    except (KeyError, ArithmeticError):
        pass
    raise _NotPlain
