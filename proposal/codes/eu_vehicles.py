"""European vehicles: EN 1648 for the 12 V side of caravans, IEC 60364-7-721, and the tables of IEC 60364-5-52."""

from __future__ import annotations

from proposal.codes.iec import IecFamily
from proposal.sources import Citation
from proposal.units import MM2_SIZES


class EuVehicles(IecFamily):
    """The family ``eu_vehicles``.

    Ampacity: IEC 60364-5-52 Table B.52.4, method B2, for three loaded PVC conductors; a DC circuit loads two, so it
    errs to the safe side. The table has one column, 70 °C: better insulation has it too.
    """

    id = "eu_vehicles"
    title = "European vehicles"
    edition = "EN 1648-1, EN 1648-2:2018, IEC 60364-7-721, IEC 60364-5-52, IEC 60364-4-43"
    applies_to = "caravans and motor caravans in Europe; the base vehicle's own wiring stays its maker's"
    sizes = tuple(size for size in MM2_SIZES if size.area_mm2 >= 1.5)
    table_source = "iec60364_5_52"
    table_clause = "Table B.52.4, method B2, 3 loaded PVC conductors"
    smallest_citation = Citation("iec60364_7_721", "at least 1.5 mm²; check your edition", "from memory")
    drop_citation = Citation(
        "iec60364_5_52", "Annex G, advice: 3 % for lighting, 5 % for other uses; check your edition", "from memory"
    )


EU_VEHICLES = EuVehicles()
