"""Rule families: tables, factors, fuse rules and editions behind one Protocol."""

from __future__ import annotations

from proposal.codes.british import BRITISH
from proposal.codes.eu_vehicles import EU_VEHICLES
from proposal.codes.family import RuleFamily
from proposal.codes.iso_boats import ISO_BOATS
from proposal.codes.nec_cabins import NEC_CABINS
from proposal.codes.us_boats import US_BOATS

FAMILIES: dict[str, RuleFamily] = {known.id: known for known in (US_BOATS, ISO_BOATS, NEC_CABINS, EU_VEHICLES, BRITISH)}
"""All families by id. To add one, write its module and tables here in `codes/` and name it in this line."""


def family(family_id: str) -> RuleFamily:
    """Look up a rule family by the id that a spec uses. Raises KeyError with the known ids for any other."""
    try:
        return FAMILIES[family_id]
    except KeyError:
        raise KeyError(f"no rule family {family_id!r}; there are {', '.join(FAMILIES)}") from None


def usual_family(kind: str) -> RuleFamily:
    """The family for a kind of vessel where neither spec nor installer names one. Raises KeyError for other kinds."""
    for known in FAMILIES.values():
        if kind in known.default_for:
            return known
    raise KeyError(f"no rule family for a {kind}")
