"""A family that exists only here, in mm², serves everything that asks through the Protocol."""

from __future__ import annotations

import inspect
from typing import Literal, Self

import pytest

from proposal.codes import FAMILIES
from proposal.codes.family import Ampacity, Bought, CodeNote, Exemption, FuseWindow, RuleFamily, SizeFloor, Sourced
from proposal.sources import Citation
from proposal.units import MM2_SIZES, ConductorSize, parse_size

INVENTED = Citation("common_practice", "invented for this test", "common practice")


class Wagons:
    """Invented: 5 A per mm², halved in a bundle, nothing above the insulation's temperature."""

    id = "wagons"
    title = "Wagons"
    edition = "first"
    size_system: Literal["awg", "mm2"] = "mm2"
    applies_to = "wagons in this test"
    default_for: tuple[str, ...] = ()
    sizes: tuple[ConductorSize, ...] = MM2_SIZES
    insulation_classes_c: tuple[int, ...] = (70, 90)
    code_notes: tuple[CodeNote, ...] = (CodeNote("wagons.one", "One topic", "1", "In own words.", INVENTED),)

    def with_bought(self, bought: Bought) -> Self:  # noqa: ARG002 - its figures are nobody's edition
        return self

    def ampacity(
        self,
        size: ConductorSize,
        insulation_c: int,
        place_c: float,
        engine_space: bool,
        bundled_count: int,
        *,
        system_v: float = 12.0,
    ) -> Ampacity:
        table_a = 5 * size.area_mm2
        warmth = 0.0 if place_c >= insulation_c else 0.8 if engine_space and system_v else 1.0
        company = 0.5 if bundled_count > 2 else 1.0
        return Ampacity(table_a * warmth * company, table_a, warmth, company, (INVENTED,))

    def resistance_20c_ohm_per_m(self, size: ConductorSize) -> Sourced:
        return Sourced(0.018 / size.area_mm2, INVENTED)

    def fuse_window(self, design_current_a: float, ampacity_a: float, system_v: float) -> FuseWindow:
        return FuseWindow(design_current_a, ampacity_a if system_v < 50 else 0.8 * ampacity_a, INVENTED)

    def drop_limit(self, critical: bool) -> Sourced:
        return Sourced(0.03 if critical else 0.08, INVENTED)

    def fuse_distance_m(self, at_battery: bool, sheathed: bool) -> Sourced:
        return Sourced(1.8 if sheathed and at_battery else 0.2, INVENTED)

    def device_per_battery_above_ah(self) -> Sourced | None:
        return None

    def minimum_interrupt_a(self, cranking_a: float | None, main: bool) -> Sourced | None:
        return Sourced(2 * cranking_a, INVENTED) if cranking_a is not None and main else None

    def cranking_exempt(self) -> Exemption:
        return Exemption(False, INVENTED)

    def minimum_size(self, sheathed: bool) -> SizeFloor:
        return SizeFloor(parse_size("0.75 mm2" if sheathed else "1 mm2"), INVENTED)


THIRD: RuleFamily = Wagons()
ALL: tuple[RuleFamily, ...] = (*FAMILIES.values(), THIRD)
MEMBERS = sorted(name for name in dir(RuleFamily) if not name.startswith("_"))


@pytest.mark.parametrize("known", ALL, ids=lambda known: known.id)
@pytest.mark.parametrize("member", MEMBERS)
def test_every_family_answers_the_same_questions(known: RuleFamily, member: str) -> None:
    asked = getattr(RuleFamily, member)
    answer = inspect.getattr_static(type(known), member)
    if not callable(asked):
        assert getattr(known, member) or member == "default_for"
        return
    wanted, given = (
        [(p.name, p.kind, p.default) for p in inspect.signature(f).parameters.values()] for f in (asked, answer)
    )
    assert given == wanted


def smallest_that_carries(known: RuleFamily, current_a: float, system_v: float) -> ConductorSize | None:
    """What a design step does, through the Protocol alone."""
    for size in known.sizes:
        if size < known.minimum_size(False).size:
            continue
        found = known.ampacity(size, known.insulation_classes_c[-1], 30, False, 2, system_v=system_v)
        window = known.fuse_window(current_a, found.ampacity_a, system_v)
        if current_a <= found.ampacity_a and window.smallest_a <= window.largest_a:
            return size
    return None


def test_a_third_family_serves_like_the_others() -> None:
    chosen = {known.id: smallest_that_carries(known, 95.0, 12.0) for known in ALL}
    # 33 CFR 183.425: 8 AWG carries 100 A at 200 °C, fuse up to 150 A. NEC 310.16: the fuse of 118.75 A is too much for
    # 3 AWG with 100 A; 2 AWG with 115 A may have 125 A, 240.4(B). ISO: 10 mm² carries 120 A at 200 °C. IEC: 35 mm² has
    # 99 A, below the fuse; 70 mm² has 149 A. BS 7671: 25 mm² with 133 A. Wagons: 19 mm², so 25 mm².
    assert {name: str(size) for name, size in chosen.items()} == {
        "us_boats": "8 AWG", "iso_boats": "10 mm²", "nec_cabins": "2 AWG", "eu_vehicles": "70 mm²",
        "british": "25 mm²", "wagons": "25 mm²",
    }  # fmt: skip
    assert smallest_that_carries(THIRD, 1300.0, 12.0) is None
    assert THIRD.id not in FAMILIES
