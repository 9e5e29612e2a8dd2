"""Checks of settings over random specs: what is wanting is asked for once, and what is known is judged."""

from collections import Counter

import pytest

from proposal.rules.finding import Evidence
from proposal.rules.registry import run_checks
from proposal.studies.joins.study import first_currents
from tests.generate import options_of
from tests.generate_settings import settings_text

ASK_ONCE = {10, 23, 25, 26, 27, 28, 29, 32, 33, 36, 38, 40, 41, 42}
"""Checks of banks and charging that ask for one thing at a time."""


def evidences(seed, share):
    for built in options_of(settings_text(seed, share=share, most_loads=6)):
        made = built.design()
        joins = first_currents(made.circuit, built.family)
        yield Evidence(made, built.spec, built.family, joins, built.catalogue)


@pytest.mark.parametrize("seed", range(6))
def test_one_question_for_each_item_and_no_cause_twice(seed):
    for evidence in evidences(seed, 0.6):
        for run in run_checks(evidence):
            if run.check.number not in ASK_ONCE:
                continue
            asked = Counter(f.item for f in run.findings if f.outcome == "undecided")
            assert set(asked.values()) <= {1} or run.check.number == 10, (run.check.id, asked)
            found = Counter((f.item, f.values.get("cause")) for f in run.findings)
            assert set(found.values()) <= {1}, (run.check.id, found)
            assert len({f.item for f in run.findings}) <= max(run.tested, 0)


STATED = {
    "module_fuse_max", "touchable", "stopping", "compensation", "sense_place", "vent_openings", "gas_led_outside",
    "charge_logic",
}  # fmt: skip
"""What is asked for only where a field that the specs of this test have is empty."""


@pytest.mark.parametrize("seed", range(10, 14))
def test_a_spec_that_states_all_settings_is_asked_for_none_of_them(seed):
    """DC-DC links of a composed arrangement have no such fields."""
    for evidence in evidences(seed, 1.0):
        composed = {c.key for c in evidence.circuit.converters if c.key != "links.dc_dc"}
        asked = {
            f.values["find_out"]
            for run in run_checks(evidence)
            for f in run.findings
            if f.outcome == "undecided" and f.item not in composed
        }
        assert not asked & STATED
