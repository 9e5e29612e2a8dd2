"""Current that goes in circles, and current that no meter sees."""

from proposal.circuit.model import Converter
from proposal.facts import Values
from proposal.rules.finding import Evidence, Examined, Objection, fires, undecided
from proposal.rules.paths import all_but, reach
from proposal.studies.network.case import relay_keys


def converter_loops(evidence: Evidence) -> Examined:
    """39. A DC-DC converter whose output a closed relay leads back to its input, or that another one feeds back.

    relay: both its sides are one node while voltage-sensitive relays are closed: it carries its own output round and
    round, and what it loses heats it: P = I·U·(1/η − 1) [W]. converter: another runs the other way at the same time.
    Common practice, no source.
    """
    converters = evidence.circuit.converters
    objections: list[Objection] = []
    for converter in converters:
        here = reach(evidence.positive, converter.out_positive, all_but(*evidence.emergency))
        if converter.in_positive in here:
            objections.append(_relay_loop(evidence, converter))
        else:
            objections += _converter_loop(evidence, converter)
    return Examined(len(converters), tuple(objections))


def _converter_loss_w(converter: Converter) -> float:
    return converter.input_w * (1.0 - converter.efficiency)


def _relay_loop(evidence: Evidence, converter: Converter) -> Objection:
    """Names the relay that closes the loop; none where a plain conductor or switch does."""
    relays = [*relay_keys(evidence.circuit, "vsr"), *relay_keys(evidence.circuit, "contactor")]
    closing = [
        key for key in sorted(relays)
        if converter.in_positive
        not in reach(evidence.positive, converter.out_positive, all_but(key, *evidence.emergency))
    ]  # fmt: skip
    facts: Values = {"current_a": converter.output_a, "lost_w": _converter_loss_w(converter)}
    if not closing:
        return fires(converter.key, cause="conductor", **facts)
    return fires(converter.key, cause="relay", first_item=closing[0], **facts)


def _converter_loop(evidence: Evidence, converter: Converter) -> list[Objection]:
    """Each pair once, at the first of the two."""
    later = evidence.circuit.converters
    for other in later[later.index(converter) + 1 :]:
        if (other.from_bus, other.to_bus) != (converter.to_bus, converter.from_bus):
            continue
        facts: Values = {
            "first_item": other.key, "current_a": min(converter.output_a, other.output_a),
            "lost_w": _converter_loss_w(converter) + _converter_loss_w(other),
        }  # fmt: skip
        if converter.runs_with is None or other.runs_with is None:
            return [undecided(converter.key, "runs_with", cause="converter", **facts)]
        return [fires(converter.key, cause="converter", **facts)]
    return []


def shunt_bypassed(evidence: Evidence) -> Examined:
    """50. A negative that goes past a bank's shunt, so that its meter does not see what flows there.

    path: with the shunt taken out the bank's negative still reaches the rest. landed: a load, source or starter whose
    negative is said to land on the battery itself. Common practice, no source.
    """
    shunts = list(evidence.devices("shunt"))
    objections: list[Objection] = []
    for shunt in shunts:
        bank = evidence.bank.get(shunt.circuit)
        if bank is None:
            continue
        post = evidence.strings(bank)[0].negative
        if evidence.circuit.reference in reach(evidence.negative, post, all_but(shunt.key, *evidence.emergency)):
            objections.append(fires(shunt.key, cause="path", bank=bank.key))
    landed = _landed_on_battery(evidence) if shunts else []
    return Examined(len(shunts), (*objections, *landed))


def _landed_on_battery(evidence: Evidence) -> list[Objection]:
    """Only where the bank that the current comes from has a shunt."""
    circuit, spec = evidence.circuit, evidence.spec.spec
    ends = [(x.key, x.positive, x.current_a, evidence.spec.load(x.key).negative_to) for x in circuit.loads]
    ends += [(s.key, s.positive, s.rated_a, evidence.spec.source(s.key).negative_to) for s in circuit.sources]
    if circuit.starter is not None and spec.engine is not None:
        starter = circuit.starter
        ends.append((starter.key, starter.positive, starter.cranking_a, spec.engine.negative_to))
    vsr = relay_keys(circuit, "vsr")
    measured = {d.circuit for d in evidence.devices("shunt")}
    found = []
    for key, positive, amps, negative_to in ends:
        here = reach(evidence.positive, positive, all_but(*vsr, *evidence.emergency))
        banks = [b.key for b in circuit.banks if b.key in measured and evidence.strings(b)[0].positive in here]
        if negative_to == "battery" and banks:
            found.append(fires(key, cause="landed", bank=banks[0], current_a=amps))
    return found
