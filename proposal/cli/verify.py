"""`proposal verify`: is an archive what it was when it was sealed, by whom was it signed, and is its chain whole?"""

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

NOT_INTACT = 5
SHOWN_OF_A_SECTION = 6
SHOWN_FAULTS = 200
DO_NOT_ENERGISE = "DO NOT ENERGISE: this installation was sealed as one that must not be switched on"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the command takes."""
    parser.add_argument("archive", help="folder of a sealed record, or its zip with the sum beside it")
    parser.add_argument(
        "--signers", metavar="FILE", default=None, help="who may sign, as ssh-keygen takes it: NAME ssh-ed25519 AAAA..."
    )
    parser.add_argument(
        "--previous", metavar="DIR", default=None, help="where seals before this one lie (besides: beside the archive)"
    )
    parser.add_argument(
        "--recompute", action="store_true", help="compute it anew with this release and tell which figures moved"
    )
    parser.add_argument("--without-days", action="store_true", help="when computing anew, leave the days out")
    parser.add_argument("--json", action="store_true", help="print what was found as one JSON object")


def run(arguments: argparse.Namespace) -> int:
    """Look at an archive and say what was found; 5 where it is not intact, or something that was asked is not so."""
    from proposal.archive.chain import chain, followers, gainsaid
    from proposal.archive.examine import examine, opened

    path = Path(arguments.archive)
    signers = _signers(arguments.signers)
    places = [path.resolve().parent]
    if arguments.previous is not None:
        places.append(_folder(arguments.previous))
    with opened(path) as (root, outer):
        found = examine(root, outer)
        photos = {file: original for file, original, _ in found.facts.photos} if found.facts is not None else None
        links = chain(found.ledger, dict.fromkeys(places), photos) if found.intact else ()
        later: Sequence[tuple[str, str]] = ()
        beside: Sequence[Any] = ()
        if found.intact and found.facts is not None:
            later = followers(found.facts, dict.fromkeys(places))
            beside = gainsaid(found.facts, found.tag_sum, later)
        again = None
        if arguments.recompute and found.intact and found.facts is not None and root is not None:
            from proposal.archive.recompute import recompute
            from proposal.cli.days import days_of

            again = _again(recompute(root, found.facts, None if arguments.without_days else days_of()))
    told = _told(path, found, links, beside, signers, again)
    told["followed_by"] = [name for name, named in later if named == found.tag_sum]
    if arguments.json:
        print(json.dumps(told, ensure_ascii=False, indent=1))
    else:
        _print(told)
    return 0 if told["proven"] else NOT_INTACT


def _told(
    path: Path, found: Any, links: Sequence[Any], beside: Sequence[Any], signers: Sequence[Any] | None, again: Any
) -> dict[str, Any]:
    """Everything that was found, as one plain object."""
    import datetime

    from proposal.archive.signers import name_of

    facts, signed = found.facts, found.signed
    name = None
    if signed is not None and found.intact and signers is not None:
        name = name_of(signed.public, signers, datetime.date.fromisoformat(facts.date))
    chain_whole = all(link.whole for link in links) and not beside
    sound = found.intact and chain_whole and (signers is None or name is not None)
    return {
        "archive": str(path),
        "name": path.resolve().name.removesuffix(".zip"),
        "proven": sound and (again is None or not again["unexplained"]),
        "intact": found.intact,
        "faults": [{"path": fault.path, "what": fault.what} for fault in found.faults],
        "sum": found.tag_sum if found.intact else None,
        "seal": json.loads(facts.json()) if found.intact else None,
        "do_not_energise": facts is not None and facts.state == "do_not_energise",
        "signed_by": name,
        "signed_with": signed.fingerprint if signed is not None and found.intact else None,
        "signers_asked": signers is not None,
        "chain_whole": chain_whole if found.intact else None,
        "chain": [
            {
                "number": link.line.number,
                "date": link.line.date.isoformat(),
                "name": link.line.name,
                "sum": link.line.sha256,
                "found": str(link.found) if link.found is not None else None,
                "faults": [{"path": fault.path, "what": fault.what} for fault in link.faults],
            }
            for link in links
        ],
        "gainsaid": [{"path": fault.path, "what": fault.what} for fault in beside],
        "recomputed": again,
    }


def _print(told: dict[str, Any]) -> None:
    if told["do_not_energise"]:
        print(DO_NOT_ENERGISE)
    if not told["intact"]:
        print(f"NOT INTACT: {told['archive']}")
        for fault in told["faults"][:SHOWN_FAULTS]:
            print(f"  {fault['path']} {fault['what']}")
        if len(told["faults"]) > SHOWN_FAULTS:
            print(f"  and {len(told['faults']) - SHOWN_FAULTS} more, all of them with --json")
        return
    seal = told["seal"]
    author = "author unproven" if told["signed_by"] is None else f"signed by {told['signed_by']}"
    print(f"intact, {author}: {told['archive']}")
    print(f"  seal {seal['number']} of {seal['date']}, {seal['vessel']}, {seal['proposal_number']} {seal['revision']}")
    if seal["name"] != told["name"]:
        print(f"  it was sealed under the name {seal['name']}")
    print(f"  sum {told['sum']}")
    _print_signature(told)
    _print_chain(told)
    if told["recomputed"] is not None:
        _print_again(told["recomputed"])


def _print_signature(told: dict[str, Any]) -> None:
    key = told["signed_with"]
    if key is None:
        print("  not signed: the files agree with each other, and who made them is not proven")
    elif told["signed_by"] is not None:
        print(f"  signed by {told['signed_by']} with the key {key}")
    elif told["signers_asked"]:
        print(f"  signed with the key {key}, which the file of signers does not know for that day and purpose")
    else:
        print(f"  signed with the key {key}: whose it is tells --signers FILE, or the installer on the telephone")


def _print_chain(told: dict[str, Any]) -> None:
    if told["followed_by"]:
        print(f"  NOT THE LATEST: after it came {', '.join(told['followed_by'][:SHOWN_OF_A_SECTION])}")
    links = told["chain"]
    for fault in told["gainsaid"]:
        print(f"  CHAIN NOT WHOLE: {fault['path']} {fault['what']}")
    if not links:
        print("  the first seal of this record")
        return
    for link in links:
        if link["faults"]:
            state = "NOT WHOLE: " + "; ".join(f"{fault['path']} {fault['what']}" for fault in link["faults"])
        elif link["found"] is None:
            state = f"not at hand; its sum must be {link['sum']}"
        else:
            state = f"intact: {link['found']}"
        print(f"  seal {link['number']} of {link['date']} before it: {state}")
    missing = sum(link["found"] is None for link in links)
    whole = "chain whole" if told["chain_whole"] else "CHAIN NOT WHOLE"
    print(f"  {whole}" + (f", as far as it is at hand: {missing} of {len(links)} not looked at" if missing else ""))


def _print_again(again: dict[str, Any]) -> None:
    if again["problem"]:
        print(f"  computed anew: NOT POSSIBLE: {again['problem']}")
    elif not again["moved"]:
        print(f"  computed anew: the same to nine digits in every one of {again['values']} values")
    else:
        print(f"  computed anew: {len(again['moved'])} of {again['values']} values moved")
        sections: dict[str, list[dict[str, Any]]] = {}
        for one in again["moved"]:
            sections.setdefault(one["section"], []).append(one)
        for section, ones in sections.items():
            print(f"    {section}: {len(ones)}")
            for one in ones[:SHOWN_OF_A_SECTION]:
                print(f"      {one['path']}: {_short(one['old'])} → {_short(one['new'])}")
            if len(ones) > SHOWN_OF_A_SECTION:
                print(f"      and {len(ones) - SHOWN_OF_A_SECTION} more, all of them with --json")
    if again["left_out"]:
        print(f"    not compared, for it rests on the days: {', '.join(again['left_out'])}")
    if again["moved"] or again["problem"]:
        for cause in again["causes"]:
            print(f"    because of: {cause['name']} {cause['then'] or 'absent'} → {cause['now'] or 'absent'}")
        if not again["causes"]:
            print("    the same versions: this is a fault of the tool, or of another kind of machine")


def _short(value: Any) -> str:
    text = "nothing" if value is None else json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _again(made: Any) -> dict[str, Any]:
    """What computing anew came to, as one plain object."""
    return {
        "problem": made.problem or None,
        "values": made.values_count,
        "moved": [{"section": m.section, "path": m.path, "old": m.old, "new": m.new} for m in made.moved],
        "causes": [{"name": name, "then": then, "now": now} for name, then, now in made.causes],
        "left_out": list(made.left_out),
        "unexplained": made.unexplained,
    }


def _signers(name: str | None) -> Sequence[Any] | None:
    from proposal.archive.signers import LARGEST_SIGNERS_BYTES, parse_signers
    from proposal.errors import UsageError

    if name is None:
        return None
    try:
        with Path(name).open("rb") as stream:
            data = stream.read(LARGEST_SIGNERS_BYTES + 1)
        if len(data) > LARGEST_SIGNERS_BYTES:
            raise UsageError(f"--signers {name} is too large")
        signers, wrong = parse_signers(data.decode())
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"--signers {name} cannot be read: {error}") from error
    for line, what in wrong:
        print(f"{name}:{line}: {what}; this line is passed over", file=sys.stderr)
    return signers


def _folder(name: str) -> Path:
    from proposal.errors import UsageError

    path = Path(name)
    if not path.is_dir():
        raise UsageError(f"--previous {name} is no folder")
    return path.resolve()
