"""The results of one vessel: frozen dataclasses, unit in every numeric name. This is the tool's public data interface.

Facts (findings, reasons, assumptions) are a code with typed values; their sentences are made in `book/`.
"""

from decimal import Decimal
from typing import Literal

from proposal.facts import Reason, Rejected, Severity, Values
from proposal.frozen import frozen
from proposal.results.finding_model import CitationResult as CitationResult  # noqa: PLC0414 - others take it from here
from proposal.results.finding_model import Finding as Finding  # noqa: PLC0414 - the same
from proposal.results.record_model import RecordResult, TestRow
from proposal.studies.behaviour.result import Behaviour

RESULTS_VERSION = 1

PointKind = Literal["load", "charger", "starter", "controller_supply", "controller_sense", "relay_from", "relay_to"]


@frozen
class ConductorResult:
    """One conductor of the schedule. `warm_c`: what its own current brings it to at most, in a case that lasts."""

    key: str
    designation: str
    title: str
    circuit: str
    pole: Literal["positive", "negative"]
    purpose: str
    from_node: str
    to_node: str
    from_designation: str
    to_designation: str
    length_m: float
    place: str
    place_c: float
    bundled_count: int
    insulation_c: int
    size: str
    area_mm2: float
    part_id: str | None
    pinned: bool
    table_a: float
    temperature_factor: float
    bundle_factor: float
    ampacity_a: float
    design_current_a: float
    design_case: str
    cranking_current_a: float
    resistance_20c_ohm: float
    drop_v: float
    loop_drop_v: float | None
    loop_drop_share: float | None
    drop_limit_share: float | None
    fault_from_a: float
    fault_to_a: float
    least_fault_from_a: float | None
    least_fault_to_a: float | None
    fuses: tuple[str, ...]
    decided_by: Reason
    rejected: tuple[Rejected, ...]
    citations: tuple[CitationResult, ...]
    warm_c: float | None = None
    warm_case: str = ""


@frozen
class DeviceResult:
    """A fuse, switch, relay, shunt or bus of the schedule."""

    key: str
    designation: str
    title: str
    circuit: str
    kind: str
    part_id: str | None
    part_title: str
    pinned: bool
    rating_a: float | None
    voltage_max_v: float | None
    interrupt_a: float | None
    fuse_class: str | None
    wanted_a: float
    wanted_case: str
    smallest_a: float | None
    largest_a: float | None
    fault_a: float | None
    distance_m: float | None
    distance_limit_m: float | None
    resistance_ohm: float
    guards: tuple[str, ...]
    decided_by: Reason
    rejected: tuple[Rejected, ...]
    citations: tuple[CitationResult, ...]


@frozen
class BankResult:
    """A battery bank."""

    key: str
    designation: str
    title: str
    chemistry: str
    role: str
    part_id: str
    part_title: str
    series_count: int
    parallel_count: int
    nominal_v: float
    capacity_ah: float
    energy_wh: float
    usable_ah: float
    usable_share: float
    temperature_share: float
    resistance_ohm: float
    resistance_assumed: bool
    full_v: float
    short_circuit_a: float
    mass_kg: float
    place: str


@frozen
class LoadResult:
    """A load as it is on the drawing and in the cases."""

    key: str
    designation: str
    title: str
    bus: str
    current_a: float
    wh_per_day: float
    critical: bool
    always_on: bool
    away: bool


@frozen
class SourceResult:
    """A charge source."""

    key: str
    designation: str
    title: str
    kind: str
    bus: str
    current_a: float
    lasting_a: float
    charge_v: float


@frozen
class NodeVolts:
    """Voltage of a node against the reference; None where nothing feeds it."""

    node: str
    voltage_v: float | None


@frozen
class BranchAmps:
    """Current of a conductor or series device, from its from-node to its to-node."""

    key: str
    current_a: float


@frozen
class PortAmps:
    """Current and voltage of a battery, load or source. Positive current: given to the network."""

    key: str
    current_a: float
    voltage_v: float


@frozen
class CaseResult:
    """One solved load-flow case."""

    id: str
    temperatures: Literal["hot", "cold", "20", "limit"]
    open_relays: tuple[str, ...]
    solved: bool
    collapsed: tuple[str, ...]
    nodes: tuple[NodeVolts, ...]
    branches: tuple[BranchAmps, ...]
    ports: tuple[PortAmps, ...]
    kirchhoff_a: float
    power_error_w: float


