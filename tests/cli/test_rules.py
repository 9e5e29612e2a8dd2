from __future__ import annotations

import json

from proposal.codes import FAMILIES
from proposal.rules.registry import CHECKS
from tests.cli.conftest import Command


def test_it_lists_every_check(command: Command) -> None:
    ended = command("rules")
    assert (ended.code, ended.err) == (0, "")
    for check in CHECKS:
        assert f"{check.number:2}  {check.severity.upper()} · {check.id}: " in ended.out


def test_the_json_has_every_check_with_severity_source_and_status(command: Command) -> None:
    made = json.loads(command("rules", "--json").out)
    assert [(r["number"], r["id"], r["severity"]) for r in made["rules"]] == [
        (c.number, c.id, c.severity) for c in CHECKS
    ]
    assert set(made["families"]) == set(FAMILIES)
    for rule in made["rules"]:
        assert rule["title"]
        assert rule["triggers"]
        for source in rule["sources"]:
            assert {"families", "source", "title", "clause", "status"} == set(source)


def test_the_page_is_markdown_with_a_heading_for_each_check(command: Command) -> None:
    page = command("rules", "--page").out
    assert page.startswith("# ")
    assert page.count("\n## ") == len(CHECKS)
