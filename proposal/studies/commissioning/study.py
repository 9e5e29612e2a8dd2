"""Circuit, flow and what other studies found → the tests that this vessel needs, each with its band."""

from collections.abc import Iterator, Mapping

from proposal.circuit.model import Circuit, SeriesDevice
from proposal.codes.family import RuleFamily
from proposal.frozen import frozen
from proposal.spec.overlay import EffectiveSpec
from proposal.studies.commissioning import equations as eq
from proposal.studies.commissioning.kinds import TestKind, test_kinds
from proposal.studies.commissioning.loops import loop_drops
from proposal.studies.commissioning.means import means
from proposal.studies.commissioning.result import Band, Expected
from proposal.studies.flow.result import Flow
from proposal.studies.ladder.result import Ladder
from proposal.studies.network.assemble import device_ohm
from proposal.studies.network.case import emergency_keys
from proposal.studies.sharing.result import Sharing
from proposal.studies.switching.result import Dark

HEAVY_A = 100.0
"""Contactors and switches from here on have their drop measured. Common practice, no source."""
THIN_A = 0.5
"""Less than this in a device never tells anything about its contacts. Common practice, no source."""


@frozen
class Known:
    """What other studies found of an option, and what its rules ask.

    `drop_share` by load: its drop over the limit of the family; `drain_a` with everything switched off [A].
    """

    flow: Flow
    ladder: Ladder
    sharing: tuple[Sharing, ...]
    darks: tuple[Dark, ...]
    drain_a: float
    drop_share: Mapping[str, float]


def expected_tests(spec: EffectiveSpec, circuit: Circuit, family: RuleFamily, known: Known) -> tuple[Expected, ...]:
    """All tests of a vessel in the order in which they are made: at rest, live, under load, the engine, the guards.

    Drops of loads that no installer would measure one by one are among them, not `asked`: they are judged where
    somebody measured them. Tolerances: `tables/tests.csv`.
    """
    bench = _Bench(spec, circuit, family, known)
    return (
        *means(spec, circuit, known.ladder, known.darks),
        *bench.at_rest(),
        *bench.relays(),
        *bench.loads(),
        *bench.devices(),
        *bench.shared(),
        *bench.engine(),
    )


