"""Days as text and back: the same bits and types, and quickly."""

from __future__ import annotations

import json
import math
import time
import zlib
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
import pytest

from proposal.results.codec import plain
from proposal.results.days_text import decode, encode
from proposal.studies.behaviour.result import Behaviour, Trace
from tests.sample_behaviour import marram, sample_behaviour


@pytest.fixture(scope="module")
def days() -> Behaviour:
    return sample_behaviour(marram().options[-1])


def _same(one: Any, other: Any) -> bool:
    """Equal in value and type all the way down: 3 and 3.0 would print differently."""
    if type(one) is not type(other):
        return False
    if is_dataclass(one):
        return all(_same(getattr(one, f.name), getattr(other, f.name)) for f in fields(one))
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, dict):
        return list(one) == list(other) and all(_same(one[k], other[k]) for k in one)
    return bool(one == other)


def test_days_come_back_as_they_were(days: Behaviour) -> None:
    again = decode(encode(days))
    assert _same(again, days)
    assert encode(again) == encode(days)
    assert json.dumps(plain(again)) == json.dumps(plain(days))


def test_every_bit_of_a_float_comes_back(days: Behaviour) -> None:
    draws = np.random.default_rng(4)
    bits = draws.integers(0, 2**64, 5000, dtype=np.uint64).view(np.float64)
    values = (*(float(x) for x in bits if math.isfinite(x)), 0.1 + 0.2, -0.0, 5e-324)
    odd = replace(days, days=(replace(days.days[0], traces=(Trace("x", "voltage_v", values),)),))
    again = decode(encode(odd)).days[0].traces[0].values
    assert [x.hex() for x in again] == [x.hex() for x in values]


def test_numbers_of_numpy_come_back_as_pythons(days: Behaviour) -> None:
    odd = replace(days, seed=np.int64(7), tolerance_v=np.float64(0.25))
    again = decode(encode(odd))
    assert (again.seed, type(again.seed)) == (7, int)
    assert (again.tolerance_v, type(again.tolerance_v)) == (0.25, float)


def test_what_is_no_number_is_never_kept(days: Behaviour) -> None:
    for wrong in (math.nan, math.inf):
        with pytest.raises(ValueError, match="JSON"):
            encode(replace(days, tolerance_v=wrong))


def _spoilt(days: Behaviour) -> dict[str, bytes]:
    whole = json.loads(zlib.decompress(encode(days)))

    def packed(value: Any) -> bytes:
        return zlib.compress(json.dumps(value).encode())

    def with_trace(*trace: Any) -> bytes:
        day = whole[2][0]
        return packed([*whole[:2], [[*day[:2], [list(trace)], *day[3:]]], *whole[3:]])

    assert decode(with_trace("x", "voltage_v", [1.0, 2])).days[0].traces[0].values == (1.0, 2)
    return {
        "no text": b"",
        "no compression": b"[]",
        "half of it": encode(days)[:-40],
        "no list": packed({}),
        "a field less": packed(whole[:-1]),
        "a field more": packed([*whole, 1]),
        "text for a number": packed(["1", *whole[1:]]),
        "text among floats": with_trace("x", "voltage_v", [1.0, "2"]),
        "a quantity that is none": with_trace("x", "taste", [1.0]),
        "deep": zlib.compress(b"[" * 200_000),
    }


def test_anything_else_is_refused_in_one_way(days: Behaviour) -> None:
    for data in _spoilt(days).values():
        with pytest.raises(ValueError, match="no days of this release"):
            decode(data)


def test_a_large_entry_is_read_quickly(days: Behaviour) -> None:
    trace = Trace("banks.house", "voltage_v", tuple(12.0 + math.sin(k) for k in range(1440)))
    large = replace(days, days=tuple(replace(day, traces=(trace,) * 40) for day in days.days[:2]))
    data = encode(large)
    decode(data)
    took = []
    for _ in range(5):
        begin = time.process_time()
        decode(data)
        took.append(time.process_time() - begin)
    assert min(took) < 0.1
