"""All checks, each with its number, severity and source, and the one loop that runs every one of them."""

from collections.abc import Callable

from proposal.codes.family import RuleFamily
from proposal.codes.fitting import certain_limit
from proposal.facts import Severity
from proposal.frozen import frozen
from proposal.rules import (
    banks,
    charging,
    circuits,
    cutting,
    days_banks,
    days_engine,
    days_loads,
    days_relays,
    days_year,
    devices,
    fitting,
    fuses,
    gas,
    ladder,
    lead,
    links,
    loops,
    losing,
    mains,
    protection,
    pumps,
    relays,
    settings,
    solar,
    standing,
    stopping,
    strings,
)
from proposal.rules.finding import PRACTICE, Evidence, Examined, Objection, Outcome, RawFinding
from proposal.sources import Citation

Cited = Citation | Callable[[RuleFamily], Citation]


@frozen
class Check:
    """One thing that an expert looks at: `title` is the code of its sentence, `citation` where the rule stands."""

    id: str
    number: int
    severity: Severity
    title: str
    citation: Cited
    test: Callable[[Evidence], Examined]

    def cited(self, family: RuleFamily) -> Citation:
        """The source of this check under a family."""
        return self.citation if isinstance(self.citation, Citation) else self.citation(family)


@frozen
class CheckRun:
    """How a check went over one option."""

    check: Check
    outcome: Outcome
    citation: Citation

    @property
    def tested(self) -> int:
        """How many items it looked at."""
        return self.outcome.tested

    @property
    def findings(self) -> tuple[RawFinding, ...]:
        """What it found."""
        return self.outcome.findings

    @property
    def fired(self) -> int:
        """How many findings the computed figures bear out."""
        return sum(1 for f in self.findings if f.outcome == "fires")

    @property
    def undecided(self) -> int:
        """How many points it could not decide."""
        return sum(1 for f in self.findings if f.outcome == "undecided")


def _noted(check_id: str, otherwise: Citation) -> Callable[[RuleFamily], Citation]:
    """Where the family's own notes place the rule that a check tests."""

    def cited(family: RuleFamily) -> Citation:
        return next((note.citation for note in family.code_notes if check_id in note.checks), otherwise)

    return cited


E11 = Citation("abyc_e11", "breaking capacity of fuses and breakers; check your edition", "corroborated")
PER_BATTERY = Citation("abyc_e11", "11.10.1.4.1 (July 2025)", "corroborated")
IGNITION = Citation("iso8846", "parts tested not to ignite the vapour around them; check your edition", "from memory")
STUDS = Citation("abyc_e10", "at most four lugs on a stud (7/2021); check your edition", "from memory")
VENTS = Citation("en62485_2", "natural ventilation of battery places, at boost charge", "corroborated")
GAS = Citation("iso23625", "vented gas must not endanger people; check your edition", "corroborated")
SHORT_CIRCUIT = Citation("iec60364_4_43", "434.5.2: I²t of the device at most k²S², up to 5 s", "from memory")
DC_RATING = Citation("iec60947_2", "rated voltage of the device, for direct current", "from memory")


def _check(number: int, severity: Severity, test: Callable[[Evidence], Examined], citation: Cited = PRACTICE) -> Check:
    name = test.__name__
    return Check(name, number, severity, f"check.{name}", citation, test)


REMEMBERED = "edition"
"""What to find out where the limit of a check is from memory."""

LIMIT_OF_FAMILY = frozenset(
    {"positive_unfused", "conductor_overloaded", "battery_without_device", "voltage_drop_high", "terminals_crowded"}
)
"""Checks whose limit is a figure of the rule family, not of a part or of the circuit itself."""

