"""The ways to join banks, one file each: an option becomes a plan of buses, banks and links."""

from collections.abc import Callable

from proposal.circuit.arrangements import (
    composed,
    house_and_starter,
    lead_and_lithium,
    lead_and_lithium_with_starter,
    lithium_with_dc_dc,
    one_bank,
)
from proposal.circuit.arrangements.common import Brief
from proposal.circuit.plan import Plan

ARRANGEMENTS: dict[str, Callable[[Brief], Plan]] = {
    "one_bank": one_bank.plan,
    "house_and_starter": house_and_starter.plan,
    "lead_and_lithium": lead_and_lithium.plan,
    "lead_and_lithium_with_starter": lead_and_lithium_with_starter.plan,
    "lithium_with_dc_dc": lithium_with_dc_dc.plan,
    "composed": composed.plan,
}