@frozen
class NetworkBranch:
    """A resistance of the network of one case."""

    key: str
    from_node: str
    to_node: str
    resistance_ohm: float
    temperature_c: float


@frozen
class NetworkSource:
    """A battery: it gives max((emf_v − V)/resistance_ohm, −accepts_a).

    `accepts_a` is the most that a lead battery takes while it is charged; null: no bound.
    """

    key: str
    positive: str
    negative: str
    emf_v: float
    resistance_ohm: float
    accepts_a: float | None


@frozen
class NetworkPort:
    """A load or charge source and its law.

    law "current": takes current_a · "power": takes power_w · "charger": gives min(current_a, (set_v − V)/droop_ohm),
    not below 0.
    """

    key: str
    positive: str
    negative: str
    law: Literal["current", "power", "charger"]
    current_a: float | None
    power_w: float | None
    set_v: float | None
    droop_ohm: float | None


@frozen
class NetworkResult:
    """The reduced network of one case, enough to solve it again with another tool. The solution is in the case."""

    case: str
    reference: str
    nodes: tuple[str, ...]
    branches: tuple[NetworkBranch, ...]
    sources: tuple[NetworkSource, ...]
    ports: tuple[NetworkPort, ...]


@frozen
class FaultResult:
    """Prospective fault current between a node and its mate.

    `current_a` with all sources feeding, `open_voltage_v`/`resistance_ohm`; `peak_a` and `quasi_steady_a` the same by
    the battery clause of IEC 61660-1, from memory. `least_a` with one weak bank alone, `least_bank`; null: none does.
    """

    node: str
    mate: str
    current_a: float
    open_voltage_v: float
    resistance_ohm: float
    peak_a: float
    quasi_steady_a: float
    least_a: float | None
    least_bank: str | None
    feeds: tuple[PortAmps, ...]


@frozen
class LeastFaultResult:
    """The least current that a fuse sees of a fault at the end of a conductor that lies away from it.

    `bank` feeds the fault alone: `current_a`, of which `through_fuse_a` flows through the fuse.
    """

    conductor: str
    node: str
    fuse: str
    bank: str
    current_a: float
    through_fuse_a: float


@frozen
class JoinResult:
    """First current when a relay joins two sides at different voltages, and the smallest of what it may not exceed.

    `free_v` is the difference with nothing to rule it; `ruled_by` what does, or why this does not happen (then the
    current is zero). It falls to `settles_a` and heats as the first current would in `lasts_s`; null: it does not fall.
    """

    relay: str
    situation: str
    difference_v: float
    resistance_ohm: float
    current_a: float
    limit_a: float | None
    limited_by: str | None
    limited_item: str | None
    free_v: float
    ruled_by: Literal["free", "rule", "hand", "not_sensed", "below_threshold", "dead"]
    settles_a: float
    lasts_s: float | None


@frozen
class SwitchedResult:
    """A contactor, relay or switch: its largest currents beside its ratings, and its coil.

    `lasting_a` for hours, `minutes_a` for up to five minutes, `seconds_a` while the engine cranks, each with its case;
    `closing_a` first current when it joins two sides, `opening_a` the most that it may have to break. A rating is null
    where it is not stated or the kind has none. `coil_ah_per_day` with the contactor closed all day; `least_supply_v`
    at the coil's supply while cranking, null: it is open then; `unpowered`: what it does without control power.
    """

    key: str
    kind: Literal["contactor", "vsr", "switch"]
    lasting_a: float
    lasting_case: str
    rating_a: float | None
    minutes_a: float
    minutes_case: str
    five_minutes_a: float | None
    seconds_a: float
    seconds_case: str
    cranking_a: float | None
    closing_a: float
    closing_situation: str
    make_a: float | None
    opening_a: float
    opening_case: str
    break_a: float | None
    coil: Literal["held", "latching"] | None
    coil_v: float | None
    coil_w: float | None
    coil_ah_per_day: float | None
    drop_out_v: float | None
    least_supply_v: float | None
    unpowered: Literal["opens", "stays"] | None


