"""The bibliography: every document that a number or a rule of this package goes back to, and how sure we are of it."""

from __future__ import annotations

from types import MappingProxyType
from typing import Literal

from proposal.frozen import frozen

Status = Literal["corroborated", "from memory", "common practice", "definition"]
SourceKind = Literal["regulation", "code", "standard", "withdrawn standard", "directive", "guidance", "publication",
                     "maker's data", "practice", "reasoning"]  # fmt: skip


@frozen
class Source:
    """One document: short ``id``, ``title`` for the reader, ``edition`` used (empty when undated), ``kind``."""

    id: str
    title: str
    edition: str
    kind: SourceKind


@frozen
class Citation:
    """Where one value or rule stands: ``source`` id, ``clause`` within it and the ``status`` of our reading.

    Raises KeyError when the source is not in the bibliography.
    """

    source: str
    clause: str
    status: Status

    def __post_init__(self) -> None:
        if self.source not in SOURCES:
            raise KeyError(f"no source {self.source!r} in the bibliography")

    def __str__(self) -> str:
        found = SOURCES[self.source]
        return ", ".join(part for part in (found.title, found.edition, self.clause) if part)


_ALL = (
    # United States: regulations, codes and voluntary standards
    Source("cfr183", "33 CFR 183 (US, petrol inboard boats)", "", "regulation"),
    Source("cfr46", "46 CFR 183 (US, small passenger vessels)", "", "regulation"),
    Source("abyc_e11", "ABYC E-11, AC and DC electrical systems on boats", "", "standard"),
    Source("abyc_e10", "ABYC E-10, storage batteries", "", "standard"),
    Source("abyc_e13", "ABYC E-13, lithium ion batteries", "", "standard"),
    Source("abyc_a31", "ABYC A-31, battery chargers and inverters", "", "standard"),
    Source("abyc_a32", "ABYC A-32, AC power conversion equipment and systems", "", "standard"),
    Source("nec", "NFPA 70, National Electrical Code", "", "code"),
    Source("nfpa302", "NFPA 302, fire protection for pleasure and commercial motor craft", "", "code"),
    Source("nfpa1192", "NFPA 1192, recreational vehicles", "", "code"),
    Source("rvia_lv", "ANSI/RVIA LV, low voltage systems in recreational vehicles", "", "standard"),
    Source("sae_j537", "SAE J537, storage batteries", "", "standard"),
    Source("sae_j1127", "SAE J1127, low voltage battery cable", "", "standard"),
    Source("sae_j1128", "SAE J1128, low voltage primary cable", "", "standard"),
    Source("astm_b258", "ASTM B258, diameters and areas of AWG wires", "", "standard"),
    Source("ul248", "UL 248-1, low-voltage fuses, general", "", "standard"),
    Source("ul248_9", "UL 248-9, class K fuses", "", "standard"),
    Source("ul248_14", "UL 248-14, supplemental fuses", "", "standard"),
    Source("ul248_15", "UL 248-15, class T fuses", "", "standard"),
    Source("ieee485", "IEEE 485, sizing lead-acid batteries", "", "standard"),
    Source("ieee946", "IEEE 946, DC auxiliary power systems", "2020", "standard"),
    Source("ieee1013", "IEEE 1013, sizing lead-acid batteries for photovoltaic systems", "", "standard"),
    Source("ieee1561", "IEEE 1561, lead-acid batteries in remote hybrid systems", "", "standard"),
    Source("ieee1562", "IEEE 1562, sizing of stand-alone photovoltaic systems", "", "standard"),
    Source("bci", "BCI technical manual, battery tables", "", "publication"),
    Source("nbs100", "NBS Handbook 100, copper wire tables", "1966", "publication"),
    Source("tm9_8000", "US Army TM 9-8000, principles of automotive vehicles", "", "publication"),
    Source("nrel_spa", "NREL/TP-560-34302, solar position algorithm", "2008", "publication"),
    # boats and vehicles elsewhere
    Source("iso13297", "ISO 13297, small craft, electrical systems", "2020 with A1:2022", "standard"),
    Source("iso10133", "ISO 10133, small craft, extra-low-voltage DC installations", "2012", "withdrawn standard"),
    Source("iso13590", "ISO 13590, personal watercraft", "", "standard"),
    Source("iso23625", "ISO 23625, small craft, lithium-ion batteries", "2025", "standard"),
    Source("iso10240", "ISO 10240, small craft, owner's manual", "", "standard"),
    Source("iso8846", "ISO 8846, small craft, protection against ignition of flammable gases", "", "standard"),
    Source("rcd", "Directive 2013/53/EU, recreational craft, Annex I", "2013", "directive"),
    Source("bss", "Boat Safety Scheme (UK inland waters)", "", "guidance"),
    Source("en1648_1", "EN 1648-1, 12 V systems in caravans", "", "standard"),
    Source("en1648_2", "EN 1648-2, 12 V systems in motor caravans", "2018", "standard"),
    Source("iec60092", "IEC 60092-201 and 60092-352, electrical installations in ships", "", "standard"),
    # installations
    Source("iec60364_4_43", "IEC 60364-4-43, protection against overcurrent", "", "standard"),
    Source("iec60364_5_52", "IEC 60364-5-52, wiring systems", "", "standard"),
    Source("iec60364_5_54", "IEC 60364-5-54, earthing and protective conductors", "", "standard"),
    Source("iec60364_7_721", "IEC 60364-7-721, installations in caravans", "", "standard"),
    Source("bs7671", "BS 7671, requirements for electrical installations", "", "standard"),
    Source("iec60228", "IEC 60228, conductors of insulated cables", "2004", "standard"),
    Source("iec60287", "IEC 60287-1-1, current rating of electric cables", "", "standard"),
    Source("iec60949", "IEC 60949, thermally permissible short-circuit currents", "", "standard"),
    Source("iec61660_1", "IEC 61660-1, short-circuit currents in DC auxiliary installations", "", "standard"),
    Source("iec60269_6", "IEC 60269-6, fuse-links for photovoltaic systems", "", "standard"),
    Source("iec60947_2", "IEC 60947-2, circuit-breakers", "", "standard"),
    Source("en62485_2", "EN IEC 62485-2, safety of stationary batteries", "2018", "standard"),
    Source("iec62124", "IEC 62124, stand-alone photovoltaic systems", "", "standard"),
    # fuses of road vehicles
    Source("iso8820_3", "ISO 8820-3, blade fuses", "2015", "standard"),
    Source("iso8820_5", "ISO 8820-5, fuses with axial terminals (strip fuses)", "2015", "standard"),
    Source("iso8820_6", "ISO 8820-6, single-bolt fuses", "2019", "standard"),
    Source("iso8820_12", "ISO 8820-12, fuse-links", "2020", "standard"),
    Source("iso8820_13", "ISO 8820-13, fuse-links", "2020", "standard"),
    Source("iso20934", "ISO 20934, fuse-links for higher voltages in road vehicles", "2019", "standard"),
    # drawings and documents
    Source("iec81346", "IEC 81346-1 and 81346-2, reference designations", "", "standard"),
    Source("iec60617", "IEC 60617, graphical symbols for diagrams", "", "standard"),
    Source("iec61082", "IEC 61082-1, documents used in electrotechnology", "", "standard"),
    Source("iso7200", "ISO 7200, title blocks", "2004", "standard"),
    # published papers and data
    Source("bode1977", "H. Bode, Lead-Acid Batteries", "1977", "publication"),
    Source("kasten_young1989", "F. Kasten, A. T. Young, relative optical air mass", "1989", "publication"),
    Source("schiffer2007", "J. Schiffer and others, lifetime of lead-acid batteries", "2007", "publication"),
    Source("ineichen_perez2002", "P. Ineichen, R. Perez, clear sky by air mass and turbidity", "2002", "publication"),
    Source("tmy3", "NREL/TP-581-43156, typical meteorological years TMY3", "2008", "publication"),
    Source("bpx_lfp", "Battery parameter exchange, lithium iron phosphate example cell", "", "publication"),
    Source("prada2013", "E. Prada and others, lithium iron phosphate cell model", "2013", "publication"),
    Source("afshar2017", "S. Afshar and others, lithium iron phosphate cell", "2017", "publication"),
    Source("encyclopedia", "public encyclopedia, worked example", "", "publication"),
    Source("open_models", "published battery and solar models with open code", "", "publication"),
    Source("maker_sheets", "makers' and sellers' data sheets, none named here", "", "maker's data"),
    Source("maker_manuals", "makers' manuals and technical notes, none named here", "", "maker's data"),
    Source("trade_pages", "public pages of the trade", "", "practice"),
    # no document
    Source("common_practice", "common practice, no source", "", "practice"),
    Source("own_settings", "as set in this proposal", "", "practice"),
    Source("memory", "handbook or trade knowledge, no document at hand", "", "practice"),
    Source("arithmetic", "arithmetic on a definition", "", "reasoning"),
    Source("physics", "textbook circuit theory", "", "reasoning"),
)

SOURCES = MappingProxyType({source.id: source for source in _ALL})
