"""A lead battery is no mere resistance while it charges: what it takes is bounded."""

from proposal.circuit.model import Battery, Circuit
from proposal.parts.chemistry import is_lead
from proposal.parts.dynamics import charge_max_a
from proposal.studies.network.case import Case


def accepts_a(battery: Battery, *, charging: bool) -> float:
    """Most charging current of a lead string [A]: the maker's limit or the chemistry's; nothing where no source works.

    A rested, full lead battery beside a higher voltage takes only its float current, some 0.1 % of its capacity.
    """
    if not charging:
        return 0.0
    return charge_max_a(battery.part)


def accepted_by(circuit: Circuit, case: Case, key: str) -> float | None:
    """The bound [A] on what a string takes in a case; None where there is none."""
    battery = circuit.battery[key]
    if not case.limit_lead or not is_lead(battery.part.chemistry):
        return None
    if case.lead_takes_per_h is not None:
        return case.lead_takes_per_h * battery.part.capacity_ah
    return accepts_a(battery, charging=bool(case.sources))
