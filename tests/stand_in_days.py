"""In place of the simulation: a made-up Behaviour on an option's real keys, at once. For tests of what is around it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.parts.catalogue import Catalogue
from proposal.results import simulated
from proposal.results.rows import bank_rows, conductor_rows, device_rows, load_rows, source_rows
from proposal.results.studied import energy_row
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.result import Behaviour
from proposal.studies.energy.study import energy
from tests.sample_behaviour import sample_behaviour


class _NoNames(dict[str, str]):
    def __missing__(self, _: str) -> str:
        return ""


def stand_in(spec: EffectiveSpec, design: Design, family: RuleFamily, _: Catalogue, **__: Any) -> Behaviour:
    """What `simulated` gives, without simulating."""
    held, names = energy(spec, design.circuit), _NoNames()
    option: Any = SimpleNamespace(
        banks=bank_rows(design, held, names),
        conductors=conductor_rows(design, family, names),
        devices=device_rows(design, family, names),
        loads=load_rows(design, held, names),
        sources=source_rows(design, names),
        energy=energy_row(held, spec, design.circuit),
    )
    return sample_behaviour(option)


@contextmanager
def made_up_days(cache: Path) -> Iterator[None]:
    """Days that are there at once; `cache` is a store of its own, since the real ones have the same keys."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PROPOSAL_CACHE", str(cache))
        patch.setattr(simulated, "simulated", stand_in)
        yield
