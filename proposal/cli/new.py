"""`proposal new`: start a project folder with a commented spec that builds as it stands."""

import argparse
import datetime
import re
from pathlib import Path

STARTER = Path(__file__).parent / "starter"
SHARED_FILES = ("installer.yaml", "prices.yaml")
SCHEMA_KINDS = ("spec", "installer", "prices", "record")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("name", help="name of the project and its folder: small letters, digits, - and _")
    parser.add_argument(
        "--in", dest="parent", metavar="DIR", default=None, help="where (default: projects/ if it is here)"
    )


def run(arguments: argparse.Namespace) -> int:
    """Write the folder; nothing that exists is touched."""
    from proposal.cli.schema import schema_text
    from proposal.errors import UsageError
    from proposal.files import write_file

    name = arguments.name
    if not re.fullmatch(r"[a-z0-9][a-z0-9_-]{0,62}", name):
        raise UsageError(f"{name!r} is no name for a folder: small letters, digits, - and _, up to 63, e.g. sea-otter")
    parent = Path(arguments.parent) if arguments.parent is not None else _default_parent()
    folder = parent / name
    if folder.exists():
        raise UsageError(f"{folder} is there already; nothing was changed")
    written = []
    for shared in SHARED_FILES:
        if not (parent / shared).exists():
            write_file(parent / shared, _shared(shared).encode())
            written.append(parent / shared)
    for kind in SCHEMA_KINDS:
        path = parent / f"{kind}.schema.json"
        if not path.exists():
            write_file(path, schema_text(kind).encode())
            written.append(path)
    spec = folder / "spec.yaml"
    write_file(spec, spec_text(name, datetime.date.today()).encode())
    written.append(spec)
    for path in written:
        print(path)
    print(f"next: proposal build {folder}")
    return 0


def spec_text(name: str, today: datetime.date) -> str:
    """The starter spec for a vessel of that name, dated today."""
    from proposal.codes import FAMILIES

    words = re.sub(r"[-_]+", " ", name).strip().title() or name
    text = (STARTER / "spec.yaml").read_text(encoding="utf-8")
    filled = {
        "SCHEMA": "../spec.schema.json",
        "NAME": f'"{words}"',
        "TODAY": today.isoformat(),
        "FAMILIES": " or ".join(FAMILIES),
    }
    for mark, words in filled.items():
        text = text.replace(mark, words)
    return text


def _default_parent() -> Path:
    return Path("projects") if Path("projects").is_dir() else Path(".")


def _shared(file: str) -> str:
    """The installer's file and price book to begin with: beside the starter spec, or in a checkout's projects/."""
    inside = STARTER / file
    path = inside if inside.exists() else Path(__file__).parents[2] / "projects" / file
    return path.read_text(encoding="utf-8")
