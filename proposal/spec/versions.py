"""Older versions of the spec: each step turns the tree of one version into that of the next."""

from collections.abc import Callable, Mapping
from typing import Any

from proposal.spec.project import SPEC_VERSION

Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: dict[str, Step] = {}
"""From version N, as text, to N + 1. Empty as long as there is one version."""


def spec_of_today(tree: Any, steps: Mapping[str, Step] = STEPS) -> Any:
    """The tree of a spec brought to today's version, step by step.

    Parameters: tree as read (text, lists, sections); steps by the version that they start from. A tree whose version is
    missing, today's or not known comes back as it is: the model then says what is wrong with it.
    """
    if not isinstance(tree, dict):
        return tree
    for _ in steps:
        version = str(tree.get("spec_version", ""))
        step = steps.get(version)
        if step is None or version == SPEC_VERSION:
            break
        tree = step(tree)
    return tree
