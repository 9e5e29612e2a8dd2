"""`proposal diff`: what is otherwise between two states of a vessel, electrically, in findings and in price."""

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from proposal.cli.switches import days_switch

if TYPE_CHECKING:
    from proposal.book.difference import Side
    from proposal.cli.states import State, Typed
    from proposal.results.difference_model import Difference


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    kinds = (
        "a project folder (as its record stands), PROJECT@proposal, PROJECT@N (after entry N), the folder or zip of a "
        "sealed record, or a results.json"
    )
    parser.add_argument("before", help=kinds)
    parser.add_argument("after", nargs="?", help="the same; left out: the project's record against its proposal")
    parser.add_argument("--option", metavar="ID", help="which option, where several are proposed and none was chosen")
    parser.add_argument("--json", action="store_true", help="print all that is otherwise as one JSON object")
    parser.add_argument("--out", metavar="DIR", help="publish it as a small site, with the marked drawings of both")
    days_switch(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print what is otherwise."""
    from proposal.cli.states import Typed, chosen, refuse_strangers, typed
    from proposal.errors import UsageError
    from proposal.spec.recorded import has_record

    first = typed(arguments.before)
    if arguments.after is None:
        recorded = first.kind == "archive" or (first.kind == "project" and has_record(first.path))
        if first.stage or not recorded:
            raise UsageError(f"{arguments.before!r} has no record to compare with its proposal: give two states")
        wanted = (Typed(first.text, first.path, "proposal", first.kind), first)
    else:
        wanted = (first, typed(arguments.after))
    before, after = _states(wanted, arguments.option, with_days=not arguments.without_days)
    refuse_strangers(before.results, after.results)
    option_before = chosen(before.results, after.results, arguments.option)
    option_after = chosen(after.results, before.results, arguments.option)
    from proposal.results.difference import differences

    found = differences(before.results, after.results, option_before, option_after)
    if arguments.json:
        from proposal.results.codec import to_json

        sys.stdout.write(to_json(found))
        return 0
    sides = (_side(before, option_before), _side(after, option_after))
    if arguments.out is None:
        from proposal.book.difference import difference_listing

        sys.stdout.write(difference_listing(found, *sides))
    else:
        print(f"site: {_publish(Path(arguments.out), found, *sides) / 'index.html'}")
    return 0


def _side(state: "State", option_id: str) -> "Side":
    from proposal.book.difference import Side

    return Side(state.results, option_id, state.said, state.circuits.get(option_id), state.designations)


def _publish(folder: Path, found: "Difference", before: "Side", after: "Side") -> Path:
    """Write the site: page and marked sheets, the difference as data and the results of both."""
    from proposal.book.difference import difference_book
    from proposal.files import write_tree
    from proposal.publish.site import render_site
    from proposal.results.codec import to_json

    book, drawings = difference_book(found, before, after)
    extra = {
        "difference.json": to_json(found).encode(),
        "before.json": to_json(before.results).encode(),
        "after.json": to_json(after.results).encode(),
    }
    write_tree(folder, render_site(book, drawings, extra))
    return folder


def _states(wanted: "tuple[Typed, Typed]", option: str | None, *, with_days: bool) -> "tuple[State, State]":
    """Both states.

    Files of results first: where one has no days, those of the other would only look like differences. Proposals last:
    once it is known which option the other side is about, only its days are simulated.
    """
    from proposal.cli.check import simulating
    from proposal.cli.days import days_of
    from proposal.cli.states import PROPOSAL, state_of

    made: dict[int, State] = {}
    order = sorted((0, 1), key=lambda n: (wanted[n].kind != "results", wanted[n].stage == PROPOSAL))
    try:
        for n in order:
            known = option or next(
                (s.results.options[0].id for s in made.values() if len(s.results.options) == 1), None
            )
            with_days = with_days and all(
                any(o.behaviour is not None for o in s.results.options) for s in made.values()
            )
            made[n] = state_of(wanted[n], days_of(simulating, known) if with_days else None)
    finally:
        simulating("")
    return made[0], made[1]
