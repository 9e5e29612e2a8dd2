"""Accepted findings stay visible, and two kinds cannot be accepted."""

import pytest

from proposal.rules.acceptance import NEVER_ACCEPTED, acceptance, idle_acceptances, on_first_page, open_dangers
from proposal.rules.finding import PRACTICE, RawFinding
from proposal.rules.registry import CHECKS
from proposal.spec.options import AcceptedRisk


def finding(check="bank_without_switch", item="banks.lead", severity="fault", outcome="fires"):
    return RawFinding(check, 19, severity, outcome, item, {}, PRACTICE)


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


@pytest.mark.parametrize("check", sorted(NEVER_ACCEPTED))
def test_unfused_positives_and_weak_fuses_pass_through_unaccepted(check):
    danger, entries = finding(check, severity="danger"), [risk(check), risk(check, "banks.lead")]
    assert acceptance(danger, entries) is None
    assert open_dangers([danger], entries) == (danger,)
    assert idle_acceptances([danger], entries) == tuple(entries)


def test_which_can_never_be_accepted():
    assert {"positive_unfused", "breaking_capacity_low"} == NEVER_ACCEPTED
    assert {c.id for c in CHECKS} >= NEVER_ACCEPTED


def test_open_dangers_are_those_that_fire_and_nobody_accepts():
    accepted = finding("return_smaller", "banks.lead", "danger")
    still_open = finding("return_smaller", "banks.start", "danger")
    doubtful = finding("return_smaller", "banks.x", "danger", "undecided")
    fault = finding()
    entries = [risk("return_smaller", "banks.lead")]
    assert open_dangers([accepted, still_open, doubtful, fault], entries) == (still_open,)


def test_accepted_danger_stays_on_the_first_page():
    assert on_first_page(finding(severity="danger"))
    assert not on_first_page(finding())
    assert not on_first_page(finding(severity="danger", outcome="undecided"))


def test_entries_that_accept_nothing_are_named():
    used, misspelt, elsewhere = risk(item="banks.lead"), risk("bank_without_swich"), risk(item="banks.gone")
    assert idle_acceptances([finding()], [used, misspelt, elsewhere]) == (misspelt, elsewhere)