CHECKS: tuple[Check, ...] = (
    _check(1, "danger", protection.positive_unfused, lambda family: family.fuse_distance_m(True, False).citation),
    _check(2, "danger", protection.link_fused_one_end),
    _check(3, "danger", protection.conductor_overloaded, lambda family: family.fuse_window(1.0, 1.0, 12.0).citation),
    _check(4, "danger", devices.breaking_capacity_low, _noted("breaking_capacity_low", E11)),
    _check(5, "danger", devices.battery_without_device, _noted("battery_without_device", PER_BATTERY)),
    _check(6, "danger", devices.device_voltage_low, _noted("device_voltage_low", DC_RATING)),
    _check(7, "fault", fuses.start_melts_fuse),
    _check(8, "danger", fuses.fault_outlasts_conductor, SHORT_CIRCUIT),
    _check(9, "fault", fuses.fuses_not_selective),
    _check(10, "danger", solar.solar_strings_unprotected),
    _check(11, "fault", links.equalising_current_high),
    _check(12, "fault", links.relay_overloaded_by_charging),
    _check(13, "fault", relays.relay_overloaded_for_seconds),
    _check(14, "fault", links.relay_thresholds_fooled),
    _check(15, "fault", links.coil_driven_wrong),
    _check(16, "fault", standing.standing_drain_high),
    _check(17, "danger", cutting.emergency_off_defeated, cutting.E13_REMOTE),
    _check(18, "fault", relays.inrush_closes_contactor),
    _check(19, "fault", links.bank_without_switch),
    _check(20, "fault", cutting.sense_lead_wrong),
    _check(21, "fault", banks.battery_limit_exceeded),
    _check(22, "fault", strings.parallel_paths_uneven),
    _check(23, "fault", strings.batteries_joined_unequal),
    _check(24, "danger", banks.lithium_feeds_shorted_lead),
    _check(25, "fault", strings.tapped_mid_bank),
    _check(26, "danger", strings.series_not_allowed),
    _check(27, "fault", lead.lead_never_full),
    _check(28, "fault", lead.lead_freezes),
    _check(29, "danger", lead.lead_overheats),
    _check(30, "fault", charging.alternator_overloaded),
    _check(31, "fault", losing.alternator_loses_battery),
    _check(32, "fault", stopping.source_not_stopped),
    _check(33, "fault", settings.bus_voltage_high),
    _check(34, "fault", losing.solar_loses_battery),
    _check(35, "fault", solar.array_voltage_high),
    _check(36, "fault", settings.equalise_trips_lithium),
    _check(37, "advice", settings.charge_voltages_apart),
    _check(38, "fault", stopping.charger_fooled),
    _check(39, "fault", loops.converter_loops),
    _check(40, "danger", stopping.lithium_charged_cold),
    _check(41, "danger", gas.vent_small, VENTS),
    _check(42, "danger", gas.gas_reaches_people, GAS),
    _check(43, "danger", fitting.not_ignition_protected, _noted("not_ignition_protected", IGNITION)),
    _check(44, "danger", fitting.battery_loose, lambda family: certain_limit(family.id, "battery_moves_m").citation),
    _check(45, "fault", fitting.terminals_crowded, STUDS),
    _check(46, "danger", circuits.always_on_at_risk),
    _check(47, "danger", pumps.bilge_pump_at_risk),
    _check(48, "danger", cutting.cut_off_darkens, cutting.E13_WARNING),
    _check(49, "danger", circuits.return_smaller),
    _check(50, "advice", loops.shunt_bypassed),
    _check(51, "fault", circuits.voltage_drop_high, lambda family: family.drop_limit(False).citation),
    _check(52, "fault", circuits.starter_voltage_low),
    _check(53, "danger", mains.mains_unsafe, _noted("mains_unsafe", mains.EARTH)),
    _check(54, "fault", mains.bonding_wrong),
    _check(55, "fault", ladder.settings_overlap),
    _check(56, "fault", days_relays.relay_chatters),
    _check(57, "fault", days_loads.load_collapses),
    _check(58, "fault", days_banks.bank_never_full),
    _check(59, "fault", days_relays.join_missed),
    _check(60, "fault", days_banks.management_opens),
    _check(61, "fault", days_relays.source_stranded),
    _check(62, "fault", days_relays.relay_never_switches),
    _check(63, "danger", days_engine.engine_fails_in_use),
    _check(64, "fault", days_engine.engine_fails_after_neglect),
    _check(65, "danger", days_loads.critical_dark_early),
    _check(66, "fault", days_loads.house_dark_early),
    _check(67, "advice", days_banks.lead_poorly_kept),
    _check(68, "advice", days_banks.lithium_held_high),
    _check(69, "fault", days_engine.alternator_hot_for_hours),
    _check(70, "fault", days_engine.engine_hours_beyond),
    _check(71, "advice", days_banks.water_to_top),
    _check(72, "danger", days_year.critical_dark_in_year),
    _check(73, "fault", days_year.house_dark_in_year),
)

NEED_DAYS = frozenset(check.id for check in CHECKS if check.number > 55)
"""Checks that look at the days alone: where those were not asked for they have nothing to look at."""


def run_checks(evidence: Evidence) -> tuple[CheckRun, ...]:
    """Run every check; each reports how many items it looked at, whether or not it found anything."""
    return tuple(run_check(check, evidence) for check in CHECKS)


def run_check(check: Check, evidence: Evidence) -> CheckRun:
    """Run one check."""
    citation = check.cited(evidence.family)
    tested = check.test(evidence)
    findings = tuple(_finding(check, found, found.citation or citation) for found in tested.objections)
    return CheckRun(check, Outcome(tested.count, findings), citation)


def _finding(check: Check, found: Objection, citation: Citation) -> RawFinding:
    """A limit that is only remembered decides nothing alone: the finding is then a point to settle in the edition.

    Where the limit is a part's own rating the rule behind it may be remembered, the figure is not.
    """
    outcome, values = found.outcome, found.values
    if outcome == "fires" and citation.status == "from memory" and check.id in LIMIT_OF_FAMILY:
        outcome, values = "undecided", {**values, "find_out": REMEMBERED}
    return RawFinding(check.id, check.number, check.severity, outcome, found.item, values, citation)