@frozen
class _Bench:
    """Makes the tests that have a figure."""

    spec: EffectiveSpec
    circuit: Circuit
    family: RuleFamily
    known: Known

    @property
    def scale(self) -> float:
        """System voltage over 12 V."""
        return self.circuit.system_v / 12.0

    def at_most(self, kind: TestKind, item: str, end: str = "", expected: float | None = None) -> Expected:
        """A test with a limit by itself."""
        limit = kind.limit * (self.scale if kind.per_12v else 1.0)
        return Expected(
            kind.test, item, end, kind.unit, expected, Band(None, limit), "at_most", {f"limit_{_name(kind)}": limit}
        )

    def at_rest(self) -> Iterator[Expected]:
        """Batteries of one bank before they are joined, the standing drain, what hulls and meters show."""
        kinds = test_kinds()
        for bank in self.circuit.banks:
            if len(bank.strings) > 1:
                yield self.at_most(kinds["rest_spread"], bank.key)
        drain, kind = self.known.drain_a, kinds["standing_drain"]
        yield Expected(
            "standing_drain", "", "", "A", drain, eq.about(drain, kind.share, kind.plus), "calculated",
            {"either_a": kind.plus},
        )  # fmt: skip
        for item in self._senses():
            yield self.at_most(kinds["sense"], item)

    def _senses(self) -> Iterator[str]:
        """What measures the voltage of a battery: controllers, relays, displays, chargers with a sense lead."""
        yield from (controller.key for controller in self.circuit.controllers)
        yield from (device.key for device in self.circuit.devices if device.kind in ("vsr", "shunt"))
        for source in self.circuit.sources:
            if self.spec.source(source.key).senses == "battery":
                yield source.key
        link = self.spec.option.dc_dc
        if link is not None and link.senses == "battery":
            yield from (converter.key for converter in self.circuit.converters)

    def relays(self) -> Iterator[Expected]:
        """Voltages at which a voltage-sensitive relay joins and parts, and how long it waits."""
        kinds = test_kinds()
        for device in self.circuit.devices:
            if device.kind != "vsr":
                continue
            assumed = {a.code for a in self.circuit.assumed if a.item == device.key}
            settings = dict(device.settings)
            for kind, name in ((kinds["relay_joins"], "joins_v"), (kinds["relay_releases"], "releases_v")):
                either_v = kind.plus * self.scale
                if name in settings:
                    yield Expected(
                        kind.test, device.key, "", "V", settings[name], eq.about(settings[name], 0.0, either_v), "set",
                        {"set_v": settings[name], "either_v": either_v},
                        wanting="relay_settings" if f"relay_{name[:-2]}" in assumed else "",
                    )  # fmt: skip
            yield self._delay(device)

    def _delay(self, device: SeriesDevice) -> Expected:
        kind, link = test_kinds()["relay_delay"], self.spec.option.vsr
        if device.circuit != "links.vsr" or link is None or "delay_s" not in link.model_fields_set:
            return Expected(kind.test, device.key, "", "s", None, Band(), "set", {}, wanting="relay_settings")
        return Expected(
            kind.test, device.key, "", "s", link.delay_s, eq.about(link.delay_s, kind.share, kind.plus), "set",
            {"set_s": link.delay_s},
        )  # fmt: skip

    def loads(self) -> Iterator[Expected]:
        """Drop of the whole loop of each load alone, at its own current."""
        kind = test_kinds()["load_drop"]
        shares = self.known.drop_share
        nearest = max(shares, key=lambda key: (shares[key], key), default="")
        for key, post, drop_v in loop_drops(self.circuit, self.family, self.known.flow):
            load = self.circuit.load[key]
            asked = load.critical or load.always_on or load.high_current or key == nearest
            yield Expected(
                kind.test, key, "", "V", drop_v, eq.about(drop_v, kind.share, kind.plus), "calculated",
                {"battery": post}, load.current_a, asked,
            )  # fmt: skip

    def devices(self) -> Iterator[Expected]:
        """Drop of heavy contacts and of the fuses of banks and links; a shunt's display against a clamp."""
        drop, shunt = test_kinds()["device_drop"], test_kinds()["shunt"]
        normally_open = emergency_keys(self.circuit)
        for device in self.circuit.devices:
            at_a = self.known.flow.demands[device.key].current_a if device.key in self.known.flow.demands else 0.0
            rating_a: float = getattr(device.part, "rating_a", 0.0)
            if at_a < THIN_A or device.key in normally_open:
                continue
            if device.kind == "shunt":
                yield Expected(
                    shunt.test, device.key, "", "A", at_a, eq.about(at_a, shunt.share, shunt.plus), "calculated", {},
                    at_a,
                )  # fmt: skip
            elif rating_a >= HEAVY_A and device.kind != "fuse":
                yield Expected(
                    drop.test, device.key, "", "V", at_a * device_ohm(device), eq.contact(at_a, drop.limit), "contact",
                    {}, at_a,
                )  # fmt: skip
            elif rating_a >= HEAVY_A and device.circuit.startswith(("banks.", "links.")):
                yield self._fuse(device, at_a)

    def _fuse(self, device: SeriesDevice, at_a: float) -> Expected:
        """A fuse whose maker states no resistance has a usual one, by which nothing is decided."""
        kind, lost_v = test_kinds()["device_drop"], at_a * device_ohm(device)
        stated = device.part is not None and device.part.resistance_ohm > 0.0
        return Expected(
            kind.test, device.key, "", "V", lost_v, eq.above_at_most(lost_v, kind.share), "fuse", {}, at_a,
            wanting="" if stated else "maker_drop",
        )  # fmt: skip

    def shared(self) -> Iterator[Expected]:
        """Each battery of a bank in parallel, with the least current of the bank that tells something."""
        kind = test_kinds()["sharing"]
        for found in self.known.sharing:
            total_a = kind.limit * sum(self.circuit.battery[s.key].part.capacity_ah for s in found.strings)
            for string in found.strings:
                own_a = string.share * total_a
                yield Expected(
                    kind.test, string.key, "", "A", own_a, eq.about(own_a, kind.share, kind.plus), "calculated",
                    {"own_share": string.share}, total_a,
                )  # fmt: skip

    def engine(self) -> Iterator[Expected]:
        """The legs of the starter's loop, the starter's own voltage, the alternator when it is hot."""
        kinds, starter = test_kinds(), self.circuit.starter
        if starter is not None:
            yield from self._legs(starter.key, starter.positive, starter.negative, starter.bus)
            floor = Band(starter.minimum_v, None)
            for case, end in (("cranking", ""), ("cranking_emergency", "emergency")):
                solution = self.known.flow.solutions.get(case)
                if solution is not None and starter.key in solution.port_v:
                    yield Expected(
                        "starter_voltage", starter.key, end, "V", solution.port_v[starter.key], floor, "at_least",
                        {"cranking_a": starter.cranking_a},
                        wanting="" if starter.minimum_v is not None else "engine_minimum",
                    )  # fmt: skip
        kind = kinds["alternator_hot"]
        for source in self.circuit.sources:
            if source.kind == "alternator":
                assumed = any(a.item == source.key and a.code == "hot_alternator" for a in self.circuit.assumed)
                yield Expected(
                    kind.test, source.key, "", "A", source.lasting_a, eq.about(source.lasting_a, kind.share, kind.plus),
                    "calculated", {"rated_a": source.rated_a}, wanting="hot_current" if assumed else "",
                )  # fmt: skip

    def _legs(self, item: str, positive: str, negative: str, bank: str) -> Iterator[Expected]:
        kind, solution = test_kinds()["cranking_drop"], self.known.flow.solutions.get("cranking")
        strings = [b for b in self.circuit.batteries if b.bank == bank]
        if solution is None or item not in solution.port_v or not strings:
            return
        volts = solution.voltage_v
        best = max(strings, key=lambda b: solution.port_v.get(b.key, 0.0))
        yield self.at_most(kind, item, "positive", volts[best.positive] - volts[positive])
        yield self.at_most(kind, item, "negative", volts[negative] - volts[best.negative])


def _name(kind: TestKind) -> str:
    """The unit as it stands at the end of a name."""
    return {"N·m": "nm", "K": "kelvin"}.get(kind.unit, kind.unit.lower())
