"""Errors: their text, their order and the exit codes that the command line returns for them."""

import pickle

import pytest

from proposal.errors import InputError, MachineError, Problem, ProposalError, SpecError, UsageError


def test_a_problem_names_place_fault_remedy_and_what_was_written() -> None:
    problem = Problem("spec.yaml", 10, 14, "`length` has no unit", "a number with m or ft", "4.2")
    assert str(problem) == "spec.yaml:10:14: `length` has no unit · allowed: a number with m or ft · you wrote: 4.2"


def test_empty_parts_of_a_problem_are_left_out() -> None:
    assert str(Problem("a.yaml", 1, 2, "the file is empty")) == "a.yaml:1:2: the file is empty"
    assert str(Problem("a.yaml", 1, 2, "is wrong", written="x")) == "a.yaml:1:2: is wrong · you wrote: x"


def test_problems_sort_by_file_then_place() -> None:
    problems = [Problem("b", 1, 1, "x"), Problem("a", 10, 1, "x"), Problem("a", 9, 2, "x"), Problem("a", 9, 1, "x")]
    assert [(p.file, p.line, p.column) for p in sorted(problems)] == [
        ("a", 9, 1),
        ("a", 9, 2),
        ("a", 10, 1),
        ("b", 1, 1),
    ]


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (SpecError([Problem("a", 1, 1, "x")]), 2),
        (UsageError("no such verb"), 3),
        (MachineError("the disk is full", "free some space"), 4),
    ],
)
def test_each_error_has_its_exit_code(error: ProposalError, code: int) -> None:
    assert error.exit_code == code


def test_a_spec_error_shows_one_line_per_problem() -> None:
    error = SpecError(Problem("a", line, 1, "x") for line in (1, 2))
    assert str(error) == "a:1:1: x\na:2:1: x"
    assert len(error.problems) == 2


def test_a_spec_error_without_problems_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="at least one"):
        SpecError([])


@pytest.mark.parametrize(
    "error",
    [SpecError([Problem("a", 1, 1, "x")]), MachineError("m", "t"), InputError("is wrong", "right"), UsageError("u")],
)
def test_errors_survive_the_way_between_processes(error: Exception) -> None:
    again = pickle.loads(pickle.dumps(error))  # noqa: S301 - our own bytes
    assert type(again) is type(error)
    assert str(again) == str(error)
    assert vars(again) == vars(error)
