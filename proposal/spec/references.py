"""Names in a spec that must be found elsewhere in it, and combinations that make no sense.

Works on the tree as it was read, before any model is built, so that these faults are reported together with all others.
"""

from collections.abc import Iterator, Mapping
from typing import Any

Complaint = tuple[tuple[str | int, ...], str, str]
"""Where (path of names), what is wrong, what is allowed."""

LINKS_NEEDED = {
    "one_bank": (),
    "house_and_starter": ("vsr",),
    "lead_and_lithium": ("contactor",),
    "lead_and_lithium_with_starter": ("contactor", "vsr"),
    "lithium_with_dc_dc": ("dc_dc",),
    "composed": ("composition",),
}
BANKS_NEEDED = {
    "one_bank": 1,
    "house_and_starter": 2,
    "lead_and_lithium": 2,
    "lead_and_lithium_with_starter": 3,
    "lithium_with_dc_dc": 2,
}
NEEDS_ENGINE = ("house_and_starter", "lead_and_lithium_with_starter", "lithium_with_dc_dc")


def _section(tree: Any, *path: str) -> Mapping[str, Any]:
    for name in path:
        tree = tree.get(name) if isinstance(tree, Mapping) else None
    return tree if isinstance(tree, Mapping) else {}


def _missing(loc: tuple[str | int, ...], name: Any, known: Mapping[str, Any], section: str) -> Iterator[Complaint]:
    """Silent where nothing stands under the section: that it is missing or misspelt is reported already."""
    if isinstance(name, str) and known and name not in known:
        yield loc, f"“{name}” is not one of the names under {section}", ", ".join(sorted(known))


def complaints(tree: Any) -> Iterator[Complaint]:
    """Every reference in the spec's tree that leads nowhere, and every option whose sections don't fit its arrangement.

    Parameters: tree, the nested dicts and texts of a spec as read. Yields (path, what, allowed).
    """
    routes, places, panels = _section(tree, "routes"), _section(tree, "climate", "places"), _section(tree, "panels")
    for name, route in _section(tree, "routes").items():
        yield from _missing(
            ("routes", name, "place"), _section({"r": route}, "r").get("place"), places, "climate.places"
        )
    for group in ("panels", "loads", "sources"):
        for name, entry in _section(tree, group).items():
            fields = _section({"e": entry}, "e")
            yield from _missing((group, name, "route"), fields.get("route"), routes, "routes")
            yield from _missing((group, name, "place"), fields.get("place"), places, "climate.places")
            yield from _missing((group, name, "panel"), fields.get("panel"), panels, "panels")
            if group == "loads" and "panel" in fields and not panels:
                yield (group, name, "panel"), "there is no panel in this spec", "a section `panels`, or no `panel` here"
    engine = _section(tree, "engine")
    yield from _missing(("engine", "route"), engine.get("route"), routes, "routes")
    for name, entry in _section(tree, "options").items():
        option = _section({"e": entry}, "e")
        for source in _section(option, "settings"):
            sources = _section(tree, "sources")
            yield from _missing(("options", name, "settings", source), source, sources, "sources")
        for loc, what, allowed in _option(option, routes, places, has_engine=bool(engine)):
            yield ("options", name, *loc), what, allowed


def _option(
    option: Mapping[str, Any], routes: Mapping[str, Any], places: Mapping[str, Any], *, has_engine: bool
) -> Iterator[Complaint]:
    banks = _section(option, "banks")
    for name, entry in banks.items():
        bank = _section({"e": entry}, "e")
        yield from _missing(("banks", name, "route"), bank.get("route"), routes, "routes")
        yield from _missing(("banks", name, "place"), bank.get("place"), places, "climate.places")
    for role in ("house", "start"):
        yield from _missing((role,), option.get(role), banks, "this option's banks")
    for link in ("vsr", "dc_dc"):
        yield from _missing((link, "route"), _section(option, link).get("route"), routes, "routes")
    arrangement = option.get("arrangement")
    if isinstance(arrangement, str) and arrangement in LINKS_NEEDED:
        yield from _arrangement(option, arrangement, len(banks), has_engine=has_engine)
    yield from _composition(_section(option, "composition"), banks, routes)


def _arrangement(
    option: Mapping[str, Any], arrangement: str, bank_count: int, *, has_engine: bool
) -> Iterator[Complaint]:
    for section in LINKS_NEEDED[arrangement]:
        if section not in option:
            yield (), f"the arrangement {arrangement} needs a section `{section}`", f"`{section}:` in this option"
    for section in ("contactor", "vsr", "dc_dc", "composition"):
        if section in option and section not in LINKS_NEEDED[arrangement]:
            uses = ", ".join(LINKS_NEEDED[arrangement]) or "no link section"
            yield (section,), f"the arrangement {arrangement} has no `{section}`", uses
    wanted = BANKS_NEEDED.get(arrangement)
    if wanted is not None and bank_count and bank_count != wanted:
        yield ("banks",), f"the arrangement {arrangement} joins {wanted} bank(s), here are {bank_count}", str(wanted)
    if arrangement in NEEDS_ENGINE and not has_engine:
        yield (
            ("arrangement",),
            f"{arrangement} has a starter battery, but the spec has no engine",
            ("one_bank, lead_and_lithium or composed"),
        )


def _composition(
    composition: Mapping[str, Any], banks: Mapping[str, Any], routes: Mapping[str, Any]
) -> Iterator[Complaint]:
    if not composition:
        return
    buses = _section(composition, "buses")
    landed = _section(composition, "banks")
    for name, entry in landed.items():
        here = ("composition", "banks", name)
        yield from _missing(here, name, banks, "this option's banks")
        yield from _missing((*here, "bus"), _section({"e": entry}, "e").get("bus"), buses, "composition.buses")
    for name in banks:
        if name not in landed:
            yield ("composition", "banks"), f"bank “{name}” lands on no bus", f"`{name}: {{bus: …}}`"
    for name, entry in _section(composition, "links").items():
        here = ("composition", "links", name)
        link = _section({"e": entry}, "e")
        yield from _missing((*here, "from"), link.get("from"), buses, "composition.buses")
        yield from _missing((*here, "to"), link.get("to"), buses, "composition.buses")
        yield from _missing((*here, "route"), link.get("route"), routes, "routes")
        if isinstance(link.get("to"), str) and link.get("to") == link.get("from"):
            others = ", ".join(bus for bus in buses if bus != link.get("to"))
            yield (*here, "to"), "the link ends on the bus that it starts from", others or "a second bus to link to"
    yield from _missing(("composition", "starter"), composition.get("starter"), buses, "composition.buses")
    sides = [str(_section({"b": bus}, "b").get("side")) for bus in buses.values()]
    if buses and sides.count("house") != 1:
        yield ("composition", "buses"), "exactly one bus must have `side: house`", "`side: house` on one bus"
    if sides.count("start") > 1:
        yield ("composition", "buses"), "at most one bus may have `side: start`", "`side: start` on one bus"
