"""Standard conductor sizes, by gauge (AWG, or SAE of less area) and by nominal cross-section (mm²)."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from typing import Literal

from proposal.frozen import frozen
from proposal.units.quantities import LONGEST_TEXT, SPACE, UnitError, plain

SAE = "SAE"
MM2_PER_CMIL = 5.067075e-4
"""One circular mil, a circle of a thousandth of an inch, in mm²; by definition π/4 · 0.0254² mm²."""


@frozen
class ConductorSize:
    """A standard conductor size; sizes are ordered by ``area_mm2`` [mm²]."""

    system: Literal["awg", "mm2"]
    label: str
    area_mm2: float

    def __lt__(self, other: ConductorSize) -> bool:
        return self._order < other._order

    def __le__(self, other: ConductorSize) -> bool:
        return self._order <= other._order

    def __gt__(self, other: ConductorSize) -> bool:
        return self._order > other._order

    def __ge__(self, other: ConductorSize) -> bool:
        return self._order >= other._order

    def __str__(self) -> str:
        return self.label

    @property
    def nominal(self) -> str:
        """Label of the gauge or cross-section that is printed on the cable, whatever its standard makes of it."""
        return self.label.removesuffix(f" {SAE}")

    @property
    def _order(self) -> tuple[float, str, str]:
        # the label keeps the order in step with equality, should two systems ever share an area
        return (self.area_mm2, self.system, self.label)


def awg_diameter_mm(gauge: int) -> float:
    """Diameter [mm] of a solid round wire of AWG ``gauge`` (1/0 is 0, 2/0 is -1, 4/0 is -3).

    d = 0.127 mm · 92^((36 - n)/39). Source: ASTM B258.
    """
    return math.pow(92.0, (36 - gauge) / 39) * 0.127


def awg_area_mm2(gauge: int) -> float:
    """Cross-section [mm²] of AWG ``gauge``: A = π/4 · d². Source: ASTM B258."""
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


_GAUGES = {**{str(n): n for n in (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1)}, "1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}
# IEC 60228, nominal cross-sections; larger ones are not handled by one person on a boat.
_AREAS_MM2 = ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120", "150",
              "185", "240")  # fmt: skip

# SAE J1127 and J1128, least areas in circular mils; corroborated. They have no 3 AWG.
_SAE_CMIL = {"18": 1537, "16": 2336, "14": 3702, "12": 5833, "10": 9343, "8": 14810, "6": 24538, "4": 37360,
             "2": 62450, "1": 77790, "1/0": 98980, "2/0": 125100, "3/0": 158600, "4/0": 205500}  # fmt: skip

AWG_SIZES = tuple(ConductorSize("awg", f"{name} AWG", awg_area_mm2(n)) for name, n in _GAUGES.items())
MM2_SIZES = tuple(ConductorSize("mm2", f"{name} mm²", float(name)) for name in _AREAS_MM2)
SAE_SIZES = tuple(ConductorSize("awg", f"{name} AWG {SAE}", cmil * MM2_PER_CMIL) for name, cmil in _SAE_CMIL.items())
"""Automotive cable: the same gauge numbers with 3 to 11 % less copper than AWG."""
_SIZES = {size.label: size for size in (*AWG_SIZES, *SAE_SIZES, *MM2_SIZES)}

_BY_AREA = "|".join(_AREAS_MM2).replace(".", "\\.")
PATTERN = (
    rf"^(?:(?:{'|'.join(_GAUGES)}){SPACE}*AWG|(?:{'|'.join(_SAE_CMIL)}){SPACE}*AWG{SPACE}*{SAE}"
    rf"|(?:{_BY_AREA}){SPACE}*mm(?:2|²))$"
)
EXAMPLES = ("2/0 AWG", "18 AWG", "70 mm2")
ALLOWED = "a standard size, 18 to 4/0 AWG or 0.5 to 240 mm2, e.g. 2/0 AWG or 70 mm2"


def parse_size(text: str) -> ConductorSize:
    """Read a standard conductor size, such as ``2/0 AWG`` or ``70 mm2``.

    Sources: ASTM B258 (gauges), SAE J1127 and J1128 (gauges of automotive cable, ``12 AWG SAE``), IEC 60228 (nominal
    mm²). Raises UnitError for anything else; a size that is not a
    standard one is refused with its neighbours.
    """
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"is longer than {LONGEST_TEXT} characters", ALLOWED)
    if re.fullmatch(PATTERN, text):
        name = re.match("[0-9./]+", text)
        assert name is not None  # noqa: S101 - the pattern begins with a number
        unit = f"AWG {SAE}" if text.endswith(SAE) else "AWG" if text.endswith("AWG") else "mm²"
        return _SIZES[f"{name[0]} {unit}"]
    raise UnitError(*_why_not(re.sub(f"{SPACE}+", " ", text).strip()))


def _why_not(text: str) -> tuple[str, str]:
    """Find the words for a tidied text that is no standard size: what is wrong, and what is allowed."""
    if not text:
        return "is empty where a conductor size belongs", ALLOWED
    if re.fullmatch("[0-9]+,[0-9]+ ?.*", text):
        return f"has a decimal comma; write {text.replace(',', '.')}", ALLOWED
    if re.fullmatch("[0-9]+(/0|[.][0-9]+)?", text):
        return "has no unit: AWG or mm2", ALLOWED
    metric = re.fullmatch("([0-9]{1,6}(?:[.][0-9]{1,6})?) ?(mm2|mm²)", text)
    if metric:
        return _no_standard_area(metric[1], ALLOWED)
    gauge = re.fullmatch("([0-9]{1,2}|0{3,4}|[0-9]/0) ?AWG", text)
    if gauge:
        return _no_standard_gauge(gauge[1])
    meant = _meant(text)
    return (f"is not how a size is written; did you mean {meant}?" if meant else "is not a conductor size"), ALLOWED


def _no_standard_area(number: str, allowed: str) -> tuple[str, str]:
    tidy = plain(Decimal(number))
    if tidy in _AREAS_MM2:
        return f"is not how this size is written; write {tidy} mm2", allowed
    return "is not a standard size", _neighbours(MM2_SIZES, float(number))


def _no_standard_gauge(gauge: str) -> tuple[str, str]:
    if set(gauge) == {"0"}:
        return f"is not how this gauge is written; write {len(gauge)}/0 AWG", ALLOWED
    if gauge.endswith("/0"):
        return "is not a standard size here", _neighbours(AWG_SIZES, awg_area_mm2(1 - int(gauge[0])))
    return "is not a standard size here", _neighbours(AWG_SIZES, awg_area_mm2(int(gauge)))


def _neighbours(sizes: tuple[ConductorSize, ...], area_mm2: float) -> str:
    below = [size.label for size in sizes if size.area_mm2 < area_mm2][-1:]
    above = [size.label for size in sizes if size.area_mm2 > area_mm2][:1]
    return " or ".join(below + above)


def _meant(text: str) -> str:
    """The standard size that a text such as ``AWG 2/0``, ``2/0 awg`` or ``70 sqmm`` means; '' when none."""
    found = re.fullmatch(r"(?:no\.? ?)?#? ?([0-9]+(?:/0|\.[0-9]+)?) ?([a-z².^ ]+2?)", text.lower()) or re.fullmatch(
        r"(awg) ?#? ?([0-9]+(?:/0)?)", text.lower()
    )
    if found is None:
        return ""
    number, unit = found.groups() if found[1] != "awg" else (found[2], "awg")
    written = {"awg": "AWG", "ga": "AWG", "gauge": "AWG", "b&s": "AWG"}.get(unit.strip(), "")
    if unit.strip() in ("mm2", "mm²", "mm^2", "sqmm", "sq mm", "sq.mm", "qmm", "square mm", "mm"):
        written = "mm²"
    label = f"{number} {written}"
    return label.replace("²", "2") if label in _SIZES else ""
