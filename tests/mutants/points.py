"""Where a module can be changed by one small step, and the changed code of the function around it.

Only what a function does is changed: comparisons, arithmetic, conditions, numbers, arguments left out, statements left out,
and words that have an opposite (`larger`, `any`). Texts are not: what a page says is read by people. Nor is what only lays
a text out (`_LAYS_OUT`), or only says how a file is read or that two lists are as long as they have to be (`_OF_FORM`).
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType

_OPPOSITE: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.And: ast.Or, ast.Or: ast.And,
}  # fmt: skip
_PAIRS = (("larger", "smaller"), ("min", "max"), ("any", "all"), ("at_least", "at_most"), ("ceil", "floor"))
_OTHER = {one: two for pair in _PAIRS for one, two in (pair, pair[::-1])}

_OF_FORM = {
    "strict",
    "encoding",
    "newline",
    "help",
    "metavar",
    "initial_indent",
    "subsequent_indent",
    "break_long_words",
}
_LAYS_OUT = {"wrap", "indent", "ljust", "rjust", "center", "clipped"}

Change = Callable[[ast.AST], ast.AST | None]  # gives the node in its place; None leaves the statement out


@dataclass(frozen=True)
class Point:
    """One change: the file and function it is in, its lines, what was there and what kind of change it is."""

    file: str
    function: str
    line: int
    end: int
    kind: str
    source: str
    step: int  # the how-manieth change of the file

    def __str__(self) -> str:
        return f"{self.file}:{self.line} {self.function}: {self.kind}: {self.source}"


def points(file: Path, root: Path) -> list[Point]:
    """Every change that can be made in a file."""
    text = file.read_text(encoding="utf-8")
    found = []
    for step, (node, function, kind, _) in enumerate(_changes(ast.parse(text))):
        source = " ".join((ast.get_source_segment(text, node) or "").split())[:90]
        if isinstance(node, ast.Constant):  # a number says little without its line
            source = f"{source} in {text.splitlines()[node.lineno - 1].strip()}"
        line, end = node.lineno, node.end_lineno  # type: ignore[attr-defined]
        found.append(Point(str(file.relative_to(root)), function, line, end, kind, source, step))
    return found


def changed(file: Path, point: Point) -> CodeType:
    """The code of the point's function with the change made."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    node, _, _, change = list(_changes(tree))[point.step]
    for function in [each for each in ast.walk(tree) if isinstance(each, ast.FunctionDef) and _says_super(each)]:
        # one that no longer says super() has to be closed over its class all the same
        function.body.append(ast.copy_location(ast.Expr(ast.Name("__class__", ast.Load())), function.body[-1]))
    tree = ast.fix_missing_locations(_Put(node, change(copy.deepcopy(node))).visit(tree))
    code = _code_of(compile(tree, str(file), "exec"), point.function)
    assert code.co_freevars in ((), ("__class__",)), point
    return code


def _says_super(function: ast.FunctionDef) -> bool:
    return any(isinstance(each, ast.Name) and each.id == "super" for each in ast.walk(function))


class _Put(ast.NodeTransformer):
    """Puts another node in the place of one."""

    def __init__(self, old: ast.AST, new: ast.AST | None) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        if node is self.old:
            return ast.copy_location(ast.Pass() if self.new is None else self.new, node)
        return self.generic_visit(node)


def _code_of(module: CodeType, name: str) -> CodeType:
    for const in module.co_consts:
        if isinstance(const, CodeType):
            if const.co_qualname == name and const.co_name != "<lambda>":
                return const
            if name.startswith(f"{const.co_qualname}."):
                return _code_of(const, name)
    raise LookupError(name)


