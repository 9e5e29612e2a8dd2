"""What no rule known here allows: beyond it a verdict is sure, even where the family's own figure is only remembered.

Each bound is the most generous of the corroborated figures in `tables/`; a test holds them against all families.
"""

from __future__ import annotations

import functools

from proposal.codes.family import Sourced
from proposal.codes.rows import rows
from proposal.sources import Citation
from proposal.units import ConductorSize, parse_size

MEAN_BELOW_C = 80

SHEATHED_AT_MOST = Sourced(
    1.8288, Citation("abyc_e11", "72 in of sheathed conductor: no rule known here allows more", "corroborated")
)
BARE_AT_MOST = Sourced(
    0.450, Citation("nec", "552.10(E), 450 mm: no rule known here allows more of bare conductor", "corroborated")
)
FUSE_AT_MOST = Sourced(
    1.5, Citation("cfr183", "183.455(c), 150 % of the conductor: no rule known here allows more", "corroborated")
)
DROP_AT_MOST = Sourced(0.10, Citation("iso10133", "Annex C, 10 %: no rule known here allows more", "corroborated"))


def ampacity_at_most(size: ConductorSize, insulation_c: float) -> Sourced:
    """The most [A] that any corroborated table lets a size carry in insulation of a class [°C], at 30 °C and alone.

    33 CFR 183.425 Table 5, for single conductors in free air: the row of the next gauge that is not thinner, the
    column of the next class that is not lower, the last of each beyond; 80 °C at least, since its lower columns are
    mean with thin gauges. What is thicker than all is scaled by area: current per area falls with area, so that errs
    upwards, as a bound must.
    """
    gauge, class_c, ampacity_a = _table_5(size, insulation_c)
    clause = f"183.425 Table 5: {gauge} at {class_c} °C carries {ampacity_a:g} A, and no table known here allows more"
    return Sourced(
        ampacity_a * max(1.0, size.area_mm2 / parse_size(gauge).area_mm2), Citation("cfr183", clause, "corroborated")
    )


@functools.lru_cache(maxsize=4096)
def _table_5(size: ConductorSize, insulation_c: float) -> tuple[str, int, float]:
    table = {(row.cells["size"], int(row.cells["class_c"])): row.number("ampacity_a") for row in rows(_NAME)}
    gauges = sorted({gauge for gauge, _ in table}, key=lambda gauge: parse_size(gauge).area_mm2)
    classes_c = sorted({class_c for _, class_c in table})
    gauge = next((g for g in gauges if parse_size(g).area_mm2 >= size.area_mm2), gauges[-1])
    class_c = next((c for c in classes_c if c >= max(insulation_c, MEAN_BELOW_C)), classes_c[-1])
    return gauge, class_c, table[gauge, class_c]


_NAME = "us_boats_ampacity"
