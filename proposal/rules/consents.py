"""Whose word in writing an option needs before it is built: derived from what is joined, limited, stacked and bored."""

from collections.abc import Iterator

from proposal.facts import Values
from proposal.frozen import frozen
from proposal.rules.finding import Evidence
from proposal.rules.mains import mains_aboard
from proposal.rules.paths import banks_at, reach
from proposal.spec.equipment import AlternatorSource
from proposal.spec.vessel import ConsentCode


@frozen
class NeededConsent:
    """One consent: its code, the key of what it is about, and figures. Common practice, no source."""

    code: ConsentCode
    item: str
    values: Values


def needed_consents(evidence: Evidence) -> tuple[NeededConsent, ...]:
    """Every consent that an option needs, in the order in which they are asked for.

    Makers of lithium and lead that relays can join (a DC-DC charger parts them); the insurer for lithium; the maker of
    an alternator whose regulator is changed; the maker of lithium in series beyond what his sheet allows; the
    electrician for the mains side; the builder for holes where runs leave the space of their bank on a boat.
    """
    return (*_batteries(evidence), *_sources(evidence), *_vessel(evidence))


def _batteries(evidence: Evidence) -> Iterator[NeededConsent]:
    for lithium in evidence.lithium:
        start = evidence.strings(lithium)[0].positive
        near = reach(evidence.positive, start, lambda branch: branch.key not in evidence.emergency)
        joined = [bank for bank in banks_at(evidence.circuit, near) if bank in evidence.lead]
        if joined:
            yield NeededConsent("lithium_with_lead", lithium.key, {"bank": lithium.key, "lead": joined[0].key})
            break
    for bank in evidence.lithium:
        battery = evidence.strings(bank)[0]
        if battery.series_count > (battery.part.series_max or 1):
            yield NeededConsent("series", bank.key, {"bank": bank.key, "series_count": battery.series_count})
    if evidence.lithium:
        held_wh = sum(
            b.part.capacity_ah * b.part.voltage_v * b.series_count
            for bank in evidence.lithium
            for b in evidence.strings(bank)
        )
        yield NeededConsent("lithium_insurer", evidence.lithium[0].key, {"energy_wh": held_wh})


def _sources(evidence: Evidence) -> Iterator[NeededConsent]:
    for source in evidence.circuit.sources:
        written = evidence.spec.source(source.key)
        if isinstance(written, AlternatorSource) and written.limited:
            facts: Values = {"source": source.key, "limited_a": source.current_a, "nameplate_a": source.rated_a}
            yield NeededConsent("alternator_regulator", source.key, facts)


def _vessel(evidence: Evidence) -> Iterator[NeededConsent]:
    spec, circuit = evidence.spec.spec, evidence.circuit
    if mains_aboard(evidence):
        yield NeededConsent("mains_electrician", "mains", {})
    homes = {bank.place for bank in circuit.banks}
    stays = evidence.spec.staying
    new = [c for c in circuit.conductors if not {c.key, c.circuit} & stays]
    leaving = {c.circuit: None for c in new if c.place not in homes}
    if spec.vessel.kind == "boat" and leaving:
        yield NeededConsent("holes", "routes", {"run_count": len(leaving)})
