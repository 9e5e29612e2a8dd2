"""Mutation test, by hand and not on CI: `python -m tests.mutants --seed 1 --count 100`, from the repository's top.

Draws places in function bodies of studies, design and rules at random, changes one each in a forked process, and runs
the tests that reach that function until one fails. Which tests reach what is traced once and kept in a file.
"""

from __future__ import annotations

import argparse
import ast
import gc
import importlib
import json
import os
import random
import signal
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any

import pytest
from hypothesis import Phase, settings

ROOT = Path(__file__).parents[1]
PACKAGES = ("studies", "design", "rules")
FAST = "not browser and not reference and not slow and not nightly"
OTHER: dict[type[Any], type[Any]] = {
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult, ast.Pow: ast.Mult,
    ast.USub: ast.UAdd,
}  # fmt: skip
EDGE: dict[type[Any], type[Any]] = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}


class Tracer:
    """A pytest plugin: which test calls which function, and how long each test takes."""

    def __init__(self) -> None:
        self.calls: defaultdict[str, set[str]] = defaultdict(set)
        self.took_s: defaultdict[str, float] = defaultdict(float)
        self.test, self.seen = "", set[CodeType]()
        self.top = tuple(str(ROOT / "proposal" / name) + os.sep for name in PACKAGES)

    def _call(self, frame: FrameType, *_: object) -> None:
        code = frame.f_code
        if code not in self.seen:
            self.seen.add(code)
            if code.co_filename.startswith(self.top) and self.test:
                self.calls[f"{code.co_filename}:{code.co_firstlineno}"].add(self.test)

    def pytest_runtest_protocol(self, item: pytest.Item) -> None:
        """Each test begins with nothing called."""
        self.test = item.nodeid
        self.seen.clear()
        sys.settrace(self._call)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Its setup counts too."""
        self.took_s[report.nodeid] += report.duration


def run_tests(args: list[str], plugins: list[object]) -> int:
    """The exit code of pytest."""
    quiet = ["-q", "--tb=no", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:xdist", "-m", FAST]
    return int(pytest.main([*quiet, *args], plugins=plugins))


def trace(kept: Path) -> None:
    """In a process of its own, so that nothing that it memoises reaches a mutant."""
    if os.fork() == 0:
        tracer = Tracer()
        code = run_tests([f"tests/{name}" for name in PACKAGES], [tracer])
        sys.settrace(None)
        made = {"calls": {key: sorted(tests) for key, tests in tracer.calls.items()}, "took_s": tracer.took_s}
        if code == 0:
            kept.write_text(json.dumps(made), encoding="utf-8")
        os._exit(code)
    if os.waitstatus_to_exitcode(os.wait()[1]) != 0:
        raise SystemExit("the tests must pass before anything is changed")


def places(tree: ast.Module) -> list[tuple[ast.AST, ast.FunctionDef]]:
    """What can be changed, each with the outermost function around it; no annotations, defaults or docstrings."""
    found: list[tuple[ast.AST, ast.FunctionDef]] = []

    def visit(node: ast.AST, function: ast.FunctionDef | None) -> None:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            inside = function or (node if isinstance(node, ast.FunctionDef) else None)
            for part in node.body:
                visit(part, inside)
            return
        if isinstance(node, ast.AnnAssign):
            if node.value is not None:
                visit(node.value, function)
            return
        if function is not None and changeable(node):
            found.append((node, function))
        for part in ast.iter_child_nodes(node):
            visit(part, function)

    for node in tree.body:
        visit(node, None)
    return found


def changeable(node: ast.AST) -> bool:
    """Comparisons, arithmetic, and/or, not, numbers and truth values, and what a function returns."""
    match node:
        case ast.BinOp() | ast.AugAssign() | ast.UnaryOp():
            return type(node.op) in OTHER or isinstance(node.op, ast.Not)
        case ast.Constant():
            return isinstance(node.value, int | float)
        case ast.Return():
            return node.value is not None and not (isinstance(node.value, ast.Constant) and node.value.value is None)
    return isinstance(node, ast.Compare | ast.BoolOp)


def change(node: Any, chance: random.Random) -> None:
    """One change, in place."""
    match node:
        case ast.Compare():
            at = chance.randrange(len(node.ops))
            old = type(node.ops[at])
            node.ops[at] = (EDGE[old] if old in EDGE and chance.random() < 0.5 else OTHER[old])()
        case ast.UnaryOp(op=ast.Not()):
            node.operand = ast.copy_location(ast.UnaryOp(ast.Not(), node.operand), node)
        case ast.Constant(value=bool()):
            node.value = not node.value
        case ast.Constant():
            node.value = node.value * 1.1 if isinstance(node.value, float) and node.value else node.value + 1
        case ast.Return():
            node.value = ast.copy_location(ast.Constant(None), node.value)
        case _:
            node.op = OTHER[type(node.op)]()


def put(code: CodeType, path: Path, function: ast.FunctionDef) -> int:
    """Give every function made from this place of the source the changed code; how many there were."""
    line = min([function.lineno, *(d.lineno for d in function.decorator_list)])

    def here(one: CodeType) -> bool:
        return (one.co_name, one.co_firstlineno) == (function.name, line)

    def all_in(one: CodeType) -> list[CodeType]:
        inner = [c for c in one.co_consts if isinstance(c, CodeType)]
        return inner + [deeper for c in inner for deeper in all_in(c)]

    changed = next(c for c in all_in(code) if here(c))
    old = [f for f in gc.get_objects() if type(f) is FunctionType]
    old = [f for f in old if f.__code__.co_filename == str(path) and here(f.__code__)]
    for each in old:
        each.__code__ = changed
    return len(old)


def judge(path: Path, at: int, seed: str, known: dict[str, Any], most_s: float) -> tuple[str, str]:
    """How one mutant ends, and what it is."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    node, function = places(tree)[at]
    before = ast.unparse(node)[:90]
    change(node, random.Random(seed))  # noqa: S311
    ast.fix_missing_locations(tree)
    told = f"{path.relative_to(ROOT)}:{getattr(node, 'lineno', 0)} {before} -> {ast.unparse(node)[:90]}"
    line = min([function.lineno, *(d.lineno for d in function.decorator_list)])
    near = f"tests/{path.relative_to(ROOT / 'proposal').parts[0]}/"
    took_s, chosen, all_s = known["took_s"], list[str](), 0.0
    for test in sorted(known["calls"].get(f"{path}:{line}", ()), key=lambda t: (not t.startswith(near), took_s[t])):
        if not chosen or all_s + took_s[test] <= most_s:
            chosen.append(test)
            all_s += took_s[test]
    if not chosen:
        return "not reached", told
    child = os.fork()
    if child == 0:
        silent = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silent, 1)
        os.dup2(silent, 2)
        if not put(compile(tree, str(path), "exec", dont_inherit=True), path, function):
            os._exit(99)
        os._exit(run_tests(["-x", *chosen], []))
    end = time.monotonic() + 60.0 + 8.0 * all_s
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            code = os.waitstatus_to_exitcode(status)
            return {0: "survived", 99: "not found"}.get(code, "killed"), told
        time.sleep(0.05)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return "killed by the clock", told


