"""Rows of what was fitted, and of what is not as it was proposed."""

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from proposal.errors import Problem
from proposal.reading import Loc
from proposal.results.evaluate import Evaluated
from proposal.results.model import OptionResult
from proposal.results.record_model import DeviationRow, FittedRow, ItemKind
from proposal.results.rows import nearest
from proposal.spec.loading import Project
from proposal.spec.record import Change, FittedItem
from proposal.spec.recorded import Record, RecordEntry


def known_items(made: Evaluated) -> dict[str, tuple[ItemKind, str]]:
    """Kind and title of every item of the one circuit of `made`, by key; circuits (loads.fridge) among them."""
    (circuit,) = made.circuits.values()
    titles = circuit.title
    found: dict[str, tuple[ItemKind, str]] = {}

    def add(key: str, kind: ItemKind, title: str = "") -> None:
        found.setdefault(key, (kind, title or nearest(titles, key)))

    for bank in circuit.banks:
        for string in bank.strings:
            add(string, "battery", bank.title)
        add(bank.key, "battery", bank.title)
    for source in circuit.sources:
        add(source.key, "source", source.title)
    for converter in circuit.converters:
        add(converter.key, "source")
    for load in circuit.loads:
        add(load.key, "load", load.title)
    for controller in circuit.controllers:
        add(controller.key, "controller")
    for device in circuit.devices:
        add(device.key, "device", titles.get(device.circuit, ""))
    for bus in circuit.buses:
        add(bus.key, "device", bus.title)
    for conductor in circuit.conductors:
        add(conductor.key, "conductor", titles.get(conductor.circuit, ""))
    if circuit.starter is not None:
        add(circuit.starter.key, "other", circuit.starter.title)
    for key, title in titles.items():
        add(key, "other", title)
    return found


def item_complaints(record: Record, made: Evaluated) -> Iterator[Problem]:
    """Items named by the last state of a record that the vessel does not have.

    What an entry says of an item that a later entry removed stays right: only names that no entry ever fitted, and
    that are none of today's, are complained about.
    """
    known = known_items(made)
    removed = tuple(f"{c.at}." for e in record.entries for c in e.value.changes if c.removed)
    removed += tuple(prefix.rstrip(".") for prefix in removed)

    def wrong(entry: RecordEntry, loc: Loc, key: str) -> Iterator[Problem]:
        if key and key not in known and not key.startswith(removed or ("\0",)):
            near = difflib.get_close_matches(key, known, n=3)
            yield entry.problem(loc, f"the vessel has no item {key!r}", " or ".join(near) or "an item's key")

    for entry in record.entries:
        made_entry = entry.value
        for key in made_entry.fitted:
            yield from wrong(entry, ("fitted", key), key)
        for name in ("photos", "measured"):
            for number, part in enumerate(getattr(made_entry, name)):
                yield from wrong(entry, (name, number, "item"), part.item)
        for defect_id, defect in made_entry.defects.items():
            yield from wrong(entry, ("defects", defect_id, "item"), defect.item)


def latest_fitted(record: Record) -> dict[str, tuple[RecordEntry, FittedItem]]:
    """What is said of each item, by the entry that said it last."""
    found: dict[str, tuple[RecordEntry, FittedItem]] = {}
    for entry in record.entries:
        for change in entry.value.changes:
            if change.removed:
                found = {key: said for key, said in found.items() if not f"{key}.".startswith(f"{change.at}.")}
        for key, item in entry.value.fitted.items():
            found[key] = (entry, item)
    return found


def fitted_rows(record: Record, made: Evaluated) -> tuple[FittedRow, ...]:
    """One row for each item that the record names, in the order of the circuit; a battery says which part it is."""
    known = known_items(made)
    said = latest_fitted(record)
    option = made.results.options[0]
    (circuit,) = made.circuits.values()
    parts = _parts(option) | {b.key: (b.part_id, b.part.title) for b in circuit.batteries}
    rows = []
    for key, (kind, title) in known.items():
        if key not in said:
            continue
        entry, item = said[key]
        part, part_title = parts.get(key, (item.part or "", ""))
        rows.append(
            FittedRow(
                item=key,
                designation=made.designations.get(key, ""),
                title=title,
                kind=kind,
                part=part,
                part_title=part_title,
                serial=item.serial,
                firmware=item.firmware,
                settings=tuple(item.settings.items()),
                route_as_run=item.route_as_run,
                fitted_on=(item.fitted_on or entry.value.date).isoformat(),
                note=item.note,
                entry=entry.number,
            )
        )
    return tuple(rows)


def deviation_rows(
    record: Record, proposed: Project, before: OptionResult, after: OptionResult, names: Mapping[str, str]
) -> tuple[DeviationRow, ...]:
    """Everything that is not as proposed: parts and sizes by comparison, values of the spec as the entries say.

    Parameters: before, the chosen option as proposed; after, as fitted; names, designations by key.
    """
    said = latest_fitted(record)
    was, now = _parts(before), _parts(after)
    titles = {c.key: c.title for c in after.conductors} | {d.key: d.title for d in after.devices}
    rows = []
    sizes = {c.key: c.size for c in (*before.conductors, *after.conductors)}
    for key, (part, part_title) in now.items():
        old, old_title = was.get(key, ("", ""))
        same_size = key in sizes and _size_of(before, key) == _size_of(after, key)
        if old == part or same_size:
            continue
        entry, item = said.get(key, (None, None))
        because = item.because if item is not None else ""
        number = entry.number if entry is not None else 1
        row = DeviationRow("part", key, names.get(key, ""), titles[key], old, part, because, number)
        rows.append(replace(row, proposed_title=old_title, fitted_title=part_title))
    rows += [
        DeviationRow("value", c.at, "", "", _told(_at(proposed, c.at)), _now(c), c.because, entry.number)
        for entry in record.entries
        for c in entry.value.changes
    ]
    return tuple(rows)


def _parts(option: OptionResult) -> dict[str, tuple[str, str]]:
    """Part and its title by item; of a conductor its size."""
    found = {c.key: (c.part_id or c.size, c.size) for c in option.conductors}
    return found | {d.key: (d.part_id or "", d.part_title) for d in option.devices}


def _size_of(option: OptionResult, key: str) -> str:
    return next((c.size for c in option.conductors if c.key == key), "")


def _at(proposed: Project, path: str) -> Any:
    """What the proposed spec says at a path, as it stands in the file; None: nothing."""
    here: Any = proposed.spec.root
    for part in path.split("."):
        if isinstance(here, dict) and part in here:
            here = here[part]
        elif isinstance(here, list | tuple) and part.isdecimal() and 0 < int(part) <= len(here):
            here = here[int(part) - 1]
        else:
            return None
    return here


def _told(value: Any) -> str:
    """A value, list or section of a file in one line."""
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_told(inner)}" for key, inner in value.items())
    if isinstance(value, list | tuple):
        return "; ".join(_told(inner) for inner in value)
    return "" if value is None else str(value)


def _now(change: Change) -> str:
    return "" if change.removed else _told(change.add if change.add is not None else change.now)
