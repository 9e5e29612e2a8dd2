"""What commissioning should find → rows with nothing measured yet."""

from collections.abc import Mapping

from proposal.circuit.model import Circuit
from proposal.results.record_model import TestRow
from proposal.results.rows import citation, nearest
from proposal.rules.finding import Evidence
from proposal.studies.commissioning.kinds import test_kinds
from proposal.studies.commissioning.result import Expected
from proposal.studies.commissioning.study import Known, expected_tests
from proposal.studies.ladder.study import voltage_ladder


def expected_rows(evidence: Evidence, names: Mapping[str, str]) -> tuple[TestRow, ...]:
    """One row for each test of an option, none of them made; see `studies.commissioning.study`."""
    made, circuit = evidence.design, evidence.circuit
    shares = {
        key: drop.drop_v / drop.limit_v for key, drop in made.drops.items() if key in circuit.load and drop.limit_v
    }
    known = Known(
        flow=made.flow,
        ladder=voltage_ladder(evidence.spec, circuit, evidence.catalogue),
        sharing=evidence.sharing,
        darks=evidence.switching.darks,
        drain_a=evidence.energy.standing_drain_a,
        drop_share=shares,
    )
    found = expected_tests(evidence.spec, circuit, evidence.family, known)
    return tuple(_row(expected, _title(circuit, expected.item), names.get(expected.item, "")) for expected in found)


def _row(expected: Expected, title: str, designation: str) -> TestRow:
    kind = test_kinds()[expected.test]
    return TestRow(
        test=expected.test,
        item=expected.item,
        designation=designation,
        title=title,
        end=expected.end,
        unit=expected.unit,
        expected=expected.expected,
        low=expected.band.low,
        high=expected.band.high,
        basis=expected.basis,
        values=expected.values,
        danger=kind.danger,
        checks=kind.checks,
        outcome="not_measured",
        wanting=expected.wanting,
        value=None,
        at_a=None,
        passed=None,
        how="",
        instrument="",
        by="",
        date="",
        note="",
        entry=None,
        earlier=(),
        citation=citation(kind.citation),
        expected_at_a=expected.at_a,
        asked=expected.asked,
    )


def _title(circuit: Circuit, item: str) -> str:
    """The user's own words for an item, or for the nearest that its key belongs to."""
    titles = {bank.key: bank.title for bank in circuit.banks} | {bus.key: bus.title for bus in circuit.buses}
    titles |= {load.key: load.title for load in circuit.loads} | {s.key: s.title for s in circuit.sources}
    titles |= circuit.title
    if circuit.starter is not None:
        titles[circuit.starter.key] = circuit.starter.title
    return nearest(titles, item)
