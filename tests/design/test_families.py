"""Every rule family can be designed with: at every voltage and insulation the price book sells what it asks for."""

from __future__ import annotations

import random

import pytest
import yaml

from proposal.circuit.misfit import MisfitError
from proposal.codes import FAMILIES
from proposal.rules.finding import Evidence
from proposal.rules.registry import run_checks
from proposal.studies.joins.study import first_currents
from tests.generate import VOLTAGES_V, options_of, price_book, spec_text

INSULATIONS_C = (70, 90, 105)


def text_of(family_id: str, volts: int, insulation_c: int) -> str:
    rng = random.Random(f"families {volts}")  # noqa: S311 - test data
    spec = yaml.safe_load(spec_text(rng, voltage_v=volts, arrangements=("one_bank", "lead_and_lithium"),
                                    engine=False, rules=family_id, most_loads=5))  # fmt: skip
    spec["system"]["insulation"] = f"{insulation_c} °C"
    for option in spec["options"].values():
        option.pop("pins", None)
    return yaml.safe_dump(spec, allow_unicode=True)


@pytest.mark.parametrize("volts", VOLTAGES_V)
@pytest.mark.parametrize("family_id", FAMILIES)
def test_every_conductor_is_a_cable_that_is_sold_and_carries_its_current(family_id: str, volts: int) -> None:
    for insulation_c in INSULATIONS_C:
        built = next(options_of(text_of(family_id, volts, insulation_c)))
        made = built.design()
        top = max(size.area_mm2 for size in built.family.sizes)
        for conductor in made.circuit.conductors:
            assert conductor.size is not None
            assert conductor.size.nominal in {size.label for size in built.family.sizes}
            part = price_book().parts[conductor.part_id or ""]
            assert part.conductor == conductor.size
            asked_c = max((c for c in built.family.insulation_classes_c if c <= insulation_c),
                          default=min(built.family.insulation_classes_c))  # fmt: skip
            assert conductor.insulation_c == asked_c <= part.insulation_c
            carries_a = made.ampacities[conductor.key].ampacity_a
            lasting_a = made.flow.demands[conductor.key].current_a
            assert lasting_a <= carries_a * (1 + 1e-9) or conductor.size.area_mm2 == top
            assert conductor.size >= built.family.minimum_size(conductor.sheathed).size


@pytest.mark.parametrize("volts", VOLTAGES_V)
@pytest.mark.parametrize("family_id", FAMILIES)
def test_what_is_chosen_is_not_condemned_by_its_own_family(family_id: str, volts: int) -> None:
    """Checks 3 and 51 stay silent on a small vessel whose routes are short enough for every family."""
    for built in options_of(text_of(family_id, volts, 105)):
        made = built.design()
        evidence = Evidence(made, built.spec, built.family, first_currents(made.circuit, built.family), built.catalogue)
        (run,) = [run for run in run_checks(evidence) if run.check.id == "conductor_overloaded"]
        top = max(size.area_mm2 for size in built.family.sizes)
        areas = {c.key: c.size.area_mm2 for c in made.circuit.conductors if c.size is not None}
        assert [f for f in run.findings if areas.get(f.item, 0.0) < top] == []


def test_cable_that_nobody_sells_is_told_before_anything_is_built() -> None:
    """The demonstration price book has nothing for 125 °C; AWG has a column for it, so it is asked for."""
    with pytest.raises(
        MisfitError, match="sells no cable in AWG for 125 °C, which US recreational boats ask for"
    ) as told:
        next(options_of(text_of("us_boats", 12, 125)))
    ((loc, _, _),) = told.value.complaints
    assert loc == ("system", "insulation")
    assert next(options_of(text_of("nec_cabins", 12, 125))).circuit.conductors[0].insulation_c == 90
