"""Batteries linked one to the next: which links there are, where the main leads leave, and that sizes stay alike."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from proposal.circuit.model import Bank, Circuit
from tests.generate import PROJECTS, Built, designed, options_of

LINKS_M = 0.42


def with_chain(count: int, take_off: str, fused: str = "no", **more: Any) -> Built:
    """Marram's second option, its lithium in a chain."""
    text = (PROJECTS / "marram" / "spec.yaml").read_text(encoding="utf-8")
    spec = yaml.load(text, Loader=yaml.BaseLoader)  # noqa: S506 - makes nothing but strings
    spec["options"]["dedicated"]["banks"]["lithium"] |= {
        "parallel": str(count), "joined": "chain", "take_off": take_off, "fuse_per_battery": fused,
        "links": f"{LINKS_M} m", **more,
    }  # fmt: skip
    made = yaml.safe_dump(spec, sort_keys=False)
    (built,) = [b for b in options_of(made, f"{count} {take_off} {fused}") if b.name.endswith("dedicated")]
    return built


def lithium(circuit: Circuit) -> Bank:
    return next(b for b in circuit.banks if b.key == "banks.lithium")


EACH = pytest.mark.parametrize("take_off", ["same_end", "both_ends"])
FUSED = pytest.mark.parametrize("fused", ["no", "yes"])


@EACH
@FUSED
@pytest.mark.parametrize("count", [2, 5])
def test_each_battery_is_linked_to_the_next_in_both_poles(count: int, take_off: str, fused: str) -> None:
    circuit = with_chain(count, take_off, fused).circuit
    bank = lithium(circuit)
    assert bank.chained
    assert bank.own_bus is None
    for later, earlier in zip(bank.strings[1:], bank.strings, strict=False):
        plus, minus = circuit.conductor[f"{later}.link_positive"], circuit.conductor[f"{later}.link_negative"]
        assert (plus.length_m, minus.length_m) == (LINKS_M, LINKS_M)
        assert {minus.from_node, minus.to_node} == {circuit.battery[b].negative for b in (later, earlier)}
        joints = [
            circuit.device[f"{b}.fuse"].to_node if fused == "yes" else circuit.battery[b].positive
            for b in (later, earlier)
        ]
        assert [plus.from_node, plus.to_node] == joints
    assert f"{bank.strings[0]}.link_positive" not in circuit.conductor


@EACH
def test_the_main_leads_leave_from_one_end_or_from_both(take_off: str) -> None:
    circuit = with_chain(4, take_off).circuit
    first, last = circuit.battery["banks.lithium.s1"], circuit.battery["banks.lithium.s4"]
    assert circuit.conductor["banks.lithium.tail"].from_node == first.positive
    at = first if take_off == "same_end" else last
    assert circuit.conductor["banks.lithium.negative"].to_node == at.negative


def test_one_battery_is_no_chain() -> None:
    bank = lithium(with_chain(1, "same_end").circuit)
    assert not bank.chained


@EACH
@FUSED
def test_links_get_one_size_and_fuses_at_the_posts_one_part(take_off: str, fused: str) -> None:
    made = designed(with_chain(4, take_off, fused))
    links = [c for c in made.circuit.conductors if ".link_" in c.key]
    assert len(links) == 6
    assert len({c.size for c in links}) == 1
    for link in links:
        assert made.flow.demands[link.key].current_a <= made.ampacities[link.key].ampacity_a * (1.0 + 1e-9)
    posts = [d for d in made.circuit.devices if d.kind == "fuse" and d.circuit.startswith("banks.lithium.s")]
    assert len(posts) == (4 if fused == "yes" else 0)
    assert len({d.part_id for d in posts}) <= 1


def test_the_link_beside_the_take_off_carries_what_all_behind_it_give() -> None:
    made = designed(with_chain(4, "same_end"))
    solution = made.flow.solutions["usual"]
    behind_a = sum(solution.given_a[f"banks.lithium.s{n}"] for n in (2, 3, 4))
    assert abs(solution.current_a["banks.lithium.s2.link_positive"]) == pytest.approx(behind_a, rel=1e-9)