@frozen
class SurgeResult:
    """Capacitors of a load charged from nothing through something that closes.

    `peak_a` = `open_v`/`resistance_ohm` times the item's share, falling with `time_constant_s`; `energy_j` = ½CU²;
    `limit_a` is what the item bears, for `limit_s` where that counts. `precharge_ohm`: the least resistor that keeps it
    within the limit, with the time to 95 %; null where that is not known.
    """

    load: str
    through: str
    kind: Literal["relay_make", "management"]
    open_v: float
    resistance_ohm: float
    peak_a: float
    limit_a: float | None
    limit_s: float | None
    capacitance_f: float | None
    time_constant_s: float | None
    energy_j: float | None
    precharge_ohm: float | None
    precharge_s: float | None
    gentle: bool | None


@frozen
class StartResult:
    """Cranking the engine in one case: which banks feed it, the voltage at the starter's own terminals, the verdict."""

    case: str
    fed_by: tuple[str, ...]
    cranking_a: float
    battery_c: float
    starter_v: float | None
    minimum_v: float | None
    verdict: Literal["starts", "uncertain", "fails", "unknown"]


@frozen
class EnergyLine:
    """One load's or source's energy in a day of one season."""

    key: str
    title: str
    wh_per_day: float


@frozen
class SeasonEnergy:
    """A day's balance in one season. `engine_wh` in `engine_h`: what engine or generator (`made_up_by`) must add."""

    season: str
    title: str
    use_wh: float
    loss_wh: float
    sun_wh: float
    wind_wh: float
    shore_wh: float
    engine_wh: float
    engine_h: float | None
    engine_accepted_h: float
    made_up_by: Literal["engine", "generator", ""]
    balance_wh: float
    loads: tuple[EnergyLine, ...]
    sources: tuple[EnergyLine, ...]


@frozen
class AutonomyResult:
    """How long a bank, or all banks that serve the house, last with no charge."""

    bank: str
    usable_wh: float
    use_wh_per_day: float
    days: float | None
    critical_only_days: float | None


@frozen
class ChargeTime:
    """Hours of one source from the usable depth to full, loads running."""

    source: str
    bank: str
    charge_ah: float
    current_a: float
    hours_h: float | None


@frozen
class EnergyResult:
    """Energy of an option."""

    seasons: tuple[SeasonEnergy, ...]
    worst_season: str
    autonomy: tuple[AutonomyResult, ...]
    charge_times: tuple[ChargeTime, ...]
    battery_mass_kg: float
    standing_drain_a: float


@frozen
class PriceLine:
    """One line of the bill of materials or of labour; `amount` is rounded once, here."""

    key: str
    group: Literal["battery", "cable", "protection", "switching", "charging", "other", "labour", "contingency"]
    title: str
    part_id: str | None
    quantity: Decimal
    unit: str
    unit_price: Decimal | None
    amount: Decimal | None
    items: tuple[str, ...]
    note: str


@frozen
class PriceTotals:
    """Totals in the proposal's currency."""

    currency: str
    material: Decimal
    labour: Decimal
    contingency: Decimal
    net: Decimal
    tax_name: str
    tax_share: float
    tax: Decimal
    total: Decimal
    unpriced_lines: int


@frozen
class AcceptanceResult:
    """An entry by which somebody accepts a finding, and what becomes of it.

    refused: nobody can accept what it names. idle: nothing of the kind was found. not_asked: its check looks at the
    days, and they were not asked for.
    """

    finding: str
    item: str
    name: str
    reason: str
    outcome: Literal["accepted", "refused", "idle", "not_asked"]


@frozen
class ConsentResult:
    """Somebody's word in writing that an option needs, and whether it is there, asked for, or missing."""

    code: str
    item: str
    values: Values
    state: Literal["there", "asked", "missing"]
    who: str
    what: str
    given: str
    where: str


@frozen
class CheckResult:
    """How one check went over the whole option."""

    id: str
    number: int
    severity: Severity
    tested: int
    fired: int
    undecided: int
    citation: CitationResult