def _changes(tree: ast.Module) -> Iterator[tuple[ast.AST, str, str, Change]]:
    """(node, name of the function around it, kind, change) of every change, in a fixed order."""

    def functions(body: list[ast.stmt], around: str) -> Iterator[tuple[ast.FunctionDef, str]]:
        for node in body:
            if isinstance(node, ast.FunctionDef):
                yield node, around + node.name
            elif isinstance(node, ast.ClassDef):
                yield from functions(node.body, f"{around}{node.name}.")

    for function, name in functions(tree.body, ""):
        for statement in function.body:
            for node in _walk(statement):
                for kind, change in _of(node):
                    yield node, name, kind, change


def _walk(node: ast.AST) -> Iterator[ast.AST]:
    """A node and what is in it, without what decides nothing: annotations, assertions, errors, layout."""
    if isinstance(node, ast.Assert | ast.Raise | ast.JoinedStr):
        return
    if isinstance(node, ast.keyword) and node.arg in _OF_FORM:
        return
    yield node
    lays_out = isinstance(node, ast.Call) and _name(node.func) in _LAYS_OUT
    for name, child in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list") or (lays_out and name == "keywords"):
            continue
        for each in child if isinstance(child, list) else [child]:
            if isinstance(each, ast.AST) and not (lays_out and name == "args" and each is not child[0]):
                yield from _walk(each)


def _blank(*statements: ast.AST) -> bool:
    """Whether all that is added is an empty line."""
    calls = [each.value for each in statements if isinstance(each, ast.Expr) and isinstance(each.value, ast.Call)]
    return len(calls) == len(statements) and all([ast.unparse(each) for each in call.args] == ["''"] for call in calls)


def _name(called: ast.expr) -> str:
    return called.attr if isinstance(called, ast.Attribute) else called.id if isinstance(called, ast.Name) else ""


def _of(node: ast.AST) -> Iterator[tuple[str, Change]]:
    if isinstance(node, ast.Compare) and type(node.ops[0]) in _OPPOSITE:
        yield "comparison", _swapped_comparison
    if isinstance(node, ast.BinOp | ast.BoolOp) and type(node.op) in _OPPOSITE:
        yield "operator", _swapped_operator
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not left out", lambda it: it.operand  # type: ignore[attr-defined]
    if isinstance(node, ast.If) and _blank(*node.body):
        return
    if isinstance(node, ast.If | ast.IfExp) and not isinstance(node.test, ast.Compare):
        yield "condition turned", _turned
    if isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield "truth", lambda it: ast.Constant(not it.value)  # type: ignore[attr-defined]
    elif isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        yield "number", lambda it: ast.Constant(it.value + 1)  # type: ignore[attr-defined]
    if isinstance(node, ast.Call):
        if isinstance(node.func, ast.Name) and node.func.id in _OTHER:
            yield "opposite", _opposite
        for at, keyword in enumerate(node.keywords):
            if keyword.arg is not None and keyword.arg not in _OF_FORM and _name(node.func) not in _LAYS_OUT:
                yield f"{keyword.arg}= left out", lambda it, at=at: _without(it, at)
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call) and not _blank(node):
        yield "statement left out", lambda it: None


def _swapped_comparison(node: ast.AST) -> ast.AST:
    assert isinstance(node, ast.Compare)
    node.ops[0] = _OPPOSITE[type(node.ops[0])]()  # type: ignore[call-overload]
    return node


def _swapped_operator(node: ast.AST) -> ast.AST:
    assert isinstance(node, ast.BinOp | ast.BoolOp)
    node.op = _OPPOSITE[type(node.op)]()  # type: ignore[assignment]
    return node


def _turned(node: ast.AST) -> ast.AST:
    assert isinstance(node, ast.If | ast.IfExp)
    node.test = ast.UnaryOp(ast.Not(), node.test)
    return node


def _opposite(node: ast.AST) -> ast.AST:
    assert isinstance(node, ast.Call)
    assert isinstance(node.func, ast.Name)
    node.func = ast.Name(_OTHER[node.func.id], ast.Load())
    return node


def _without(node: ast.AST, at: int) -> ast.AST:
    assert isinstance(node, ast.Call)
    del node.keywords[at]
    return node
