"""What a conductor may carry where it is laid: the rule family asked about its place and its bundle."""

from proposal.circuit.model import Circuit, Conductor
from proposal.codes.family import Ampacity, RuleFamily
from proposal.units import ConductorSize


def ampacity_of(conductor: Conductor, size: ConductorSize, circuit: Circuit, family: RuleFamily) -> Ampacity:
    """Ampacity of a conductor if it had a size, at its place's hottest temperature and with its bundle."""
    place = circuit.place[conductor.place]
    return family.ampacity(
        size, conductor.insulation_c, place.hottest_c, place.engine_space, conductor.bundled_count,
        system_v=circuit.system_v,
    )  # fmt: skip
