"""Printed designations (F3, W12): letters of IEC 81346, numbers from a ledger to which lines are only ever added."""

from collections.abc import Iterable, Mapping

from proposal.circuit.model import Circuit

LETTERS = {
    "battery": "G", "solar": "G", "alternator": "G", "wind": "G", "shore": "T", "generator": "T", "converter": "T",
    "fuse": "F", "switch": "Q", "contactor": "Q", "vsr": "K", "controller": "K", "shunt": "B", "bus": "X",
    "conductor": "W", "load": "E", "motor": "M", "inverter": "T",
}  # fmt: skip
"""Letter by kind of item (IEC 81346-2, classes by purpose)."""


def designated_items(circuit: Circuit) -> list[tuple[str, str]]:
    """Key and letter of every item that gets a designation, in the order of the circuit."""
    items = [(b.key, LETTERS["battery"]) for b in circuit.batteries]
    items += [(b.key, LETTERS["bus"]) for b in circuit.buses]
    items += [(d.key, LETTERS[d.kind]) for d in circuit.devices]
    items += [(c.key, LETTERS["controller"]) for c in circuit.controllers]
    items += [(s.key, LETTERS[s.kind]) for s in circuit.sources]
    items += [(c.key, LETTERS["converter"]) for c in circuit.converters]
    items += [(x.key, LETTERS["inverter"] if x.inverter_id else LETTERS["load"]) for x in circuit.loads]
    items += [(circuit.starter.key, LETTERS["motor"])] if circuit.starter is not None else []
    items += [(c.key, LETTERS["conductor"]) for c in circuit.conductors]
    return items


def assign(ledger: Mapping[str, str], circuits: Iterable[Circuit]) -> dict[str, str]:
    """Designations of all items of all options: those in the ledger stay, new ones get the next free numbers.

    Parameters: ledger, designation by key. Returns designation by key, the ledger's first, new ones in order.
    An item that stands in several options has one key and so one designation.
    """
    known = dict(ledger)
    highest: dict[str, int] = {}
    for designation in known.values():
        letter, number = designation[:1], designation[1:]
        if number.isdigit():
            highest[letter] = max(highest.get(letter, 0), int(number))
    for circuit in circuits:
        for key, letter in designated_items(circuit):
            if key not in known:
                highest[letter] = highest.get(letter, 0) + 1
                known[key] = f"{letter}{highest[letter]}"
    return known


def parse_ledger(text: str) -> tuple[dict[str, str], list[tuple[int, str]]]:
    """Read a ledger: one line `F3 loads.fridge.fuse` for each item; empty lines and lines with # are passed over.

    Returns designation by key, and (line number, what is wrong) for each line that cannot be taken.
    """
    known: dict[str, str] = {}
    wrong: list[tuple[int, str]] = []
    used: dict[str, str] = {}
    for number, line in enumerate(text.splitlines(), 1):
        words = line.split()
        if not words or words[0].startswith("#"):
            continue
        if len(words) != 2 or not _is_designation(words[0]):
            wrong.append((number, "is not a designation and a key, such as F3 loads.fridge.fuse"))
            continue
        designation, key = words
        if key in known or designation in used:
            wrong.append((number, f"names {key if key in known else designation} a second time"))
            continue
        known[key] = designation
        used[designation] = key
    return known, wrong


def _is_designation(word: str) -> bool:
    return word[0].isascii() and word[0].isupper() and word[1:].isascii() and word[1:].isdigit() and len(word) <= 7


def ledger_lines(ledger: Mapping[str, str], designations: Mapping[str, str]) -> str:
    """The lines to add to a ledger for the designations that it does not know yet."""
    return "".join(f"{name} {key}\n" for key, name in designations.items() if key not in ledger)