@frozen
class CodeNoteResult:
    """One topic of the rule family and how the option stands.

    `because` is the code of why; `looked_count` how many looks at items its `checks` took.
    """

    id: str
    topic: str
    clause: str
    text: str
    outcome: Literal["passed", "failed", "undecided", "to_be_tested", "not_applicable"]
    because: Literal[
        "found_nothing", "fired", "figure_missing", "remembered", "no_check", "nothing_there", "kind", "absent"
    ]
    looked_count: int
    checks: tuple[str, ...]
    citation: CitationResult


@frozen
class Assumption:
    """A value that the survey did not bring and the computation had to assume."""

    item: str
    code: str
    values: Values
    citation: CitationResult


@frozen
class CurveGate:
    """One gate of a time-current curve: not melted before, surely cleared by; null: not said, or never."""

    current_a: float
    melts_after_s: float | None
    clears_before_s: float | None


@frozen
class GuardedResult:
    """A conductor that a fuse guards, with the least fault current at its far end, and what it and the fuse then do.

    `least_fault_a` flows in the conductor, `through_fuse_a` in the fuse; `clears_s` by the fuse's curve, null where no
    curve says so. The conductor stands it for `stands_s` = (k·S/I)², k in A·s^½/mm²; null: without end.
    `outcome`: whether the fuse opens every fault on this conductor in time, by the worst of them; `wanting` the figure
    to find out where that is undecided.
    """

    conductor: str
    designation: str
    compound: str | None
    area_mm2: float
    k_a_root_s_per_mm2: float
    k_citation: CitationResult
    least_fault_a: float
    least_bank: str
    through_fuse_a: float
    clears_s: float | None
    stands_s: float | None
    outcome: Literal["passes", "fails", "undecided"] = "undecided"
    wanting: str = ""


@frozen
class MustPassResult:
    """A start or inrush that must not melt the fuse: the highest current through it, and for how long."""

    item: str
    kind: Literal["inrush", "start", "joining"]
    current_a: float
    duration_s: float
    duration_assumed: bool


@frozen
class NeighbourResult:
    """A fuse in series with this one; `current_share`: what part of the outer one's current flows in the inner one,
    nearer to the batteries."""

    fuse: str
    current_share: float


@frozen
class TripResult:
    """A lithium bank's own cut-off: when `first_a` flows through the fuse, after `trip_s`; null: not stated."""

    bank: str
    first_a: float | None
    trip_s: float | None


@frozen
class RulingResult:
    """How a fuse stands on one demand; `wanting`: the figure to find out where it is undecided.

    `remembered`: what it would be by values from memory, on which alone nothing is decided.
    """

    demand: Literal["voltage", "breaking", "rating", "must_pass", "far_end", "selective", "cut_off"]
    outcome: Literal["passes", "fails", "undecided"]
    wanting: str
    remembered: Literal["passes", "fails"] | None
    values: Values


@frozen
class ProtectionResult:
    """All that bears on one fuse or breaker, for its time-current chart and its rulings.

    `upstream` fuses stand nearer to the batteries, `downstream` ones further out. `remembered`: the curve rests on
    values from memory, on which alone no ruling stands.
    """

    key: str
    designation: str
    title: str
    part_id: str | None
    part_title: str
    fuse_class: str | None
    rating_a: float | None
    interrupt_a: float | None
    fault_max_a: float
    least_fault_a: float | None
    clears_least_s: float | None
    curve: tuple[CurveGate, ...]
    curve_citation: CitationResult | None
    from_maker: bool
    remembered: bool
    guarded: tuple[GuardedResult, ...]
    must_pass: tuple[MustPassResult, ...]
    upstream: tuple[NeighbourResult, ...]
    downstream: tuple[NeighbourResult, ...]
    trips: tuple[TripResult, ...]
    rulings: tuple[RulingResult, ...]


@frozen
class RungResult:
    """One voltage of the voltage ladder; see studies.ladder.result.Rung."""

    item: str
    group: Literal["charging", "switching", "rest", "management", "loads"]
    setting: str
    value_v: float
    tolerance_v: float
    tolerance_assumed: bool
    low_v: float
    high_v: float
    cold_v: float | None
    hot_v: float | None
    charge_share: float | None
    citation: CitationResult


@frozen
class UnstatedSetting:
    """A setting that a device has and that nobody states."""

    item: str
    setting: str


@frozen
class JoinSetting:
    """Highest voltage of the bus above the bank at which a contactor's controller joins them."""

    item: str
    difference_v: float


