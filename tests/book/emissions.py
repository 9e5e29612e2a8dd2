"""Which values the rules and the design step hand out, read from their source: a sentence may use no other field.

A static reading, because no example makes every check fire: calls of `fires`, `undecided`, `Reason` and `Assumed`
with the names of their values, through `**facts` where that is a dictionary display or comes from a function that
returns one.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

PACKAGE: Final = Path(__file__).parents[2] / "proposal"
CAUSES: Final = ("cause", "effect")


@dataclass
class Emission:
    """One place that hands out a fact. `cause` and `find_out` are empty where they are not a constant there."""

    outcome: str
    where: str
    names: set[str] = field(default_factory=set)
    causes: set[str] = field(default_factory=set)
    find_out: set[str] = field(default_factory=set)


class Module:
    """The functions of some source files, and which functions each calls."""

    def __init__(self, files: list[Path]) -> None:
        self.functions: dict[str, ast.FunctionDef] = {}
        for file in files:
            for node in ast.parse(file.read_text()).body:
                if isinstance(node, ast.FunctionDef):
                    self.functions[node.name] = node

    def reached(self, name: str) -> set[str]:
        """A function and all of these functions that it calls, directly or through others."""
        found, ahead = set(), [name]
        while ahead:
            here = ahead.pop()
            if here in self.functions and here not in found:
                found.add(here)
                ahead += [n.id for n in ast.walk(self.functions[here]) if isinstance(n, ast.Name)]
                ahead += [n.attr for n in ast.walk(self.functions[here]) if isinstance(n, ast.Attribute)]
        return found

    def dictionary(self, node: ast.expr, inside: ast.FunctionDef) -> list[tuple[str, ast.expr]]:
        """Names and values of a dictionary: a display, a local name, or what a function returns."""
        if isinstance(node, ast.Dict):
            found = []
            for key, value in zip(node.keys, node.values, strict=True):
                if key is None:
                    found += self.dictionary(value, inside)
                elif isinstance(key, ast.Constant):
                    found.append((str(key.value), value))
            return found
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in self.functions:
            other = self.functions[node.func.id]
            returns = [n.value for n in ast.walk(other) if isinstance(n, ast.Return) and n.value is not None]
            return [pair for value in returns for pair in self.dictionary(value, other)]
        if isinstance(node, ast.Name):
            return [pair for value in assigned(node.id, inside) for pair in self.dictionary(value, inside)]
        return []


def assigned(name: str, inside: ast.FunctionDef) -> Iterator[ast.expr]:
    """What is assigned to a local name."""
    for node in ast.walk(inside):
        if isinstance(node, ast.Assign) and any(isinstance(t, ast.Name) and t.id == name for t in node.targets):
            yield node.value
        named = isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.target.id == name
        if named and isinstance(node, ast.AnnAssign) and node.value is not None:
            yield node.value


def constants(node: ast.expr, inside: ast.FunctionDef) -> set[str]:
    """Texts that an expression can be; none where it is not known."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return {node.value}
    if isinstance(node, ast.IfExp):
        return constants(node.body, inside) | constants(node.orelse, inside)
    if isinstance(node, ast.Name):
        return {text for value in assigned(node.id, inside) for text in constants(value, inside)}
    return set()


RULES: Final = Module(sorted((PACKAGE / "rules").glob("*.py")))
DESIGN_FILES: Final = sorted((PACKAGE / "design").glob("*.py"))


def emissions(check: str) -> list[Emission]:
    """Every place at which a check hands out an objection."""
    reached = [RULES.functions[name] for name in sorted(RULES.reached(check))]
    return [
        _emission(node, inside)
        for inside in reached
        for node in ast.walk(inside)
        if _calls(node, "fires", "undecided") and isinstance(node, ast.Call)
    ]


def _calls(node: ast.AST, *names: str) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names


def _emission(call: ast.Call, inside: ast.FunctionDef) -> Emission:
    assert isinstance(call.func, ast.Name)
    made = Emission(call.func.id, inside.name)
    if made.outcome == "undecided":
        made.names.add("find_out")
        made.find_out = constants(call.args[1], inside)
    for keyword in call.keywords:
        pairs = [(keyword.arg, keyword.value)] if keyword.arg else RULES.dictionary(keyword.value, inside)
        for name, value in pairs:
            made.names.add(name)
            if name in CAUSES:
                made.causes |= constants(value, inside)
    return made


def reasons() -> dict[str, list[set[str]]]:
    """Codes of the design step's reasons with the names of their values, one entry for each place."""
    found: dict[str, list[set[str]]] = {}
    for file in DESIGN_FILES:
        for node in ast.walk(ast.parse(file.read_text())):
            if _calls(node, "Reason") and isinstance(node, ast.Call):
                codes, values = node.args
                assert isinstance(values, ast.Dict), ast.unparse(node)
                names = {str(key.value) for key in values.keys if isinstance(key, ast.Constant)}
                options = [codes.body, codes.orelse] if isinstance(codes, ast.IfExp) else [codes]
                for code in options:
                    assert isinstance(code, ast.Constant), ast.unparse(node)
                    found.setdefault(str(code.value), []).append(names)
    return found


def assumptions() -> dict[str, set[str]]:
    """Codes of assumptions with the names of their values, from the circuit and the results."""
    found: dict[str, set[str]] = {}
    for file in [*sorted((PACKAGE / "circuit").glob("*.py")), PACKAGE / "results" / "studied.py"]:
        for node in ast.walk(ast.parse(file.read_text())):
            if _calls(node, "Assumed", "Assumption") and isinstance(node, ast.Call):
                code, values = node.args[1], node.args[2]
                names = {
                    str(e.elts[0].value)
                    for e in ast.walk(values)
                    if isinstance(e, ast.Tuple) and e.elts and isinstance(e.elts[0], ast.Constant)
                }
                if isinstance(code, ast.Constant):
                    found.setdefault(str(code.value), set()).update(names)
    return found
