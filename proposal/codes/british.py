"""British vehicles and cabins: BS 7671 with its section 721 and its tables 4E1A and 4D1A."""

from __future__ import annotations

from proposal.codes.iec import IecFamily
from proposal.sources import Citation
from proposal.units import MM2_SIZES


class British(IecFamily):
    """The family ``british``.

    Ampacity: BS 7671 Table 4E1A, 90 °C, and Table 4D1A, 70 °C (from memory), two single-core cables in conduit on a
    wall, method B; cables clipped direct carry more. Its grouping and ambient tables are those of IEC 60364-5-52.
    """

    id = "british"
    title = "British vehicles and cabins"
    edition = "BS 7671 (18th edition), section 721, Tables 4E1A and 4D1A, method B"
    applies_to = (
        "caravans, motor caravans and cabins in Britain; boats on inland waters follow the Boat Safety Scheme, "
        "which goes by the ampacities of small craft"
    )
    sizes = tuple(size for size in MM2_SIZES if size.area_mm2 >= 1.0)
    table_source = "bs7671"
    table_clause = "Tables 4E1A and 4D1A, method B"
    smallest_citation = Citation("bs7671", "section 721: at least 1.5 mm²; check your edition", "from memory")
    drop_citation = Citation(
        "bs7671", "appendix 4, advice: 3 % for lighting, 5 % for other uses; check your edition", "from memory"
    )


BRITISH = British()
