"""Formulae of a chain of batteries in parallel."""

from typing import Literal

import numpy as np

TakeOff = Literal["same_end", "both_ends"]
TAKE_OFFS: tuple[TakeOff, ...] = ("same_end", "both_ends")


def chain_shares(count: int, battery_ohm: float, link_ohm: float, take_off: TakeOff) -> tuple[float, ...]:
    """Share of each battery of a chain in its current, equal batteries at equal charge.

    Parameters: count of batteries; battery_ohm of each [Ω]; link_ohm of each link in each pole [Ω]; the positive lead
    leaves from the first, the negative from the first or the last. Neighbours: R_b·(i_k − i_{k+1}) = R_l·(what the
    positive link between them carries − what the negative link does); what a link carries is what the batteries behind
    it give. Σ i = 1. Source: Kirchhoff's laws.
    """
    matrix, right = np.zeros((count, count)), np.zeros(count)
    matrix[0], right[0] = 1.0, 1.0
    for link in range(1, count):
        matrix[link, link - 1] += battery_ohm
        matrix[link, link] -= battery_ohm
        matrix[link, link:] -= link_ohm
        if take_off == "same_end":
            matrix[link, link:] -= link_ohm
        else:
            matrix[link, :link] += link_ohm
    return tuple(np.linalg.solve(matrix, right).tolist())


def spread_of(path_ohm: tuple[float, ...]) -> float:
    """Largest of some path resistances over their mean, less 1. A share i is worth a path of R ∝ 1/i."""
    return max(path_ohm) * len(path_ohm) / sum(path_ohm) - 1.0


def largest_link_ohm(count: int, battery_ohm: float, take_off: TakeOff, spread: float) -> float:
    """Resistance of each link at which a chain's paths spread just so [Ω]; halving, for the spread grows with it."""
    low, high = 0.0, battery_ohm
    for _ in range(60):
        middle = (low + high) / 2.0
        shares = chain_shares(count, battery_ohm, middle, take_off)
        if spread_of(tuple(1.0 / share for share in shares)) > spread:
            high = middle
        else:
            low = middle
    return low
