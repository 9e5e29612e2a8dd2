"""Findings about fuses, conductors and devices: checks 1 to 6."""

from dataclasses import replace

from proposal.book.language import msg
from proposal.book.sentences.finding_text import FindingText

PROTECTION: dict[str, FindingText] = {}

PROTECTION["positive_unfused"] = FindingText(
    msg("Conductor without a fuse near its source"),
    msg("Every positive conductor has a fuse near each source that feeds it"),
    msg("{distance_m} of positive conductor can be fed from {source} with no fuse on the way."),
    msg("At most {limit_m} may be unfused here."),
    msg(
        "If its insulation chafes through on that stretch, nothing stops the current: it glows and sets fire to what "
        "it touches."
    ),
    msg(
        "Fit a fuse within {limit_m} of {source}; today it is {excess_m} too far. Or lay {size}, which carries all "
        "that {source} can give."
    ),
)

PROTECTION["link_fused_one_end"] = FindingText(
    msg("Link between two sources fused at one end only"),
    msg("Every link between two sources is fused at both ends"),
    msg("{fed_by} feeds {end} with no fuse there; a short circuit there brings {fault_a}."),
    msg("Each end behind which a battery lies needs its own fuse."),
    msg("A fault near that end is fed by the other side with nothing in the way."),
    msg("Fit a fuse of {smallest_a} to {largest_a} at that end."),
)

_OVERLOADED = FindingText(
    msg("Conductor or fuse does not fit the current"),
    msg("Every conductor carries its current, and its fuse guards it"),
    msg("{current_a} flow here for hours, {case}."),
    msg("It may carry {limit_a}, heat and bundling considered."),
    msg("The insulation ages, softens and fails; in a bundle it takes its neighbours along."),
    msg("Reduce what it carries to {limit_a}, or lay a larger one. The smallest size that will do is {size}."),
)
PROTECTION["conductor_overloaded"] = _OVERLOADED
PROTECTION["conductor_overloaded.current"] = replace(_OVERLOADED, title=msg("Conductor carries more than it may"))
PROTECTION["conductor_overloaded.own_fuse"] = replace(
    _OVERLOADED,
    title=msg("Fuse too large for its conductor"),
    found=msg("The fuse is rated {current_a}; it guards {conductor}."),
    limit=msg("The largest that may guard it is {limit_a}."),
    happens=msg("A fault lets through more than the conductor bears, and the fuse does not open in time."),
    do=msg("Fit a fuse of {limit_a} or less, or lay a larger conductor. The smallest size for this fuse is {size}."),
)
PROTECTION["conductor_overloaded.fuses_together"] = replace(
    _OVERLOADED,
    title=msg("Fuses together too large for a conductor"),
    found=msg("The {fuse_count} fuses that feed {end} let {current_a} through together."),
    limit=msg("Its ampacity allows {limit_a}."),
    happens=msg("Each fuse sees only its own part of a fault, and none opens in time."),
    do=msg(
        "Fit a fuse of {limit_a} or less for this conductor itself, or lay a larger one. The smallest size that will "
        "do is {size}."
    ),
)

_BREAKS = FindingText(
    msg("Fuse cannot break the short-circuit current"),
    msg("Every fuse can break the short-circuit current at its place"),
    msg("A short circuit at this fuse brings {needed_a}, all sources feeding."),
    msg("It can break {interrupt_a}."),
    msg("It does not open cleanly: it bursts or goes on arcing, and the fault is fed on."),
    msg("Fit one of a class that breaks {needed_a} or more."),
    msg(
        "A short circuit here brings {needed_a}, of which {assumed_a} rest on a battery whose maker states no figure: "
        "{bank}. The fuse can break {interrupt_a}."
    ),
)
PROTECTION["breaking_capacity_low"] = _BREAKS
PROTECTION["breaking_capacity_low.fault"] = _BREAKS
PROTECTION["breaking_capacity_low.no_part"] = replace(
    _BREAKS,
    title=msg("No fuse in the price book fits here"),
    found=msg(
        "The price book has no fuse for this place. A short circuit here brings {needed_a}, and the system reaches "
        "{highest_v}."
    ),
    limit=msg("Ratings from {smallest_a} to {largest_a} would fit the conductor and its current."),
    happens=msg("Without a fuse that fits, the circuit must not be built."),
    do=msg("Add a fuse to the price book that breaks {needed_a} at {highest_v}, or divide the circuit."),
)
PROTECTION["breaking_capacity_low.table"] = replace(
    _BREAKS,
    found=msg("It can break {interrupt_a}; the batteries behind it are rated {cranking_a} for cold cranking."),
    limit=msg("For such batteries the rule asks for {needed_a} or more."),
    do=msg("Fit one of a class that breaks {needed_a} or more."),
)

PROTECTION["battery_without_device"] = FindingText(
    msg("Large parallel bank without a fuse for each battery"),
    msg("Every large parallel bank has a fuse for each battery"),
    msg("{battery_count} in parallel hold {capacity_ah}; {without_count} of them have no fuse of their own."),
    msg("Above {limit_ah} each needs its own."),
    msg("When one battery fails inside, all the others empty themselves into it."),
    msg("Fit a fuse on the post of each battery."),
)

_VOLTAGE = FindingText(
    msg("Device not made for this voltage"),
    msg("Every device is rated for the highest voltage of the system, and breaks it from either side"),
    msg("It is rated for {rating_v} direct current."),
    msg("The system reaches {highest_v} while it charges."),
    msg("When it opens under load, the arc may not go out."),
    msg("Fit one that is rated for {highest_v} direct current or more."),
    msg("It must bear {highest_v} and carry {wanted_a}; no part is chosen for it."),
)
PROTECTION["device_voltage_low"] = _VOLTAGE
PROTECTION["device_voltage_low.rating"] = _VOLTAGE
PROTECTION["device_voltage_low.polarised"] = replace(
    _VOLTAGE,
    title=msg("Breaker with a direction, fed from both sides"),
    found=msg("This breaker has a direction, and current can come from either side of it."),
    limit=msg("It breaks {highest_v} in one direction only."),
    do=msg("Fit a fuse, or a breaker without polarity."),
)
