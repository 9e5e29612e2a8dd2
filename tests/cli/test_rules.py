from __future__ import annotations

import json
from pathlib import Path

from proposal.codes import FAMILIES
from proposal.rules.registry import CHECKS
from tests.cli.conftest import PROJECTS, Command

DANGEROUS = "skarn"


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


def test_the_page_beside_the_projects_is_todays(command: Command) -> None:
    # mended by: proposal rules --page > projects/checks.md
    assert (PROJECTS / "checks.md").read_text(encoding="utf-8") == command("rules", "--page").out


def test_an_acceptance_of_a_finding_that_is_none_is_told_with_its_place(command: Command, projects: Path) -> None:
    spec = projects / DANGEROUS / "spec.yaml"
    lines = spec.read_text(encoding="utf-8").splitlines()
    at = lines.index("  heated_lithium:") + 1
    entry = "      - {finding: always_on_at_risc, name: A. Boss, reason: seen and accepted}"
    lines[at:at] = ["    accepted:", entry]
    spec.write_text("\n".join(lines) + "\n", encoding="utf-8")
    ended = command("check", projects / DANGEROUS)
    assert ended.code == 2
    assert ended.err.startswith(f"{spec}:{at + 2}:{entry.index('always') + 1}: ")
    assert "always_on_at_risk" in ended.err


def test_what_nobody_can_accept_stays_open_and_says_so(command: Command, projects: Path) -> None:
    """A fuse pinned at the main that breaks next to nothing, accepted by name: the check still ends in 1."""
    prices = projects / "prices.yaml"
    text = prices.read_text(encoding="utf-8")
    part = (
        "  weak_main: {kind: fuse, title: Weak fuse, class: blade, rating: 150 A, voltage_max: 32 V, interrupt: 50 A}\n"
    )
    prices.write_text(text.replace("\nparts:\n", f"\nparts:\n{part}", 1), encoding="utf-8")
    spec = projects / DANGEROUS / "spec.yaml"
    lines = spec.read_text(encoding="utf-8").splitlines()
    at = lines.index("  vented_lead:") + 1
    lines[at:at] = [
        "    pins: {banks.lead.fuse: weak_main}",
        "    accepted:",
        "      - {finding: breaking_capacity_low, name: A. Boss, reason: it never happened}",
    ]
    spec.write_text("\n".join(lines) + "\n", encoding="utf-8")
    ended = command("check", projects / DANGEROUS)
    assert ended.code == 1
    assert "A. Boss wants to accept this; nobody can." in " ".join(ended.out.split())