@frozen
class LadderResult:
    """Every setpoint, cut-off and resting voltage on one axis; where two overlap stands in the findings."""

    rungs: tuple[RungResult, ...]
    unstated: tuple[UnstatedSetting, ...]
    joins: tuple[JoinSetting, ...]


@frozen
class BusChangeResult:
    """Voltage of a bus with the usual loads on before and with a failure, and with it while all sources charge."""

    bus: str
    before_v: float | None
    after_v: float | None
    charging_v: float | None


@frozen
class ItemAmps:
    """Current of a source or bank, as a positive number."""

    key: str
    current_a: float


@frozen
class FailureResult:
    """One failure and all that follows; see studies.failures.result.Failure.

    `start` with its own battery and `emergency_start` over the emergency switch: verdicts as in `StartResult`, empty
    where that does not exist. `warned_by`: keys of what sounds an alarm, of what is stated.
    """

    cause: str
    symptom: Literal[
        "all_dark", "start_lost", "several_dark", "one_dark", "battery_off", "charge_lost", "weak", "unseen"
    ]
    item: str
    items: tuple[str, ...]
    dead: tuple[str, ...]
    low: tuple[str, ...]
    lost: tuple[str, ...]
    stranded: tuple[str, ...]
    banks_off: tuple[str, ...]
    buses: tuple[BusChangeResult, ...]
    charging: tuple[ItemAmps, ...]
    charged: tuple[ItemAmps, ...]
    starter_v: float | None
    start: Literal["starts", "uncertain", "fails", "unknown", ""]
    emergency_v: float | None
    emergency_start: Literal["starts", "uncertain", "fails", "unknown", ""]
    warned_by: tuple[str, ...]


@frozen
class SwitchingStep:
    """One step of the switching plan, as a code with its figures; `items` are what is handled."""

    phase: Literal["before", "stop", "part", "prove", "disconnect", "hold", "reconnect", "join", "start"]
    code: str
    items: tuple[str, ...]
    values: Values


@frozen
class CaseVolts:
    """A voltage in a case; null where nothing joins the point to a battery."""

    case: str
    voltage_v: float | None


@frozen
class VoltagePoint:
    """The voltage at the pins of a load, a charger or the starter, or where a relay or controller senses.

    `usual_v` while everything is on; lowest and highest over all cases that last; `volts` in every case.
    """

    item: str
    designation: str
    kind: PointKind
    positive: str
    negative: str
    usual_v: float | None
    lowest_v: float | None
    lowest_case: str
    highest_v: float | None
    highest_case: str
    volts: tuple[CaseVolts, ...]


@frozen
class StringResult:
    """One battery of a bank in parallel: its share of a current from the whole, what resistance that is worth, amps."""

    item: str
    designation: str
    current_share: float
    path_ohm: float
    usual_a: float
    most_a: float
    most_case: str


@frozen
class StringOutResult:
    """One battery out in a case: most that another gives, its maker's limit, volts at the main leads, loads lost."""

    item: str
    designation: str
    case: str
    current_a: float
    limit_a: float | None
    voltage_v: float | None
    dark: tuple[str, ...]


@frozen
class SharingResult:
    """How the batteries of a bank share. `spread_share`: largest path resistance over the mean of all, less 1."""

    bank: str
    title: str
    chained: bool
    spread_share: float
    strings: tuple[StringResult, ...]
    outs: tuple[StringOutResult, ...]


@frozen
class ReplacedBank:
    """What the batteries of one bank cost in the years to come; life by the year's rule of thumb (`life_by`).

    `each` replacement: batteries and the work on them at today's prices, with tax; null: a battery has no price.
    `life_low_years` to `life_high_years`: tenth and ninetieth percentile of the seeded years, `life_years` the middle
    one. A low cost goes with a long life: `low_count` is how often they are bought at `life_high_years`.
    """

    bank: str
    life_years: float
    life_low_years: float
    life_high_years: float
    life_by: Literal["cycles", "calendar", "sulphation"]
    battery_count: int
    each: Decimal | None
    low_count: int
    usual_count: int
    high_count: int


