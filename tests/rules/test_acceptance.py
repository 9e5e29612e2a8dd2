"""Accepted findings stay visible, a few kinds cannot be accepted, and an entry for nothing is told."""

from dataclasses import replace

import pytest

from proposal.results.findings import acceptance_rows
from proposal.rules.acceptance import (
    NEVER_ACCEPTED,
    acceptable,
    acceptance,
    acceptance_complaints,
    idle_acceptances,
    refusal,
)
from proposal.rules.finding import PRACTICE, RawFinding
from proposal.rules.registry import CHECKS, NEED_DAYS, run_checks
from proposal.spec.options import AcceptedRisk


def finding(check="bank_without_switch", item="banks.lead", severity="fault", outcome="fires", **values):
    return RawFinding(check, 19, severity, outcome, item, values, PRACTICE)


def risk(check="bank_without_switch", item="", name="Client"):
    where = {"item": item} if item else {}
    return AcceptedRisk(finding=check, reason="No room for one", name=name, **where)


def test_entry_for_the_item_comes_before_one_for_every_item():
    every, lead, other = risk(name="Every"), risk(item="banks.lead", name="Lead"), risk(item="banks.lithium")
    assert acceptance(finding(), [every, lead, other]) is lead
    assert acceptance(finding(item="banks.start"), [other, every]) is every
    assert acceptance(finding(), [other]) is None
    assert acceptance(finding(), [risk("voltage_drop_high")]) is None
    assert acceptance(finding(), []) is None


NEVER = {
    "positive_unfused": {"source": "banks.lead"},
    "breaking_capacity_low": {"cause": "no_part"},
    "vent_small": {"people_sleep": True},
    "gas_reaches_people": {"people_sleep": True},
}
ELSEWHERE = {
    "positive_unfused": {"source": "sources.alternator"},
    "vent_small": {"people_sleep": False},
    "gas_reaches_people": {"cause": "bypass"},
}


@pytest.mark.parametrize("check", NEVER)
def test_what_nobody_can_accept_stays_open_and_names_who_wants_to(check):
    danger, entries = finding(check, severity="danger", **NEVER[check]), [risk(check), risk(check, "banks.lead")]
    assert not acceptable(danger)
    assert acceptance(danger, entries) is None
    assert refusal(danger, entries) is entries[1]
    assert refusal(danger, []) is None
    # it names what is there, so that it is refused, not idle
    assert idle_acceptances([danger], entries) == (entries[0],)


@pytest.mark.parametrize("check", ELSEWHERE)
def test_the_same_check_elsewhere_can_be_accepted(check):
    entry = risk(check)
    found = finding(check, severity="danger", **ELSEWHERE[check])
    assert acceptance(found, [entry]) is entry
    assert refusal(found, [entry]) is None


def test_which_can_never_be_accepted():
    assert set(NEVER) == set(NEVER_ACCEPTED)
    assert {c.id for c in CHECKS} >= set(NEVER_ACCEPTED)


def test_unfused_battery_of_a_real_option_cannot_be_accepted_and_an_unfused_charger_can(bench):
    bare = bench.option("shared", {"routes.lead.sheathed": False, "OPTION.banks.lead.fuse_after_m": 0.5})
    found = bench.found(bare, "positive_unfused")
    assert found
    assert {acceptable(f) for f in found if f.values["source"] == "banks.lead"} == {False}


def test_entries_that_accept_nothing_are_named():
    used, misspelt, elsewhere = risk(item="banks.lead"), risk("bank_without_swich"), risk(item="banks.gone")
    assert idle_acceptances([finding()], [used, misspelt, elsewhere]) == (misspelt, elsewhere)


def test_finding_that_no_check_knows_is_a_mistake_in_the_spec(bench):
    spec = bench.project.spec.value
    one = spec.options["one"].model_copy(update={"accepted": (risk(), risk("bank_without_swich"), risk("zzzzz"))})
    wrong = list(acceptance_complaints(spec.model_copy(update={"options": {"one": one}})))
    assert [loc for loc, _, _ in wrong] == [("options", "one", "accepted", n, "finding") for n in (1, 2)]
    assert wrong[0][2].startswith("bank_without_switch")
    assert "proposal rules" in wrong[1][2]


def test_what_the_days_show_can_be_accepted_and_waits_where_they_were_not_asked_for(days):
    """An entry for it is not called idle by a run that has not looked."""
    assert len(NEED_DAYS) == 18
    assert all(acceptable(finding(check)) for check in NEED_DAYS)
    entries = tuple(risk(check) for check in ("relay_chatters", "join_missed", "bank_without_switch"))
    spec = {"OPTION.contactor.holds_s": 20.0, "OPTION.accepted": entries}
    evidence = days.trouble("shared", "chatter", "banks.lithium.contactor", spec, count=9, within_s=60.0)
    for made, wanted in (
        (evidence, ["accepted", "idle", "idle"]),
        (replace(evidence, behaviour=None), ["not_asked", "not_asked", "idle"]),
    ):
        rows = acceptance_rows(run_checks(made), made.spec, with_days=made.behaviour is not None)
        assert [row.outcome for row in rows] == wanted
