"""What a lead battery takes: its maker's limit, else its chemistry's, and nothing where nothing charges."""

import pytest

from proposal.studies.network.accept import accepts_a
from tests.studies.hand import Hand


@pytest.mark.parametrize(("chemistry", "amps"), [("flooded", 22.5), ("agm", 36.0), ("gel", 18.0)])
def test_a_quarter_of_its_capacity_an_hour_two_fifths_for_agm_and_a_fifth_for_gel(chemistry: str, amps: float) -> None:
    """Shares of the trade's handbooks, of 90 Ah; 11 A where the maker says so."""
    lead = {"chemistry": chemistry, "voltage": "12 V", "capacity": "90 Ah"}
    plain = Hand().battery("banks.b", "post", **lead).circuit().batteries[0]
    assert accepts_a(plain, charging=True) == pytest.approx(amps)
    assert accepts_a(plain, charging=False) == 0.0
    stated = Hand().battery("banks.b", "post", **lead, charge_max="11 A").circuit().batteries[0]
    assert accepts_a(stated, charging=True) == 11.0
