"""Code notes: every topic of the digest of rules stands in its family, and applies to the vessels it is made for."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest

from proposal.circuit.model import SourceKind
from proposal.codes import FAMILIES, family
from proposal.codes.family import Circumstance, CodeNote, VesselKind
from proposal.rules.finding import Evidence, Outcome, RawFinding
from proposal.rules.notes import _outcome, aboard, note_outcomes
from proposal.rules.registry import CHECKS, LIMIT_OF_FAMILY, CheckRun, run_checks
from proposal.sources import Citation
from proposal.studies.joins.study import first_currents
from tests.generate import Built, cell, project

TRUTH = Path(__file__).parents[1] / "truth"
SURE = ("definition", "corroborated", "common practice", "from memory")

with (TRUTH / "rules_digest.csv").open(encoding="utf-8", newline="") as _file:
    DIGEST = list(csv.DictReader(_file))

PLACED = {
    "33 CFR 183": {
        "battery movement": "us_boats.battery_fitting", "battery place": "us_boats.battery_fitting",
        "battery gas": "us_boats.battery_fitting", "battery terminals": "us_boats.terminals",
        "conductors": "us_boats.smallest_conductor", "ampacity": "us_boats.conductor_current us_boats.engine_space",
        "exemptions": "us_boats.exemptions", "bundling": "us_boats.bundles_from_50_v",
        "OCPD place": "us_boats.fuse_place", "OCPD rating": "us_boats.fuse_rating", "cranking": "us_boats.cranking",
        "ignition protection": "us_boats.ignition",
    },
    "46 CFR 183.380": {"OCPD rating": "us_boats.passenger_vessels"},
    "ABYC E-11": {
        "voltage drop": "us_boats.voltage_drop", "OCPD distance": "us_boats.fuse_place_at_battery",
        "starter exemption": "us_boats.cranking", "OCPD rating": "us_boats.fuse_share",
        "interrupt rating": "us_boats.breaking_capacity", "interrupt rating 2025": "us_boats.breaking_capacity",
        "parallel banks 2025": "us_boats.device_per_battery", "battery switch": "us_boats.battery_switch",
        "minimum size": "us_boats.minimum_size", "charging sources": "us_boats.charging_sources",
        "identification": "us_boats.identification",
    },
    "ABYC E-10": {
        "securing": "us_boats.securing", "terminals": "us_boats.terminal_lugs", "ventilation": "us_boats.ventilation",
    },
    "ABYC E-13": {
        "scope": "us_boats.lithium_scope", "BMS": "us_boats.lithium_management", "warning": "us_boats.lithium_warning",
        "maker data": "us_boats.lithium_limits", "critical loads": "us_boats.critical_loads",
        "tests": "us_boats.lithium_tests", "remote switch 2025": "us_boats.remote_switch",
    },
    "ABYC A-31": {
        "indication": "us_boats.chargers", "transfer": "us_boats.chargers", "case bond": "us_boats.chargers",
    },
    "ABYC A-32": {"scope": "us_boats.ac_power"},
    "ISO 10133:2012": {
        "voltage drop": "iso_boats.voltage_drop", "battery": "iso_boats.battery_place",
        "fuel clearance": "iso_boats.fuel_clearance", "supports": "iso_boats.supports",
        "battery leads": "iso_boats.battery_leads", "size": "iso_boats.smallest_conductor",
        "voltage window": "iso_boats.voltage_window",
    },
    "ISO 13297:2020+A1:2022": {
        "merge": "iso_boats.one_document", "charging sources": "iso_boats.charging_sources",
        "AC rating": "iso_boats.ac_rating", "AC place": "iso_boats.ac_place", "DC place": "iso_boats.fuse_place",
        "DC rating": "iso_boats.fuse_rating", "battery switch": "iso_boats.battery_switch",
    },
    "ISO 13590": {"fuse": "iso_boats.watercraft us_boats.watercraft"},
    "ISO 23625:2025": {
        "scope": "iso_boats.lithium_scope", "cells": "iso_boats.lithium_cells",
        "philosophy": "iso_boats.lithium_philosophy",
    },
    "ISO 10240": {"content": "iso_boats.owners_manual"},
    "ISO 8846": {"ignition": "iso_boats.ignition"},
    "RCD 2013/53/EU Annex I A 5.3": {"electrical": "iso_boats.overload"},
    "BSS": {"reference": "iso_boats.inland british.inland"},
    "NEC 551/552 and NFPA 1192, ANSI/RVIA 12V/LV": {
        "where the low-voltage rule lives": "nec_cabins.vehicles", "conductor": "nec_cabins.vehicle_conductors",
        "chassis ground": "nec_cabins.vehicle_ground", "battery box": "nec_cabins.vehicle_battery_box",
        "OCPD place": "nec_cabins.fuse_place_vehicle", "OCPD rating": "nec_cabins.vehicle_fuses",
    },
    "NFPA 302": {"battery/overcurrent": "us_boats.fire_code"},
    "EN 1648-2:2018": {"12 V of motor caravans": "eu_vehicles.living_part british.living_part"},
    "EN 1648-1": {"12 V of caravans": "eu_vehicles.towed"},
    "IEC/BS 60364-7-721": {"caravan wiring": "eu_vehicles.smallest_conductor british.smallest_conductor"},
    "BS 7671 Section 721": {"bonding": "british.bonding eu_vehicles.bonding"},
    "BS 7671 / IEE book 7.9.2": {"mains side of caravan": "british.mains_inlet eu_vehicles.mains_inlet"},
    "NEC": {
        "small conductor": "nec_cabins.small_conductors", "PV": "nec_cabins.array_current",
        "battery disconnect": "nec_cabins.battery_switch", "storage systems": "nec_cabins.energy_storage",
        "stand-alone": "nec_cabins.stand_alone", "ampacity": "nec_cabins.conductor_current",
    },
    "IEC 60364-4-43": {
        "protection": "eu_vehicles.fuse_rating british.fuse_rating eu_vehicles.short_circuit british.short_circuit",
    },
    "IEEE 946-2020": {"fault estimate": "us_boats.fault_method iso_boats.fault_method nec_cabins.fault_method"},
    "IEEE 485 / 1013 / 1561 / 1562 / IEC 62124": {"sizing": "nec_cabins.sizing"},
}  # fmt: skip
NOTES = {note.id: note for known in FAMILIES.values() for note in known.code_notes}


def document(row: dict[str, str]) -> str:
    return row["document"].split(" (")[0]


@pytest.mark.parametrize("row", DIGEST, ids=lambda row: f"{document(row)}: {row['topic']}")
def test_every_row_of_the_digest_stands_in_its_family(row: dict[str, str]) -> None:
    ids = PLACED[document(row)][row["topic"]].split()
    for note_id in ids:
        note = NOTES[note_id]
        assert SURE.index(note.citation.status) >= SURE.index(row["status"])  # never surer than the digest
        assert row["requirement_own_words"] != note.text  # told anew, shorter or clearer
        if "check your edition" in row["clause"]:
            assert "check your edition" in note.clause


def test_the_places_name_no_row_that_the_digest_lacks() -> None:
    assert {(doc, topic) for doc, topics in PLACED.items() for topic in topics} == {
        (document(row), row["topic"]) for row in DIGEST
    }


def test_status_and_source_of_the_digest_are_known() -> None:
    assert {row["status"] for row in DIGEST} <= set(SURE)
    assert all(row["source"] for row in DIGEST)


# --- to whom they apply ----------------------------------------------------------------------------------------------

ALL_ABOARD = frozenset(get_args(Circumstance)) - {"watercraft"}


def of(family_id: str, kind: str, has: frozenset[str] = ALL_ABOARD) -> set[str]:
    return {note.id.partition(".")[2] for note in family(family_id).code_notes if note.applies(kind, has)}


def test_a_camper_gets_the_notes_on_vehicles_and_a_cabin_those_on_cabins() -> None:
    vehicle = {"vehicles", "vehicle_fuses", "vehicle_conductors", "vehicle_ground", "vehicle_battery_box",
               "vehicle_switch", "vehicle_lithium", "fuse_place_vehicle"}  # fmt: skip
    cabin = {"fuse_place_cabin", "stand_alone", "energy_storage", "battery_switch", "sizing"}
    camper, house = of("nec_cabins", "camper"), of("nec_cabins", "cabin")
    assert vehicle <= camper
    assert cabin <= house
    assert not vehicle & house
    assert not cabin & camper
    assert {"conductor_current", "terminals", "fuse_rating"} <= camper & house


@pytest.mark.parametrize("family_id", ["eu_vehicles", "british"])
def test_notes_on_caravans_are_not_for_cabins(family_id: str) -> None:
    caravan = {"mains_inlet", "bonding", "smallest_conductor", "living_part"}
    assert "towed" not in of("eu_vehicles", "camper", ALL_ABOARD - {"no_engine"})
    assert "living_part" not in of("eu_vehicles", "camper", ALL_ABOARD - {"engine"})
    assert caravan <= of(family_id, "camper")
    assert not caravan & of(family_id, "cabin")


def test_petrol_rules_are_for_petrol_and_lithium_rules_for_lithium() -> None:
    for family_id in ("us_boats", "iso_boats"):
        assert "ignition" in of(family_id, "boat")
        assert "ignition" not in of(family_id, "boat", ALL_ABOARD - {"petrol"})
    only_lead = frozenset(thing for thing in ALL_ABOARD if not thing.startswith("lithium"))
    for family_id in FAMILIES:
        assert not [name for name in of(family_id, "boat", only_lead) if name.startswith("lithium_")]


def test_a_note_without_conditions_is_for_everybody() -> None:
    note = CodeNote("x.y", "t", "c", "Text.", NOTES["us_boats.fuse_place"].citation)
    assert all(note.applies(kind, frozenset()) for kind in get_args(VesselKind))
    assert not replace(note, kinds=("boat",)).applies("cabin", ALL_ABOARD)
    assert not replace(note, when=("mains", "petrol")).applies("boat", frozenset({"mains"}))


def test_a_condition_that_nobody_knows_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    from proposal.codes import notes  # noqa: PLC0415
    from proposal.codes.rows import rows  # noqa: PLC0415

    row = rows("us_boats_notes")[0]
    wrong = row._replace(cells={**row.cells, "when": "boat moonlight"})
    monkeypatch.setattr(notes, "rows", lambda _: (wrong,))
    with pytest.raises(ValueError, match="moonlight"):
        notes.code_notes.__wrapped__("us_boats")


# --- what is aboard --------------------------------------------------------------------------------------------------


def evidence_of(built: Built) -> Evidence:
    made = built.design()
    return Evidence(made, built.spec, built.family, first_currents(made.circuit, built.family), built.catalogue)


def with_vessel(evidence: Evidence, **update: object) -> Evidence:
    spec = evidence.spec.spec
    changed = spec.model_copy(update={"vessel": spec.vessel.model_copy(update=update)})
    return replace(evidence, spec=replace(evidence.spec, spec=changed))


@pytest.fixture(scope="module")
def mixed() -> Evidence:
    return evidence_of(cell("lead_and_lithium_with_starter", 12))


def test_what_is_aboard(mixed: Evidence) -> None:
    found = aboard(with_vessel(mixed, fuel="diesel", mains_aboard=True))
    assert {"lithium", "lead", "starter", "engine", "fuel", "mains"} <= found
    assert not {"petrol", "watercraft", "no_engine"} & found
    assert "petrol" in aboard(with_vessel(mixed, fuel="petrol"))
    assert not {"fuel", "petrol", "mains"} & aboard(with_vessel(mixed, fuel="none", mains_aboard=False))
    assert found <= set(get_args(Circumstance))


@pytest.mark.parametrize("kind", ["solar", "shore"])
def test_an_array_and_no_other_source_is_solar(mixed: Evidence, kind: SourceKind) -> None:
    sources = tuple(replace(source, kind=kind) for source in mixed.circuit.sources)
    circuit = replace(mixed.circuit, sources=sources, memo={})
    found = aboard(replace(mixed, design=replace(mixed.design, circuit=circuit)))
    assert ("solar" in found) == (kind == "solar")


@pytest.mark.parametrize("strings", [1, 2, 3])
def test_a_bank_of_several_strings_is_parallel(mixed: Evidence, strings: int) -> None:
    banks = tuple(replace(bank, strings=bank.strings[:1] * strings) for bank in mixed.circuit.banks)
    circuit = replace(mixed.circuit, banks=banks, memo={})
    found = aboard(replace(mixed, design=replace(mixed.design, circuit=circuit)))
    assert ("parallel" in found) == (strings > 1)


@pytest.mark.parametrize("count", [2, 3])
def test_more_than_two_conductors_together_are_a_bundle(mixed: Evidence, count: int) -> None:
    conductors = tuple(replace(c, bundled_count=count) for c in mixed.circuit.conductors)
    circuit = replace(mixed.circuit, conductors=conductors, memo={})
    found = aboard(replace(mixed, design=replace(mixed.design, circuit=circuit)))
    assert ("bundled" in found) == (count > 2)


def outcomes_of_w56() -> list[tuple[float, bool, bool]]:
    """Capacity [Ah] of a 12.8 V battery, whether ABYC E-13 and ISO 23625:2025 ask for more, as the row prints them."""
    with (TRUTH / "worked_examples.csv").open(encoding="utf-8", newline="") as file:
        (row,) = [row for row in csv.DictReader(file) if row["id"] == "W56"]
    capacities = row["inputs"].removeprefix("12.8 V x ").removesuffix(" Ah").split(" / ")
    e13, iso = (words.split(": ")[1].split(",") for words in row["expected"].split(" ; "))
    return [(float(ah), a == "yes", b == "yes") for ah, a, b in zip(capacities, e13, iso, strict=True)]


@pytest.mark.parametrize(("capacity_ah", "e13", "iso"), [*outcomes_of_w56(), (39.0, False, False)])
def test_w56_thresholds_of_the_lithium_documents(mixed: Evidence, capacity_ah: float, e13: bool, iso: bool) -> None:
    """W56, corroborated: 12.8 V · 40, 47, 100 Ah against 600 Wh (ABYC E-13) and 500 Wh (ISO 23625:2025)."""
    first = next(b for b in mixed.circuit.batteries if b.part.chemistry == "lithium")
    part = first.part.model_copy(update={"voltage_v": 12.8, "capacity_ah": capacity_ah})
    lithium = tuple(b for b in mixed.circuit.batteries if b.part.chemistry == "lithium" and b.key != first.key)
    batteries = tuple(
        replace(b, part=part, series_count=1) if b.key == first.key else b
        for b in mixed.circuit.batteries
        if b not in lithium
    )
    banks = tuple(replace(b, strings=(first.key,)) if first.key in b.strings else b for b in mixed.circuit.banks)
    circuit = replace(mixed.circuit, batteries=batteries, banks=banks, memo={})
    found = aboard(replace(mixed, design=replace(mixed.design, circuit=circuit)))
    assert ("lithium_from_600_wh" in found, "lithium_above_500_wh" in found) == (e13, iso)


def test_every_note_of_every_demonstration_project_has_an_outcome_and_a_reason() -> None:
    for name in ("marram", "skarn"):
        evidence = evidence_of(project(name)[0])
        for found in note_outcomes(evidence, run_checks(evidence)):
            assert (found.looked_count > 0) == (
                found.because in ("found_nothing", "fired", "figure_missing", "remembered")
            )
            if found.outcome == "not_applicable":
                assert found.because in ("kind", "absent")
                assert not found.note.applies(evidence.spec.spec.vessel.kind, aboard(evidence))


def test_a_note_is_no_surer_than_a_limit_that_it_rests_on() -> None:
    """The directive is corroborated, the ampacities that its overload rule is tested with are remembered."""
    evidence = evidence_of(project("dunlin")[0])
    ours = replace(evidence, family=family("iso_boats"))
    standing = {found.note.id: found for found in note_outcomes(ours, run_checks(ours))}
    assert standing["iso_boats.overload"].note.citation.status == "corroborated"
    assert (standing["iso_boats.overload"].outcome, standing["iso_boats.overload"].because) == (
        "undecided",
        "remembered",
    )
    assert standing["iso_boats.voltage_drop"].outcome == "passed"


# --- how an outcome comes about --------------------------------------------------------------------------------------

MEMORY = Citation("nec", "x", "from memory")
PRINTED = Citation("nec", "x", "corroborated")


def run(check_id: str = "voltage_drop_high", tested: int = 3, cited: Citation = PRINTED, **found: int) -> CheckRun:
    check = next(check for check in CHECKS if check.id == check_id)
    finding = RawFinding(check.id, check.number, check.severity, "fires", "x", {}, cited)
    findings = [finding] * found.get("fires", 0) + [replace(finding, outcome="undecided")] * found.get("undecided", 0)
    return CheckRun(check, Outcome(tested, tuple(findings)), cited)


@pytest.mark.parametrize(
    ("cited", "runs", "outcome", "because"),
    [
        (PRINTED, [], "to_be_tested", "no_check"),
        (PRINTED, [run(tested=0)], "to_be_tested", "nothing_there"),
        (PRINTED, [run()], "passed", "found_nothing"),
        (PRINTED, [run(tested=0), run()], "passed", "found_nothing"),
        (PRINTED, [run(fires=1)], "failed", "fired"),
        (PRINTED, [run(undecided=1), run(fires=1)], "failed", "fired"),
        (PRINTED, [run(undecided=1), run()], "undecided", "figure_missing"),
        (MEMORY, [run()], "passed", "found_nothing"),  # the rule is remembered, its limit is not
        (PRINTED, [run(cited=MEMORY)], "passed", "found_nothing"),  # the note is read, and says what counts
        (MEMORY, [run(cited=MEMORY)], "undecided", "remembered"),
        (MEMORY, [run(), run(cited=MEMORY)], "undecided", "remembered"),
        (MEMORY, [run(tested=0, cited=MEMORY), run()], "passed", "found_nothing"),  # nothing lay under that limit
        (MEMORY, [run("breaking_capacity_low", cited=MEMORY)], "passed", "found_nothing"),  # the fuse's own rating
    ],
)
def test_outcomes(cited: Citation, runs: list[CheckRun], outcome: str, because: str) -> None:
    note = CodeNote("x.y", "t", "c", "Text.", cited)
    assert _outcome(note, runs) == (outcome, because)
    if outcome == "passed" and any(r.tested and r.citation is MEMORY and r.check.id in LIMIT_OF_FAMILY for r in runs):
        assert _outcome(replace(note, basis="limits"), runs) == ("undecided", "remembered")
    on_factors = _outcome(replace(note, basis="factors"), runs, remembered_factors=True)
    assert on_factors == (("undecided", "remembered") if outcome == "passed" else (outcome, because))
