"""What is switched on, what is open, how warm and how full: everything that turns a circuit into one network."""

from proposal.circuit.model import Circuit
from proposal.frozen import frozen
from proposal.studies.network.result import Temperatures

STARTER = "engine"
NORMALLY_OPEN = "emergency"
"""Last name in the key of a hand switch that is open in ordinary use."""


@frozen
class Case:
    """One state of the circuit.

    `loads` are (key, current at system voltage in A); `sources` the charge sources and converters that work;
    `open_devices` switches and relays that are open; `closed_devices` emergency switches that are closed;
    `batteries_out` strings taken out; `broken` conductors that lead nowhere; `charge_share` of all banks (fraction),
    `charge_of` where single banks differ;
    `for_fault` takes the lowest battery resistances and full current from every source, `strong` the lowest resistances
    alone, `weak` those of aged batteries; `limit_lead` keeps lead from taking more than its chemistry accepts (without
    a source: nothing), or than `lead_takes_per_h` of its capacity.
    `lasts`: long enough for its currents to warm the conductors.
    """

    id: str
    temperatures: Temperatures
    charge_share: float
    loads: tuple[tuple[str, float], ...] = ()
    sources: tuple[str, ...] = ()
    open_devices: frozenset[str] = frozenset()
    closed_devices: frozenset[str] = frozenset()
    batteries_out: frozenset[str] = frozenset()
    broken: frozenset[str] = frozenset()
    charge_of: tuple[tuple[str, float], ...] = ()
    for_fault: bool = False
    weak: bool = False
    limit_lead: bool = True
    strong: bool = False
    lead_takes_per_h: float | None = None
    lasts: bool = True

    @property
    def heats(self) -> bool:
        """Whether conductors are at the temperature that their own currents give them: hot and lasting cases alone.

        Cranking takes seconds in the cold; faults have temperatures of their own.
        """
        return self.temperatures == "hot" and self.lasts


def relay_keys(circuit: Circuit, kind: str) -> frozenset[str]:
    """Keys of all relays of a kind."""
    return frozenset(d.key for d in circuit.devices if d.kind == kind)


def emergency_keys(circuit: Circuit) -> frozenset[str]:
    """Keys of the hand switches that are open in ordinary use, from the circuit's memo."""
    found: frozenset[str] | None = circuit.memo.get(emergency_keys)
    if found is None:
        found = frozenset(d.key for d in circuit.devices if d.key.endswith(f".{NORMALLY_OPEN}"))
        circuit.memo[emergency_keys] = found
    return found