def main() -> None:
    """Draw, change, test; print what survives and the figures by package."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seconds", type=float, default=60.0, help="of tests for one mutant, by the time they took")
    parser.add_argument("--traced", type=Path, default=ROOT / ".mutants.json", help="where the traced calls are kept")
    given = parser.parse_args()
    os.chdir(ROOT)
    # no time for shrinking, the same examples on each run
    only = [Phase.explicit, Phase.generate]
    settings.register_profile("mutants", deadline=None, derandomize=True, database=None, phases=only)
    settings.load_profile("mutants")
    if not given.traced.exists():
        trace(given.traced)
    known = json.loads(given.traced.read_text(encoding="utf-8"))
    paths = [p for name in PACKAGES for p in sorted((ROOT / "proposal" / name).rglob("*.py")) if p.stem != "__init__"]
    for path in paths:
        importlib.import_module(".".join(path.relative_to(ROOT).with_suffix("").parts))
    spots = [(p, n) for p in paths for n in range(len(places(ast.parse(p.read_text(encoding="utf-8")))))]
    ends: Counter[tuple[str, str]] = Counter()
    for path, at in random.Random(given.seed).sample(spots, given.count):  # noqa: S311
        end, told = judge(path, at, f"{given.seed} {path.name} {at}", known, given.seconds)
        ends[path.relative_to(ROOT / "proposal").parts[0], end] += 1
        if not end.startswith("killed"):
            sys.stdout.write(f"{end}: {told}\n")
    for (package, end), count in sorted(ends.items()):
        sys.stdout.write(f"{package}: {count} {end}\n")


if __name__ == "__main__":
    main()
