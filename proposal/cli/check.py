"""`proposal check`: validate, calculate and list the findings."""

import argparse
import sys

from proposal.cli.switches import days_switch, stage_switch

DANGER_FOUND = 1


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("project", help="project folder, for example projects/marram")
    parser.add_argument("--json", action="store_true", help="print every result as one JSON object")
    days_switch(parser)
    stage_switch(parser)


def simulating(title: str) -> None:
    """Show on a terminal whose days are next, in one line that is written over; no title: leave the line clean."""
    if sys.stderr.isatty():
        text = f"simulating days: {title}"[:100] if title else ""
        print(f"\r\033[K{text}", end="", file=sys.stderr, flush=True)


def run(arguments: argparse.Namespace) -> int:
    """Print findings, or all results; 1 if a danger fires that nobody has accepted, or hinders what was fitted."""
    from proposal.cli.days import days_of
    from proposal.cli.project import compute
    from proposal.results.finding_model import is_open_danger

    days = None if arguments.without_days else days_of(simulating)
    try:
        # the listing shows findings alone: what only pages show is not computed
        made = compute(arguments.project, sheets=arguments.json, days=days, as_proposed=arguments.as_proposed)
        results = made.evaluated.results
    finally:
        simulating("")
    if arguments.json:
        from proposal.results.codec import to_json

        sys.stdout.write(to_json(results))
    else:
        from proposal.book.listing import findings_listing

        sys.stdout.write(findings_listing(results))
    dangers = any(is_open_danger(f) for option in results.options for f in option.findings)
    hindered = results.record is not None and results.record.hindrances
    return DANGER_FOUND if dangers or hindered else 0
