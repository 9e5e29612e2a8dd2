"""The emergency card: order of the steps, what stays alive, and the text for the code."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.book.codes import draw_codes
from proposal.book.opening import context_of
from proposal.book.pages import emergency
from proposal.book.pages.emergency_steps import LEFT_OUT, MOST_BYTES, cut_off, record_address
from proposal.book.pages.emergency_steps import emergency_text as text_of
from proposal.book.record import make_record_book
from proposal.book.sentences import emergency as words
from proposal.book.sentences import switching_plan as plan_words
from proposal.results.model import Results
from proposal.results.record_model import EmergencyOffRow
from tests import recorded_project as recorded
from tests.decoding import decoded

CHARGES = ("stop_alternator", "stop_shore", "stop_generator", "stop_wind", "stop_solar", "stop_solar_switch")


@pytest.fixture(scope="module")
def results() -> Results:
    return recorded.marram().results


def changed(results: Results, *, option: Any = None, **record: Any) -> Results:
    assert results.record is not None
    options = (dataclasses.replace(results.options[0], **(option or {})),)
    return dataclasses.replace(results, options=options, record=dataclasses.replace(results.record, **record))


def emergency_text(results: Results) -> str:
    return text_of(context_of(results))


def codes(results: Results, acts: str | None) -> list[str]:
    off = EmergencyOffRow("Off", acts) if acts is not None else None  # type: ignore[arg-type]
    return [step.code for step in cut_off(results.options[0], off)]


@pytest.mark.parametrize("acts", ["coil", "signal", "hand_switch", None])
def test_what_charges_stops_before_any_battery_is_parted(results: Results, acts: str | None) -> None:
    found = codes(results, acts)
    parted = [place for place, code in enumerate(found) if code.startswith(("off_", "open_"))]
    charging = [place for place, code in enumerate(found) if code in CHARGES]
    assert charging
    assert max(charging) < min(parted)
    assert found.count("open_switch") == sum(
        1 for d in results.options[0].devices if d.kind == "switch" and d.key != "links.vsr.emergency"
    )


def test_a_coil_that_is_broken_opens_its_contactor_and_a_signal_does_not(results: Results) -> None:
    assert "open_contactor" not in codes(results, "coil")
    for acts in ("signal", "hand_switch", None):
        assert "open_contactor" in codes(results, acts)


def test_without_contactors_a_signal_reaches_nothing(results: Results) -> None:
    bare = changed(results, option={"devices": tuple(d for d in results.options[0].devices if d.kind != "contactor")})
    assert "off_signal_alone" in codes(bare, "signal")
    assert "off_alone" in codes(bare, "coil")


def test_a_latching_contactor_is_opened_at_its_controller_whatever_is_pressed(results: Results) -> None:
    switched = tuple(
        dataclasses.replace(row, unpowered="stays") if row.kind == "contactor" else row
        for row in results.options[0].switched
    )
    latching = changed(results, option={"switched": switched})
    found = codes(latching, "coil")
    assert found.index("off_stays") < found.index("open_contactor")
    assert "stays closed all the same" in repr(emergency.page(context_of(latching)))


def test_every_step_of_the_plan_has_words(results: Results) -> None:
    assert set(words.STEPS) == set(words.SHORT_STEPS)
    handled = {code for code in plan_words.STEPS if code.startswith(("stop_", "open_", "emergency_open"))}
    assert handled <= set(words.STEPS)
    told = {step.code for step in results.options[0].switching if step.phase in ("stop", "part")}
    assert told <= set(words.STEPS) | LEFT_OUT


def test_the_page_names_switches_pumps_and_whom_to_call(results: Results) -> None:
    called = changed(results, telephone="+00 555 0100")
    page = emergency.page(context_of(called))
    text = repr(page)
    for wanted in (
        "Emergency off in the companionway",
        "Q2 (battery switch, Lithium bank)",
        "Bilge pump",
        "+00 555 0100",
    ):
        assert wanted in text
    assert "Lead reserve (G1)" in text
    assert "running alternator" in text


def test_a_cabin_without_engine_is_not_told_about_one(results: Results) -> None:
    kept = tuple(s for s in results.options[0].sources if s.kind != "alternator")
    text = repr(emergency.page(context_of(changed(results, option={"sources": kept, "loads": ()}))))
    assert "running alternator" not in text
    assert "Nothing goes on running" in text


def test_the_code_on_the_box_says_what_the_card_says(results: Results) -> None:
    (svg,) = draw_codes(results).values()
    assert decoded(svg) == emergency_text(results)


def test_the_text_is_plain_lines_with_the_steps_numbered_in_order(results: Results) -> None:
    lines = emergency_text(results).split("\n")
    assert lines[0] == "EMERGENCY: Marram, 12 V DC"
    steps = [line for line in lines if line[:1].isdigit()]
    assert [int(line.split()[0]) for line in steps[:9]] == list(range(1, 10))
    assert steps[3] == "4 Press: Emergency off in the companionway"
    assert steps[5] == "6 Open: Q2 Lithium bank"
    assert any(line.startswith("CALL ") for line in lines)


def long_titles(results: Results, sign: str) -> Results:
    option = results.options[0]
    return changed(
        results,
        option={
            "banks": tuple(dataclasses.replace(b, title=sign * 300, place=sign * 300) for b in option.banks),
            "devices": tuple(dataclasses.replace(d, title=sign * 300) for d in option.devices),
            "loads": tuple(dataclasses.replace(x, title=sign * 300) for x in option.loads),
        },
        telephone=sign * 300,
    )


@pytest.mark.parametrize("sign", ["a", "ö", "船", "😀", "\u202e", "\n"])
def test_long_and_hostile_names_never_cost_a_step(results: Results, sign: str) -> None:
    made = long_titles(results, sign)
    text = emergency_text(made)
    assert len(text.encode()) <= MOST_BYTES
    steps = [line for line in text.split("\n") if line[:1].isdigit()]
    assert len(steps) >= len(dict.fromkeys(codes(made, "coil")))
    assert "\u202e" not in text
    assert decoded(draw_codes(made)["emergency-code.svg"]) == text


@settings(max_examples=12)
@given(
    st.text(max_size=120),
    st.text(st.characters(codec="utf-8"), max_size=300),
    st.sampled_from(["coil", "signal", None]),
)
def test_any_names_make_a_text_that_fits_and_reads_back(title: str, telephone: str, acts: str | None) -> None:
    results = recorded.marram().results
    off = EmergencyOffRow(title or "Off", acts) if acts is not None else None  # type: ignore[arg-type]
    option = results.options[0]
    named = tuple(dataclasses.replace(d, title=f"{title} {d.designation}") for d in option.devices)
    made = changed(results, option={"devices": named}, telephone=telephone, emergency_off=off)
    text = emergency_text(made)
    assert len(text.encode()) <= MOST_BYTES
    assert all(line == " ".join(line.split()) and line for line in text.split("\n"))
    assert decoded(draw_codes(made)["emergency-code.svg"]) == text
    steps = [line for line in text.split("\n") if line.partition(" ")[0].isdigit()]
    assert len(steps) >= len(set(codes(made, acts)))


def test_five_hundred_switches_still_make_a_code(results: Results) -> None:
    step = next(s for s in results.options[0].switching if s.code == "open_switch")
    made = changed(results, option={"switching": (*results.options[0].switching, *[step] * 500)})
    text = emergency_text(made)
    assert len(text.encode()) <= MOST_BYTES
    assert "Open every battery switch" in text


def test_lines_are_dropped_by_weight_and_not_by_place(results: Results) -> None:
    made = changed(results, option={"loads": tuple(results.options[0].loads) * 9})
    assert "CALL " in emergency_text(made)
    assert "CUT OFF" in emergency_text(made)


def test_a_web_address_gets_its_number_encoded(results: Results) -> None:
    assert record_address(results) == ""
    given = changed(results, record_address="https://records.example/{number}/x")
    vessel_row = dataclasses.replace(results.vessel, number="MA 07/B&c")
    given = dataclasses.replace(given, vessel=vessel_row)
    assert record_address(given) == "https://records.example/MA%2007%2FB%26c/x"
    drawn = draw_codes(given)
    assert list(drawn) == ["emergency-code.svg", "record-code.svg"]
    assert decoded(drawn["record-code.svg"]) == record_address(given)


def test_a_proposal_has_no_codes(results: Results) -> None:
    assert draw_codes(dataclasses.replace(results, record=None)) == {}


def test_the_first_page_tells_the_whole_address(results: Results) -> None:
    given = changed(results, record_address="https://records.example/{number}")
    page = make_record_book(given, (), {}).pages[0]
    assert "https://records.example/MA-2026-07" in repr(page)
    assert "{number}" not in repr(page)
