"""`proposal serve`: build, show the site, and build again as the spec is saved; the page reloads itself."""

import argparse
import sys
from pathlib import Path

from proposal.cli.switches import days_switch, stage_switch

PORT = 8017


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("project", help="project folder, for example projects/marram")
    parser.add_argument("--port", type=int, default=PORT, help=f"port on this machine (default: {PORT})")
    days_switch(parser)
    stage_switch(parser)
    parser.add_argument("--out", metavar="DIR", default=None, help="where to publish (default: output/ in the project)")


def run(arguments: argparse.Namespace) -> int:
    """Serve until stopped. A bad spec is reported and the last good pages stay."""
    from proposal.cli.build import Progress, publish
    from proposal.cli.project import folder_of
    from proposal.cli.watching import Server
    from proposal.errors import ProposalError

    folder = folder_of(arguments.project)
    days, as_proposed = not arguments.without_days, arguments.as_proposed

    def build() -> tuple[Path, str | None]:
        progress = Progress(quiet=False, days=days)
        return publish(arguments.project, arguments.out, progress, as_proposed=as_proposed, packs=False)

    out, missing = build()
    if missing is not None:
        print(f"PDF not made: {missing}", file=sys.stderr)

    def again() -> bool:
        try:
            build()
        except (ProposalError, OSError) as error:
            print(error, file=sys.stderr)
            print("the last good pages stay", file=sys.stderr)
            return False
        return True

    server = Server(out, arguments.port)
    print(f"open {server.address} · stop with Ctrl-C")
    try:
        server.serve_until_stopped([folder, folder.parent], again)
    except KeyboardInterrupt:
        print()
    return 0
