"""`proposal schema`: JSON Schemas of the files a person writes, and of the results."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

KINDS = ("spec", "installer", "prices", "record", "results")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("folder", nargs="?", default=None, help="where to write KIND.schema.json; absent: print one")
    parser.add_argument("--kind", choices=KINDS, default="spec", help="which schema to print (default: spec)")


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema of one kind of file."""
    from proposal.reading import json_schema

    if kind == "spec":
        from proposal.spec.project import Spec

        return _naming_families(json_schema(Spec), ("properties", "rules"))
    if kind == "installer":
        from proposal.spec.installer import Installer

        kinds = [("$defs", "Families", "properties", kind) for kind in ("boat", "camper", "cabin")]
        return _naming_families(json_schema(Installer), *kinds, ("properties", "bought_tables", "propertyNames"))
    if kind == "prices":
        from proposal.spec.pricebook import PriceBook

        return json_schema(PriceBook)
    if kind == "record":
        from proposal.spec.record import Entry

        return json_schema(Entry)
    from proposal.results.codec import schema

    return schema()


def _naming_families(schema: dict[str, Any], *places: tuple[str, ...]) -> dict[str, Any]:
    """Tell editors which rule families there are: the files' own layer does not know them."""
    from proposal.codes import FAMILIES

    for place in places:
        here = schema
        for name in place:
            here = here.setdefault(name, {})
        here.pop("pattern", None)
        here.pop("examples", None)
        here["enum"] = list(FAMILIES)
    return schema


def schema_text(kind: str) -> str:
    """The schema as it is written to a file."""
    return json.dumps(schema_of(kind), ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def run(arguments: argparse.Namespace) -> int:
    """Print one schema, or write them all into a folder."""
    if arguments.folder is None:
        sys.stdout.write(schema_text(arguments.kind))
        return 0
    from proposal.files import write_file

    for kind in KINDS:
        path = Path(arguments.folder) / f"{kind}.schema.json"
        write_file(path, schema_text(kind).encode())
        print(path)
    return 0
