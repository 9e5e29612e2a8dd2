"""The formulas behind the numbers, each with what goes in and where it comes from."""

from proposal.book.language import msg
from proposal.frozen import frozen
from proposal.sources import Citation


@frozen
class Formula:
    """What is calculated, the formula as text, what goes in, and its source."""

    what: str
    formula: str
    inputs: str
    citation: Citation
    of_price: bool = False
    """Is about money, which a record does not tell of."""


_PHYSICS = Citation("physics", "", "definition")
_PRACTICE = Citation("common_practice", "", "common practice")

FORMULAS = (
    Formula(
        msg("Resistance of a conductor"),
        "R = r₂₀ · l · (1 + α · (θ − 20 °C))",
        msg("resistance per metre of its size, measured length of that one conductor, temperature of the case"),
        Citation("iec60228", "", "corroborated"),
    ),
    Formula(
        msg("Temperature of a conductor"),
        "θ = θ_place + (θ_insulation − θ_place) · (I / I_z)²",
        msg(
            "current of each case that lasts, what the conductor may carry at its place and in its bundle; never above "
            "the limit of its insulation, and the cold of the place for a start, which takes seconds"
        ),
        Citation("iec60287", "rise in proportion to the heat", "common practice"),
    ),
    Formula(
        msg("What a conductor may carry"),
        "I_z = I_table · f_temperature · f_bundle",
        msg("table of the rule family, hottest temperature of the place, conductors that run together"),
        Citation("common_practice", "the rule family's own tables", "common practice"),
    ),
    Formula(
        msg("Currents and voltages"),
        "G · U = I",
        msg(
            "every conductor, device and battery of both poles; loads as constant current or constant power; charge "
            "sources up to their voltage"
        ),
        _PHYSICS,
    ),
    Formula(
        msg("Voltage lost on the way"),
        "ΔU = U_post − U_load",
        msg("the best battery post that gives current, and the load's own terminals, both from the solved network"),
        _PHYSICS,
    ),
    Formula(
        msg("Highest short-circuit current"),
        "I_k = U₀ / R_inside",
        msg("all sources feeding, batteries full and warm, nine tenths of a battery's resistance, conductors at 20 °C"),
        _PHYSICS,
    ),
    Formula(
        msg("First peak and settled current of the same"),
        "i_p = 1.05 · U_n / (0.9 · R_B + R_L); I = 0.95 · 1.05 · U_n / (R_B + R_L)",
        msg("nominal voltage and resistance of the batteries, resistance of the way; from memory, decides nothing"),
        Citation("iec61660_1", "battery clause", "from memory"),
    ),
    Formula(
        msg("Least short-circuit current"),
        "I_k,min = U₂₀ / (1.5 · k_cold · R_B + R_L,hot)",
        msg(
            "one bank alone at a fifth of its charge and the coldest of its place, aged; conductors at their "
            "insulation's limit; the end of the conductor away from the fuse"
        ),
        _PRACTICE,
    ),
    Formula(
        msg("First current at joining"),
        "i₀ = ΔU / ΣR",
        msg("voltages of both sides before, resistance of the whole loop with the relay closed"),
        _PHYSICS,
    ),
    Formula(
        msg("Rating of a fuse"),
        "I_smallest ≤ I_n ≤ I_largest",
        msg(
            "largest current through it, least ampacity that it guards, rule of the family; its class by voltage and "
            "short circuit"
        ),
        Citation("common_practice", "the rule family's own fuse rule", "common practice"),
    ),
    Formula(
        msg("Inrush of a motor at rest"),
        "I = U₀ / (R_inside + U_n / I_stated), at least I_stated",
        msg("batteries full, warm and joined; the inrush as stated at nominal voltage; it divides as the network does"),
        _PRACTICE,
    ),
    Formula(
        msg("What a start may be"),
        "I ≤ ⅔ · I_melts(t)",
        msg("the maker's curve at the time that the start lasts; below its rating a fuse carries it without end"),
        _PRACTICE,
    ),
    Formula(
        msg("How long a conductor stands a short circuit"),
        "t = (k · S / I)²",
        msg("k by insulation class and compound, area, short-circuit current; for seconds, without heat that leaves"),
        Citation("iec60364_5_54", "k of copper in its insulation", "corroborated"),
    ),
    Formula(
        msg("k where no table has it"),
        "k = 226 · √ln((θ_end + 234.5) / (θ_class + 234.5))",
        msg("temperature class of the insulation, temperature at the end that its compound usually bears"),
        Citation("iec60364_5_54", "formula of k", "corroborated"),
    ),
    Formula(
        msg("Heat that leaves meanwhile"),
        "ε² = 1 + X · √(t / S) + Y · t / S",
        msg("constants by compound; from memory, so what it alone would save stays undecided"),
        Citation("iec60949", "non-adiabatic factor", "from memory"),
    ),
    Formula(
        msg("Two fuses in series"),
        "t_melts,inner(s · I) > t_clears,outer(I)",
        msg("at every current up to the highest behind the outer one; s is the share that flows in the inner one"),
        _PRACTICE,
    ),
    Formula(
        msg("Usable charge of a bank"),
        "Q_usable = Q_rated · s_usable · s_cold",
        msg("rated capacity, share that can be used without wear, share that is left at the coldest of its place"),
        _PRACTICE,
    ),
    Formula(
        msg("A day's balance"),
        "W = W_sources + W_engine − W_loads − W_losses",
        msg("hours and duty of each load, full-sun hours of the season, hours of the other sources"),
        _PRACTICE,
    ),
    Formula(
        msg("Days without charge"),
        "t = W_usable / W_day",
        msg("usable energy of the banks, use on a day of the tightest season"),
        _PRACTICE,
    ),
    Formula(
        msg("Hours to charge"),
        "t = Q / (η · (I_source − I_loads))",
        msg("charge to refill, lasting current of the source, mean current of the loads, charge efficiency"),
        _PRACTICE,
    ),
    Formula(
        msg("Voltage at the starter"),
        "U_starter = U_bank − I · R_loop",
        msg("cranking current, cold batteries not quite full, conductors and switch of the starter"),
        _PHYSICS,
    ),
    Formula(
        msg("Amount of a price line"),
        msg("quantity × unit price, rounded once"),
        msg("the installer's price book and hourly rate"),
        Citation("arithmetic", "", "definition"),
        of_price=True,
    ),
)
