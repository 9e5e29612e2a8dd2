"""Check 30: alternators and their fuses."""

import pytest

ALTERNATOR = "sources.alternator"


# --- 30 --------------------------------------------------------------------------------------------------------------


def unlimited(bench, given_a, option="shared", hot_a=None):
    spec = {"sources.alternator.limited": False, "sources.alternator.hot_a": hot_a}
    return bench.solved(bench.option(option, spec), "charging", "given_a", {ALTERNATOR: given_a})


def test_lithium_takes_all_of_an_unlimited_alternator(bench):
    """80 A nameplate, nothing known of it hot: 40 A."""
    evidence = bench.option("shared", {"sources.alternator.limited": False})
    (finding,) = bench.found(evidence, "alternator_overloaded")
    values = finding.values
    assert (finding.item, values["cause"], values["limit_a"], values["nameplate_a"]) == (
        ALTERNATOR, "acceptance", 40.0, 80.0,
    )  # fmt: skip
    assert values["hot_rating_known"] is False
    assert values["current_a"] == evidence.design.flow.solutions["charging"].given_a[ALTERNATOR] > 40


def test_regulator_that_limits_it_answers_it(bench):
    assert bench.found(bench.option("shared"), "alternator_overloaded") == []
    assert bench.tested(bench.option("shared"), "alternator_overloaded") == 1


@pytest.mark.parametrize(("hot_a", "fires"), [(80.0, False), (79.9, True)])
def test_what_it_holds_hot_replaces_half_its_nameplate(bench, hot_a, fires):
    found = bench.found(unlimited(bench, 80.0, hot_a=hot_a), "alternator_overloaded")
    assert [f.values["limit_a"] for f in found] == ([hot_a] if fires else [])


def test_lead_alone_does_not_hold_an_alternator_at_full(bench):
    assert bench.found(unlimited(bench, 80.0, option="vented"), "alternator_overloaded") == []


def test_alternator_alone_gives_more_than_among_other_sources(bench):
    (finding,) = bench.found(unlimited(bench, 10.0), "alternator_overloaded")
    assert finding.values["case"] == "charging_alone"
    assert finding.values["current_a"] == pytest.approx(80.0, abs=0.1)


@pytest.mark.parametrize(("rating_a", "fires"), [(100.0, False), (99.0, True)])
def test_fuse_of_an_alternator_is_a_quarter_above_its_nameplate(bench, rating_a, fires):
    evidence = bench.fit(bench.option("shared"), f"{ALTERNATOR}.fuse", rating_a=rating_a)
    found = bench.found(evidence, "alternator_overloaded")
    assert [(f.item, f.values["cause"]) for f in found] == ([(f"{ALTERNATOR}.fuse", "fuse")] if fires else [])
    for finding in found:
        assert finding.values["needed_a"] == 100.0


def test_fuse_that_was_not_found_is_undecided(bench):
    evidence = bench.fit_part(bench.option("shared"), f"{ALTERNATOR}.fuse", None)
    (finding,) = bench.found(evidence, "alternator_overloaded")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "fuse_rating")
