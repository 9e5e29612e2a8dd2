"""Which family holds for a project: the spec's, the installer's, or the usual one; with the tables that he bought."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proposal.codes import FAMILIES, family, usual_family
from proposal.codes.family import Bought, RuleFamily
from proposal.spec.installer import BoughtTable, Installer
from proposal.spec.overlay import EffectiveSpec
from proposal.spec.project import Spec
from proposal.spec.references import Complaint

COOLEST_CLASS_C, HOTTEST_CLASS_C = 50, 250
"""Classes [°C] that a bought table may have a column for: no cable of this trade lies outside."""


def chosen_family(laid: EffectiveSpec, installer: Installer) -> RuleFamily:
    """The rules of one option, the installer's bought ampacities in place. Raises KeyError for an unknown id."""
    known = family(laid.family) if laid.family is not None else usual_family(laid.spec.vessel.kind)
    table = installer.bought_tables.get(known.id)
    return known if table is None else known.with_bought(bought(table))


def bought(table: BoughtTable) -> Bought:
    """A bought table as families take it."""
    cells = {(row.size.label, round(row.insulation_c)): row.current_a for row in table.ampacity}
    return Bought(table.edition, cells, table.fuse_share, table.fuse_distance_m, table.fuse_distance_sheathed_m)


def spec_complaints(spec: Spec) -> Iterator[Complaint]:
    """A spec that names rules that do not exist."""
    if spec.rules is not None:
        yield from _unknown(("rules",), spec.rules)


def installer_complaints(installer: Installer) -> Iterator[Complaint]:
    """Rules that do not exist, and bought tables that do not fit their family."""
    for kind in type(installer.rules).model_fields:
        named = getattr(installer.rules, kind)
        if named is not None:
            yield from _unknown(("rules", kind), named)
    for name, table in installer.bought_tables.items():
        yield from _unknown(("bought_tables", name), name)
        if name in FAMILIES:
            yield from _misfits(("bought_tables", name, "ampacity"), table, FAMILIES[name])


def _unknown(loc: tuple[str | int, ...], name: str, known: Mapping[str, RuleFamily] = FAMILIES) -> Iterator[Complaint]:
    if name not in known:
        yield loc, f"“{name}” is no rule family", ", ".join(known)


def _misfits(loc: tuple[str | int, ...], table: BoughtTable, known: RuleFamily) -> Iterator[Complaint]:
    seen: dict[tuple[str, float], int] = {}
    ladder = {size.label for size in known.sizes}
    for number, row in enumerate(table.ampacity):
        here = (*loc, number)
        if row.size.label not in ladder:
            span = f"a size from {known.sizes[0]} to {known.sizes[-1]}"
            yield (*here, "size"), f"{row.size} is not a size of {known.title}", span
        if row.insulation_c != round(row.insulation_c) or not COOLEST_CLASS_C <= row.insulation_c <= HOTTEST_CLASS_C:
            span = f"whole degrees from {COOLEST_CLASS_C} °C to {HOTTEST_CLASS_C} °C"
            yield (*here, "insulation"), f"{row.insulation_c:g} °C is no class of insulation", span
        if row.current_a <= 0.0:
            yield (*here, "current"), "a conductor of a table carries something", "a current above 0 A"
        first = seen.setdefault((row.size.label, row.insulation_c), number)
        if first != number:
            what = f"{row.size} at {row.insulation_c:g} °C stands here a second time, first in row {first + 1}"
            yield here, what, "one row for each size and class"
