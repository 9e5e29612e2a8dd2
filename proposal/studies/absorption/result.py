"""What of each charge source's voltage is lost before a lead bank's posts when the bank is nearly full."""

from proposal.frozen import frozen


@frozen
class Absorption:
    """Voltage lost from a charger's terminals to a bank's posts [V] by (charger, bank); the least among its strings."""

    lost_v: dict[tuple[str, str], float]
