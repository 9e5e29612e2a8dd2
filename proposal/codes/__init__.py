"""Rule families: tables, factors, fuse rules and editions behind one Protocol."""

from __future__ import annotations

from proposal.codes.family import RuleFamily
from proposal.codes.nec_cabins import NEC_CABINS
from proposal.codes.us_boats import US_BOATS

FAMILIES: dict[str, RuleFamily] = {known.id: known for known in (US_BOATS, NEC_CABINS)}


def family(family_id: str) -> RuleFamily:
    """Look up a rule family by the id that a spec uses. Raises KeyError with the known ids for any other."""
    try:
        return FAMILIES[family_id]
    except KeyError:
        raise KeyError(f"no rule family {family_id!r}; there are {', '.join(FAMILIES)}") from None
