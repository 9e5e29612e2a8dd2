"""What each case of the load flow opens and leaves out."""

import pytest

from proposal.studies.flow.cases import flow_cases
from tests.generate import cell
from tests.rules.conftest import Bench


@pytest.mark.parametrize(
    ("arrangement", "full"), [("lead_and_lithium", "flooded agm gel"), ("house_and_starter", "start")]
)
def test_what_is_full_first_takes_nothing(arrangement, full):
    """Lead beside lithium; where all is lead, the bank that only starts the engine."""
    circuit = cell(arrangement, 12).circuit
    case = next(c for c in flow_cases(circuit) if c.id == "charging_full_lead")
    out = {key for b in circuit.banks if b.chemistry in full.split() or b.role == full for key in b.strings}
    assert out
    assert case.batteries_out == out
    assert out < {b.key for b in circuit.batteries}


def test_a_lone_bank_has_nothing_to_be_full_first():
    assert "charging_full_lead" not in {c.id for c in flow_cases(cell("one_bank", 12).circuit)}


def test_where_all_is_lead_the_bank_that_only_starts_takes_nothing():
    circuit = Bench().option("vented").circuit
    assert {b.chemistry for b in circuit.banks} == {"flooded"}
    case = next(c for c in flow_cases(circuit) if c.id == "charging_full_lead")
    assert case.batteries_out == {"banks.starter.s1"} < {b.key for b in circuit.batteries}
