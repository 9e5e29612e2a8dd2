"""What feeds a conductor, on circuits small enough to see."""

from proposal.studies.protection.study import feeds
from tests.generate import cell
from tests.studies.hand import Hand


def test_a_lone_bank_is_fused_at_its_post_and_fed_from_the_other_side_by_sources_only():
    circuit = cell("one_bank", 12).circuit
    found = feeds(circuit)
    bank = circuit.banks[0].key
    main = found[f"{bank}.positive"]
    assert [(f.kind, f.key) for f in main.from_end] == [("fuse", f"{bank}.fuse")]
    assert all(f.kind == "fuse" and f.limited_a is not None for f in main.to_end)


def test_the_tail_sees_the_battery_itself():
    circuit = cell("one_bank", 12).circuit
    bank = circuit.banks[0]
    tail = feeds(circuit)[f"{bank.key}.tail"]
    assert {f.key for f in tail.from_end if f.kind == "battery"} == set(bank.strings)


def test_a_load_conductor_is_guarded_by_its_own_fuse_and_fed_from_nowhere_else():
    circuit = cell("house_and_starter", 12).circuit
    for load in circuit.loads:
        own = feeds(circuit)[f"{load.key}.positive"]
        assert [(f.kind, f.key) for f in own.from_end] == [("fuse", f"{load.key}.fuse")]
        assert own.to_end == ()


def test_a_link_between_two_banks_has_a_fuse_at_each_end():
    circuit = cell("house_and_starter", 12).circuit
    link = feeds(circuit)["links.vsr.positive"]
    assert [f.key for f in link.from_end] == ["links.vsr.from_fuse"]
    assert [f.key for f in link.to_end] == ["links.vsr.to_fuse"]
    assert all(f.limited_a is None for end in link.ends for f in end)


def test_two_fuses_side_by_side_both_feed_what_lies_behind_them():
    """Neither is the only way to what gives: a battery gives without limit, a charger its own ten amperes."""
    ring = Hand().device("fuse", "banks.b.one", "post", "bus").device("fuse", "banks.b.two", "post", "bus")
    ring.cable("loads.l.positive", "bus", "end").load("loads.l", "end", 5.0)
    ring.source("sources.s", "post", 10.0)
    limited = feeds(ring.circuit())["loads.l.positive"]
    assert [(f.kind, f.key, f.limited_a) for f in limited.from_end] == [
        ("fuse", "banks.b.one", 10.0), ("fuse", "banks.b.two", 10.0),
    ]  # fmt: skip
    assert limited.to_end == ()
    ring.battery("banks.b.s1", "post", bank="banks.b")
    assert [f.limited_a for f in feeds(ring.circuit())["loads.l.positive"].from_end] == [None, None]
