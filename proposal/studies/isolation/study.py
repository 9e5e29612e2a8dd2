"""Spec and circuit → the switching plan."""

from collections.abc import Iterator, Mapping

from proposal.circuit.model import Circuit
from proposal.codes.family import RuleFamily
from proposal.parts.catalogue import Catalogue
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.flow.result import Flow
from proposal.studies.isolation import back, out
from proposal.studies.isolation.result import Step
from proposal.studies.isolation.survey import Yard, yard_of


def switching_plan(
    spec: EffectiveSpec,
    circuit: Circuit,
    catalogue: Catalogue,
    family: RuleFamily,
    flow: Flow,
    allowed_v: Mapping[str, float],
) -> tuple[Step, ...]:
    """All steps in order: stop what charges, switch off, prove dead, take the batteries off, and back in reverse.

    Parameters: the option and its circuit; the load flow, for the voltage at the first start; `allowed_v` by relay, how
    far apart its sides may be when it joins them [V]. Voltages are those of the network with the switches open, banks
    rested at nine tenths of their charge, 20 °C.
    """
    return tuple(_steps(yard_of(spec, circuit, catalogue, family), flow, allowed_v))


def _steps(yard: Yard, flow: Flow, allowed_v: Mapping[str, float]) -> Iterator[Step]:
    yield from out.before(yard)
    yield from out.stop(yard)
    yield from out.part(yard)
    yield from out.prove(yard)
    yield from out.disconnect(yard)
    yield from back.hold(yard)
    yield from back.reconnect(yard)
    yield from back.join(yard, allowed_v)
    yield from back.start(yard, flow)
