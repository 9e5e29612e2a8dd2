"""The command line: reads the verb, calls its file, turns errors into exit codes. Nothing heavy is imported here.

Exit codes: 0 done · 1 a danger that nobody has accepted · 2 bad spec · 3 usage · 4 environment ·
5 an archive is not intact.
"""

import argparse
import contextlib
import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from proposal.errors import ProposalError, SpecError

# Matrices here have a hundred rows: threads cost ten times what they bring, and one gives the same bytes anywhere.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# A plugin of pydantic's that happens to be installed must not change what is read; looking for some costs 6 ms.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

VERBS = {
    "new": "start a project folder with a commented spec that builds as it stands",
    "check": "validate, calculate and list the findings",
    "build": "publish the offline site and the PDF",
    "serve": "build, show the site, and build again as the spec is saved",
    "record": "write the draft of the next entry of a vessel's record",
    "yard": "index all projects and seals of a folder: status, parts in use, what is open or overdue",
    "diff": "tell what is otherwise between two states of a vessel",
    "seal": "make the archive of a record, which nobody can change unnoticed",
    "verify": "tell whether a sealed record is intact, who signed it, and whether its chain is whole",
    "rules": "list every check with its severity, limit and source",
    "schema": "write the JSON Schema of spec, installer file, price book or results",
}
USAGE = 3
MACHINE = 4
INTERRUPTED = 130
OBJECTS_BETWEEN_COLLECTIONS = 200_000
"""Nearly everything that a run makes lives to its end: collecting rarely saves a tenth, and a quarter of a PDF."""


class _Parser(argparse.ArgumentParser):
    """A parser whose mistakes end in the documented exit code."""

    def error(self, message: str) -> None:  # type: ignore[override]  # argparse declares NoReturn; exit() raises
        self.print_usage(sys.stderr)
        self.exit(USAGE, f"{self.prog}: {message}\n")


def parser() -> argparse.ArgumentParser:
    """The whole command line; each verb's own file adds its arguments."""
    top = _Parser(prog="proposal", description="Proposals for extra-low-voltage DC battery systems, from one file.")
    top.add_argument("--version", action="store_true", help="print the version and stop")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", parser_class=_Parser)
    for verb, says in VERBS.items():
        own = verbs.add_parser(verb, help=says, description=says)
        import_module(f"proposal.cli.{verb}").arguments(own)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code. Never a traceback for what a user can mend."""
    arguments = parser().parse_args(argv)
    if arguments.version:
        from proposal import __version__

        print(__version__)
        return 0
    if arguments.verb is None:
        parser().print_help(sys.stderr)
        return USAGE
    try:
        return int(import_module(f"proposal.cli.{arguments.verb}").run(arguments))
    except SpecError as error:
        for problem in error.problems:
            print(problem, file=sys.stderr)
        count = len(error.problems)
        print(f"{count} problem{'s' if count > 1 else ''}; nothing was written", file=sys.stderr)
        return error.exit_code
    except (ProposalError, OSError) as error:
        return _refused(error)
    except KeyboardInterrupt:
        return INTERRUPTED


def _refused(error: ProposalError | OSError) -> int:
    """Say why it cannot be done; an OSError is the machine's no, for example a full disk behind the output."""
    # whoever closed the pipe has seen enough and needs no word
    if not isinstance(error, BrokenPipeError):
        with contextlib.suppress(OSError):
            print(f"proposal: {error}", file=sys.stderr)
    return error.exit_code if isinstance(error, ProposalError) else MACHINE


def run() -> None:
    """Entry point of the console script."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="replace")
    gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS)
    code = main()
    gc.freeze()  # else Python looks through all of it once more at its end
    try:
        sys.stdout.flush()
    except OSError as error:
        code = code if code == MACHINE else _refused(error)
        # Python flushes once more at its end and would print a traceback
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(code)