@frozen
class RunningResult:
    """Engine or generator run for charging: hours a year (tenth, middle and ninetieth percentile) and its price."""

    kind: Literal["engine", "generator"]
    low_h: float
    usual_h: float
    high_h: float
    per_hour: Decimal | None


@frozen
class Unstated:
    """A figure that nobody states, so that the cost is without it; battery_age: counted as new today."""

    code: Literal["battery_price", "battery_age", "engine_cost", "generator_cost", "unpriced_lines"]
    item: str


@frozen
class TenYears:
    """What an option costs in `horizon_years` at today's prices: itself, new batteries, engine or generator to charge.

    low and high add the ends of everything, so they lie further apart than four fifths of all cases. What nobody
    states is left out of all sums and stands in `unstated`. Interest, service and other parts are not counted.
    """

    horizon_years: int
    currency: str
    today: Decimal
    banks: tuple[ReplacedBank, ...]
    running: tuple[RunningResult, ...]
    replacements_low: Decimal
    replacements_usual: Decimal
    replacements_high: Decimal
    running_low: Decimal
    running_usual: Decimal
    running_high: Decimal
    total_low: Decimal
    total_usual: Decimal
    total_high: Decimal
    unstated: tuple[Unstated, ...]


@frozen
class OptionResult:
    """Everything about one option."""

    id: str
    title: str
    pitch: str
    arrangement: str
    conductors: tuple[ConductorResult, ...]
    devices: tuple[DeviceResult, ...]
    banks: tuple[BankResult, ...]
    loads: tuple[LoadResult, ...]
    sources: tuple[SourceResult, ...]
    cases: tuple[CaseResult, ...]
    faults: tuple[FaultResult, ...]
    least_faults: tuple[LeastFaultResult, ...]
    joins: tuple[JoinResult, ...]
    starts: tuple[StartResult, ...]
    energy: EnergyResult
    price_lines: tuple[PriceLine, ...]
    price: PriceTotals
    findings: tuple[Finding, ...]
    acceptances: tuple[AcceptanceResult, ...]
    consents: tuple[ConsentResult, ...]
    checks: tuple[CheckResult, ...]
    code_notes: tuple[CodeNoteResult, ...]
    assumptions: tuple[Assumption, ...]
    network: tuple[NetworkResult, ...]
    ladder: LadderResult
    failures: tuple[FailureResult, ...]
    switching: tuple[SwitchingStep, ...]
    choose_if: tuple[str, ...]
    protection: tuple[ProtectionResult, ...] = ()
    switched: tuple[SwitchedResult, ...] = ()
    surges: tuple[SurgeResult, ...] = ()
    voltages: tuple[VoltagePoint, ...] = ()
    sharing: tuple[SharingResult, ...] = ()
    tests: tuple[TestRow, ...] = ()
    behaviour: Behaviour | None = None
    ten_years: TenYears | None = None


@frozen
class VesselResult:
    """What the pages say about client, vessel, and business."""

    name: str
    kind: str
    description: str
    client: str
    client_contact: str
    number: str
    revision: str
    date: str
    valid_days: int
    system_v: float
    wanted_days: float
    rule_family: str
    rule_family_title: str
    rule_edition: str
    rule_applies_to: str
    installer: str
    installer_contact: str
    installer_licence: str
    installer_cautions: tuple[str, ...]
    installer_terms: tuple[str, ...]
    locale: str


@frozen
class SurveyResult:
    """What was found, and what nobody knows yet."""

    date: str
    by: str
    stays: tuple[tuple[str, str, str], ...]
    measured: tuple[tuple[str, str, str], ...]
    unknown: tuple[tuple[str, str], ...]


@frozen
class PaperResult:
    """A consent that the installer names besides those that are derived; `given` is empty while it is asked for."""

    who: str
    what: str
    given: str
    where: str


@frozen
class LimitsResult:
    """Where the mains side begins and whose it is, and further papers."""

    mains_aboard: bool
    mains_by: str
    mains_begins_at: str
    papers: tuple[PaperResult, ...]


@frozen
class Results:
    """All results of one vessel. `record` where one was begun: `options` then holds the chosen one alone, as fitted."""

    results_version: int
    made_by: str
    vessel: VesselResult
    survey: SurveyResult
    limits: LimitsResult
    options: tuple[OptionResult, ...]
    record: RecordResult | None = None
