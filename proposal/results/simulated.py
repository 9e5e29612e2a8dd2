"""The days of a designed option, computed: all that simulates is imported here, and only when it is asked for."""

from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.behaviour.result import Behaviour

SEED = 1
"""Of weather, use and tolerances. Another one gives another sample of the same years."""


def simulated(
    spec: EffectiveSpec, design: Design, family: RuleFamily, catalogue: Catalogue, *, threads: int = 1
) -> Behaviour:
    """Simulate the days of an option; the same whatever the number of threads."""
    from proposal.studies.behaviour.study import behaviour  # noqa: PLC0415 - what simulates is heavy

    return behaviour(spec, design.circuit, family, catalogue, seed=SEED, threads=threads)
