"""`proposal diff`: what is otherwise between two states of a vessel, electrically, in findings and in price."""

import argparse
import sys
from typing import TYPE_CHECKING

from proposal.cli.switches import days_switch

if TYPE_CHECKING:
    from proposal.cli.states import State, Typed


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    kinds = "a project folder (as its record stands), PROJECT@proposal, PROJECT@N (after entry N), or a results.json"
    parser.add_argument("before", help=kinds)
    parser.add_argument("after", nargs="?", help="the same; left out: the project's record against its proposal")
    parser.add_argument("--option", metavar="ID", help="which option, where several are proposed and none was chosen")
    parser.add_argument("--json", action="store_true", help="print all that is otherwise as one JSON object")
    days_switch(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print what is otherwise."""
    from proposal.cli.states import Typed, chosen, refuse_strangers, typed
    from proposal.errors import UsageError
    from proposal.spec.recorded import has_record

    first = typed(arguments.before)
    if arguments.after is None:
        if first.is_file or first.stage or not has_record(first.path):
            raise UsageError(f"{arguments.before!r} has no record to compare with its proposal: give two states")
        wanted = (Typed(first.text, first.path, "proposal"), first)
    else:
        wanted = (first, typed(arguments.after))
    before, after = _states(wanted, with_days=not arguments.without_days)
    refuse_strangers(before.results, after.results)
    option_before = chosen(before.results, after.results, arguments.option)
    option_after = chosen(after.results, before.results, arguments.option)
    from proposal.results.difference import differences

    found = differences(before.results, after.results, option_before, option_after)
    if arguments.json:
        from proposal.results.codec import to_json

        sys.stdout.write(to_json(found))
        return 0
    from proposal.book.difference import Side, difference_listing

    sides = (
        Side(before.results, option_before, before.said), Side(after.results, option_after, after.said)
    )  # fmt: skip
    sys.stdout.write(difference_listing(found, *sides))
    return 0


def _states(wanted: "tuple[Typed, Typed]", *, with_days: bool) -> "tuple[State, State]":
    """Both states; files of results first: where one has no days, those of the other would look like differences."""
    from proposal.cli.days import days_of
    from proposal.cli.states import state_of

    made = {n: state_of(one, None) for n, one in enumerate(wanted) if one.is_file}
    with_days = with_days and all(o.behaviour is not None for s in made.values() for o in s.results.options)
    days = days_of() if with_days else None
    made |= {n: state_of(one, days) for n, one in enumerate(wanted) if n not in made}
    return made[0], made[1]
