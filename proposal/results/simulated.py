"""The days of a designed option, computed: all that simulates is imported here, and only when it is asked for."""

import importlib
import importlib.util

from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.result import Behaviour

SEED = 1
"""Of weather, use and tolerances. Another one gives another sample of the same years."""


def can_simulate() -> bool:
    """Whether this release has the study of days."""
    return importlib.util.find_spec("proposal.studies.behaviour.study") is not None


def simulated(
    spec: EffectiveSpec, design: Design, family: RuleFamily, catalogue: Catalogue, *, threads: int = 1
) -> Behaviour:
    """Simulate the days of an option; the same whatever the number of threads."""
    study = importlib.import_module("proposal.studies.behaviour.study")
    made: Behaviour = study.behaviour(spec, design.circuit, family, catalogue, seed=SEED, threads=threads)
    return made
