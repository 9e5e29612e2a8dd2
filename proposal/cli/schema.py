"""`proposal schema`: JSON Schemas of the files a person writes, and of the results."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

KINDS = ("spec", "installer", "prices", "results")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("folder", nargs="?", default=None, help="where to write KIND.schema.json; absent: print one")
    parser.add_argument("--kind", choices=KINDS, default="spec", help="which schema to print (default: spec)")


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema of one kind of file."""
    from proposal.reading import json_schema

    if kind == "spec":
        from proposal.spec.project import Spec

        return json_schema(Spec)
    if kind == "installer":
        from proposal.spec.installer import Installer

        return json_schema(Installer)
    if kind == "prices":
        from proposal.spec.pricebook import PriceBook

        return json_schema(PriceBook)
    from proposal.results.codec import schema

    return schema()


def schema_text(kind: str) -> str:
    """The schema as it is written to a file."""
    return json.dumps(schema_of(kind), ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def run(arguments: argparse.Namespace) -> int:
    """Print one schema, or write all four into a folder."""
    if arguments.folder is None:
        sys.stdout.write(schema_text(arguments.kind))
        return 0
    from proposal.files import write_file

    for kind in KINDS:
        path = Path(arguments.folder) / f"{kind}.schema.json"
        write_file(path, schema_text(kind).encode())
        print(path)
    return 0
