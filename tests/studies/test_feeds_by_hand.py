"""What feeds a conductor from either end, on circuits drawn by hand."""

from proposal.studies.protection.result import Feed
from proposal.studies.protection.study import feeds
from tests.studies.hand import Hand


def fuse(key: str, distance_m: float = 0.0, limited_a: float | None = None) -> Feed:
    return Feed("fuse", key, distance_m, limited_a)


def battery(key: str, distance_m: float) -> Feed:
    return Feed("battery", key, distance_m)


def test_tail_fuse_conductor_load() -> None:
    """post ─tail─ fuse ─main─ load: the tail hangs on the battery, the main conductor on the fuse, at no distance."""
    hand = (
        Hand().battery("a", "post").cable("a.tail", "post", "fuse_in", 0.3).device("fuse", "a.fuse", "fuse_in", "out")
    )
    hand.cable("a.main", "out", "load", 4.0).load("l", "load", 10.0)
    found = feeds(hand.circuit())
    assert found["a.tail"].ends == ((battery("a", 0.0),), ())
    assert found["a.main"].ends == ((fuse("a.fuse"),), ())


def test_a_fuse_with_nothing_to_give_behind_it_is_no_feed() -> None:
    """bus ─main─ with a load's fuse on the bus: what lies behind that fuse only takes."""
    hand = Hand().battery("a", "post").device("fuse", "a.fuse", "post", "out").cable("a.main", "out", "bus")
    hand.device("fuse", "l.fuse", "bus", "l_out").cable("l.main", "l_out", "load").load("l", "load", 5.0)
    found = feeds(hand.circuit())
    assert found["a.main"].ends == ((fuse("a.fuse"),), ())
    assert found["l.main"].ends == ((fuse("l.fuse"),), ())
    assert found["a.main"].fuses == ("a.fuse",)


def linked(fuse_at: str) -> Hand:
    """Two batteries joined by a link of 3 m with fuses at the ends named, one of them 1 m of conductor away."""
    hand = Hand().battery("a", "a").battery("b", "b")
    near, far = "a", "b_end"
    if "a" in fuse_at:
        near = "a_out"
        hand.device("fuse", "l.fuse_a", "a", near)
    if "b" in fuse_at:
        far = "b_out"
        hand.device("fuse", "l.fuse_b", "b_end", far)
    return hand.cable("l.main", near, far, 3.0).cable("b.tail", "b_end", "b", 1.0)


def test_a_link_fused_at_both_ends() -> None:
    main = feeds(linked("ab").circuit())["l.main"]
    assert main.ends == ((fuse("l.fuse_a"),), (fuse("l.fuse_b"),))
    assert main.fuses == ("l.fuse_a", "l.fuse_b")


def test_a_link_fused_at_one_end_is_fed_unfused_from_the_other() -> None:
    main = feeds(linked("a").circuit())["l.main"]
    assert main.ends == ((fuse("l.fuse_a"),), (battery("b", 1.0),))


def test_a_link_without_fuses_is_fed_by_both_batteries() -> None:
    main = feeds(linked("").circuit())["l.main"]
    assert main.ends == ((battery("a", 0.0),), (battery("b", 1.0),))


def test_switches_and_relays_count_as_closed_and_lengths_add_up() -> None:
    hand = Hand().battery("a", "post").cable("a.one", "post", "p", 0.4).device("switch", "a.switch", "p", "q")
    hand.cable("a.two", "q", "r", 0.7).device("contactor", "a.contactor", "r", "s").cable("a.three", "s", "t", 2.0)
    found = feeds(hand.circuit())["a.three"]
    assert found.from_end[0].kind == "battery"
    assert abs(found.from_end[0].distance_m - 1.1) < 1e-12


def test_sources_alone_behind_a_fuse_give_no_more_than_their_currents() -> None:
    """Two chargers on a panel behind one fuse: 20 A and 30 A, and no battery."""
    hand = Hand().battery("a", "post").device("fuse", "a.fuse", "post", "out").cable("a.main", "out", "bus")
    hand.device("fuse", "p.fuse", "bus", "p_out").cable("p.main", "p_out", "panel")
    hand.source("solar", "panel", 20.0).source("shore", "panel", 30.0)
    found = feeds(hand.circuit())
    assert found["a.main"].ends == ((fuse("a.fuse"),), (fuse("p.fuse", 0.0, 50.0),))
    assert found["p.main"].from_end == (fuse("p.fuse"),)
    assert found["p.main"].to_end == (Feed("source", "solar", 0.0, 20.0), Feed("source", "shore", 0.0, 30.0))


def test_a_battery_beside_a_source_behind_a_fuse_lifts_the_limit() -> None:
    hand = Hand().battery("a", "post").device("fuse", "a.fuse", "post", "out").cable("a.main", "out", "bus")
    hand.device("fuse", "b.fuse", "bus", "b_out").cable("b.main", "b_out", "b").battery("b", "b").source("s", "b", 20.0)
    assert feeds(hand.circuit())["a.main"].to_end == (fuse("b.fuse"),)


def test_a_ring_is_fed_from_both_of_its_ends_through_the_same_fuse() -> None:
    hand = Hand().battery("a", "post").device("fuse", "a.fuse", "post", "bus")
    hand.cable("r.one", "bus", "far", 2.0).cable("r.two", "bus", "far", 5.0)
    found = feeds(hand.circuit())["r.one"]
    assert found.ends == ((fuse("a.fuse"),), (fuse("a.fuse", 5.0),))
    assert found.fuses == ("a.fuse",)


def test_every_string_of_a_bank_feeds_what_hangs_on_its_bus() -> None:
    """Three strings, each through a fuse of its own: the bank's conductor is guarded by all three together."""
    hand = Hand()
    for n in (1, 2, 3):
        hand.battery(f"s{n}", f"post{n}", bank="bank").device("fuse", f"s{n}.fuse", f"post{n}", f"out{n}")
        hand.cable(f"s{n}.link", f"out{n}", "terminal", 0.3)
    hand.cable("bank.main", "terminal", "load", 2.0).load("l", "load", 10.0)
    found = feeds(hand.circuit())
    assert set(found["bank.main"].from_end) == {fuse(f"s{n}.fuse", 0.3) for n in (1, 2, 3)}
    assert found["s1.link"].from_end == (fuse("s1.fuse"),)
    assert set(found["s1.link"].to_end) == {fuse(f"s{n}.fuse", 0.3) for n in (2, 3)}
