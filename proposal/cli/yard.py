"""`proposal yard`: a searchable index over all projects and seals of a folder. Unchanged projects cost nothing."""

import argparse
import datetime
import sys

MOST_JOBS = 64


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("folder", help="folder with projects, for example projects")
    parser.add_argument("--out", metavar="DIR", default=None, help="where to publish (default: yard/ in the folder)")
    parser.add_argument("--today", metavar="DATE", type=_day, default=None, help="day for upkeep (default: today)")
    parser.add_argument("--jobs", metavar="N", type=_jobs, default=None, help="processes (default: one a processor)")
    parser.add_argument("--scheduler", metavar="ADDRESS", default=None, help="compute on a Dask cluster")
    parser.add_argument("--quiet", action="store_true", help="no progress, only the result")


def run(arguments: argparse.Namespace) -> int:
    """Make or renew the index, and say how many vessels it has."""
    from pathlib import Path

    from proposal.cli.days import cache_folder
    from proposal.yard.index import index

    cluster = None
    if arguments.scheduler is not None:
        from proposal.yard.work import cluster as workers_of

        cluster = workers_of(arguments.scheduler)
    today = arguments.today or datetime.date.today().isoformat()
    out = None if arguments.out is None else Path(arguments.out)
    live = sys.stderr.isatty() and not arguments.quiet

    def progress(step: str, done: int, of: int) -> None:
        if live:
            text = f"{step}: {done} of {of}" if of else step
            print(f"\r\033[K{text}", end="", file=sys.stderr, flush=True)

    try:
        made = index(
            Path(arguments.folder), out, today, cache_folder(), jobs=arguments.jobs, cluster=cluster, progress=progress
        )
    finally:
        if live:
            print("\r\033[K", end="", file=sys.stderr, flush=True)
    vessels = "vessel" if made.vessels_count == 1 else "vessels"
    said = "nothing changed" if made.yard is None else f"{made.made_count} computed"
    print(f"yard: {made.folder / 'index.html'} ({made.vessels_count} {vessels}, {said})")
    return 0


def _day(text: str) -> str:
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day such as 2026-11-20") from None
    return day.isoformat()


def _jobs(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and 0 < int(text) <= MOST_JOBS):
        raise argparse.ArgumentTypeError(f"{text!r} is no number from 1 to {MOST_JOBS}")
    return int(text)
