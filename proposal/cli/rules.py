"""`proposal rules`: every check with its severity, what it looks for, its limit, and where the rule stands."""

import argparse
import sys


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print the checks as one JSON object")
    form.add_argument("--page", action="store_true", help="print them as a page of Markdown")


def run(arguments: argparse.Namespace) -> int:
    """Print all checks."""
    from proposal.book.rulebook import rulebook, rules_listing, rules_page

    rules = rulebook()
    if arguments.json:
        from proposal.codes import FAMILIES
        from proposal.results.codec import to_json

        families = {known.id: {"title": known.title, "edition": known.edition} for known in FAMILIES.values()}
        sys.stdout.write(to_json({"families": families, "rules": rules}))
    else:
        sys.stdout.write(rules_page(rules) if arguments.page else rules_listing(rules))
    return 0
