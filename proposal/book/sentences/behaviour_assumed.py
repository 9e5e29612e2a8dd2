"""Words for what the days rest on and nobody stated, by code."""

from proposal.book.language import msg

ASSUMED = {
    "battery_rest": msg("{item}: voltage at rest by charge, of its chemistry ({chemistry})."),
    "battery_cold_capacity": msg("{item}: what it holds in the cold, of its chemistry ({chemistry})."),
    "battery_polarisation": msg(
        "{item}: after a change its voltage settles in a fast part, within {fast_s}, and a slow one, within {slow_s}."
    ),
    "battery_peukert": msg("{item}: gives less when drawn on hard, with an exponent of {exponent}."),
    "battery_charge_efficiency": msg(
        "{item}: of what is charged {low_share} stays while it is low, {high_share} when it is nearly full."
    ),
    "battery_full": msg("{item}: counts as full at {full_v} with less than {tail_share} of its capacity flowing."),
    "battery_resistance": msg("{item}: resistance of a battery of {resistance_ohm}."),
    "battery_charge_limit": msg("{item}: a battery takes {current_a} at the most."),
    "battery_self_discharge": msg("{item}: loses {share_per_month} of its charge in a month by itself."),
    "battery_taper": msg("{item}: takes less from {charge_share} of its charge on, or from {cell_v} a cell."),
    "battery_surface_charge": msg(
        "{item}: stands above its rest after charging by {share} of what charging took; it dies away in {slow_s}."
    ),
    "battery_cold_charging": msg("{item}: takes half for every {halves_k} K colder."),
    "battery_gassing": msg("{item}: gasses with {current_a} at {cell_v} a cell."),
    "battery_sulphation": msg(
        "{item}: loses {share_per_day} of its capacity a day while below {below_share}, from {after_days} after its "
        "last full charge on."
    ),
    "battery_hysteresis": msg("{item}: rests {width_v} apart after charging and after discharging."),
    "battery_releases": msg(
        "{item}: its management lets go again at {high_free_v} and {low_free_v}, and acts after {delay_s}."
    ),
    "battery_cell_spread": msg("{item}: its strongest cell runs ahead by {spread_v}."),
    "battery_cuts_above": msg("{item}: its management ends charging at {high_v}."),
    "battery_cuts_below": msg("{item}: its management ends discharging at {low_v}."),
    "battery_coldest_charge": msg("{item}: may be charged down to {coldest_c}."),
    "battery_separate_switches": msg("{item}: its management can end charging and go on giving current."),
    "battery_heater": msg("{item}: its heater takes {power_w}."),
    "holds": msg("{item}: after it has switched it stays so for {holds_s} at least."),
    "joins_below": msg("{item}: joins where the voltages differ by less than {joins_below_v}."),
    "joins_after_empty": msg("{item}: after it was empty it joins again at {joins_v}."),
    "alternator_speed": msg("{item}: runs at {share} of the speed at which it gives all it can."),
    "alternator_hot_after": msg("{item}: is hot after {hot_after_s}."),
    "engine_below": msg("{item}: the engine is run for charging below {share} of the charge."),
    "charger_float": msg("{item}: holds full batteries at {float_v}."),
    "charger_restart": msg("{item}: begins a new charge below {restart_v}."),
    "charger_absorption": msg("{item}: holds its charging voltage for {absorption_h} at the most."),
    "shore_hours": msg("{item}: is plugged in for {hours_h} a day."),
    "tolerances": msg(
        "Thresholds may be off by {threshold_v}, readings by {sensor_v}, a battery at rest by {rest_v}; together that "
        "is the margin below which an answer is uncertain."
    ),
    "times_of_day": msg("Loads of which nobody said when they run are spread over the waking hours."),
    "sun_above_clear_sky": msg(
        "{item}: the installer's {sun_h} of sun are more than a clear sky gives there, {clear_h}."
    ),
    "cloudy_spells": msg("{item}: dull and bright days come in spells, the season's mean kept."),
    "twelve_hour_day": msg("{item}: no place is stated, so the sun shines for half of each day."),
    "panel_lies": msg("{item}: lies at the slope and in the direction that are usual there."),
    "clear_sky_haze": msg("{item}: haze of a usual clear sky."),
    "wind_spells": msg("{item}: wind and calm come in spells, the mean kept."),
}
ASSUMED_OTHER = msg("{item}: a figure that nobody stated.")
LOADS = msg("All loads")
EVERYTHING = msg("The whole system")
