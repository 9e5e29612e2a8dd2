"""The words on the drawings: title block, legend, patterns of quantities, and what a picture says in words."""

from proposal.book.language import Language, msg

SHEET_WORDS = {
    "decimal_mark": ".",
    "ampere": msg("{value} A"),
    "ampere_hour": msg("{value} Ah"),
    "volt": msg("{value} V"),
    "metre": msg("{value} m"),
    "area": msg("{size} ({value} mm²)"),
    "negative_size": msg("negative {size}"),
    "string_of": msg("{count} × {what}"),
    "joins": msg("joins {value}"),
    "releases": msg("parts {value}"),
    "flooded": msg("lead, vented"),
    "agm": msg("lead, AGM"),
    "gel": msg("lead, gel"),
    "lithium": msg("lithium"),
    "bus_main": msg("Main bus"),
    "bus_start": msg("Start bus"),
    "bus_panel": msg("Panel"),
    "bus_bank": msg("Bank"),
    "bus_unswitched": msg("Always on"),
    "continues_on": msg("continues on sheet {sheet}"),
    "continues_below": msg("continues below"),
    "continued_above": msg("{bar}, from above"),
    "continued_from": msg("{bar}, from sheet {sheet}"),
    "to_bar": msg("to {bar}"),
    "from_bar": msg("from {bar}"),
    "negative_of": msg("negative of {bar}"),
    "controller": msg("Contactor controller"),
    "note": msg(
        "Every circuit has two conductors; the negative has the size of the positive unless the drawing says "
        "otherwise."
    ),
    "description": msg(
        "Single-line drawing of {title}. Batteries: {batteries}. Charged by: {sources}. They feed: {loads}."
    ),
    "owner": msg("Made by"),
    "number": msg("Number"),
    "revision": msg("Revision"),
    "date": msg("Date"),
    "sheet": msg("Sheet"),
    "creator": msg("Surveyed by"),
    "approver": msg("Approved by"),
    "document_type": msg("Kind"),
    "document_type_name": msg("Single-line drawing"),
    "legend_battery": msg("Battery"),
    "legend_fuse": msg("Fuse"),
    "legend_switch": msg("Switch, by hand"),
    "legend_contactor": msg("Contactor"),
    "legend_vsr": msg("Voltage-sensitive relay"),
    "legend_shunt": msg("Shunt with meter"),
    "legend_dc_dc": msg("DC-DC charger"),
    "legend_controller": msg("Controller"),
    "legend_load": msg("Load"),
    "legend_motor": msg("Motor"),
    "legend_inverter": msg("Inverter"),
    "legend_solar": msg("Solar array with controller"),
    "legend_alternator": msg("Alternator"),
    "legend_shore": msg("Mains charger"),
    "legend_generator": msg("Generator with charger"),
    "legend_wind": msg("Wind generator"),
    "legend_negative": msg("Negative"),
    "legend_reference": msg("Goes on elsewhere in the drawing"),
    "picture_sun": msg("Sun"),
    "picture_engine": msg("Engine"),
    "picture_shore": msg("Shore power"),
    "picture_generator": msg("Generator"),
    "picture_wind": msg("Wind"),
    "picture_loads": msg("All loads"),
    "picture_starter": msg("Starts the engine"),
    "picture_description": msg(
        "How power flows in {title}: from what charges it, through the batteries, to what uses it."
    ),
    "picture_contactor": msg("joined by a contactor"),
    "picture_vsr": msg("joined while charging"),
    "picture_dc_dc": msg("charged through a DC-DC charger"),
    "picture_switch": msg("joined by a switch"),
    "picture_conductor": msg("joined by a cable"),
    "picture_to": msg("{link}, to {bus}"),
    "picture_energy": msg("{value} kWh"),
    "picture_a_day": msg("a day"),
    "picture_more": msg("{first} and {count} more"),
}


def sheet_labels(language: Language, decimal_mark: str = ".") -> dict[str, str]:
    """All words of the drawings in a language; `decimal_mark` as the locale writes it."""
    return {key: language.text(word) for key, word in SHEET_WORDS.items()} | {"decimal_mark": decimal_mark}
