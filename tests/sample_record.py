"""A record made by hand on Marram's real results: for tests of what shows it, at once.

Every kind of row stands in it, with gaps where a record has gaps: a deviation without a reason, a photo without an
item, a defect without a day.
"""

from __future__ import annotations

import dataclasses
import functools
import hashlib
from pathlib import Path
from typing import Any, Final

from proposal.book.photos import PublishedPhoto
from proposal.results import record_model as m
from proposal.results.difference import difference
from proposal.results.evaluate import evaluate
from proposal.results.model import CitationResult, Results
from proposal.spec.loading import load_project

PROJECTS: Final = Path(__file__).parents[1] / "projects"
OPTION: Final = "dedicated"
CITED: Final = CitationResult("common_practice", "", "common practice")


def sum_of(text: str) -> str:
    """A sum that looks like one."""
    return hashlib.sha256(text.encode()).hexdigest()


def fitted(item: str, designation: str, kind: Any, title: str = "", **more: Any) -> m.FittedRow:
    plain: dict[str, Any] = {
        "part": "", "part_title": "", "serial": "", "firmware": "", "settings": (), "route_as_run": "",
        "fitted_on": "2027-02-12", "note": "", "entry": 1,
    }  # fmt: skip
    return m.FittedRow(item=item, designation=designation, title=title, kind=kind, **{**plain, **more})


FITTED: Final = (
    fitted("banks.lithium.s1", "G2", "battery", "Lithium bank", part="lithium_230", part_title="LiFePO4 battery 230 Ah",
           serial="LB-4471-A", firmware="v2.14", settings=(("charge_limit", "115 A"), ("low_cut_off", "11.2 V"))),
    fitted("banks.lithium.s2", "G3", "battery", "Lithium bank", part="lithium_230", part_title="LiFePO4 battery 230 Ah",
           serial="LB-4472-A", firmware="v2.14"),
    fitted("sources.solar", "G5", "source", "Solar array on the arch", serial="SC-0091"),
    fitted("links.vsr.relay", "K1", "device", part="vsr_12v_200", part_title="Voltage-sensitive relay 200 A",
           serial="VR-118", settings=(("joins", "13.4 V"), ("releases", "12.8 V")), note="Cover has a crack.", entry=2),
    fitted("loads.windlass.fuse", "F20", "device", "Windlass", part="anl_300", part_title="Fuse ANL 300 A"),
    fitted("loads.windlass.positive", "W47", "conductor", "Windlass", part="cable_2_0", part_title="2/0 AWG",
           route_as_run="Under the port berths, behind the head, through the chain locker's bulkhead"),
)  # fmt: skip

DEVIATIONS: Final = (
    m.DeviationRow("part", "loads.windlass.fuse", "F20", "Windlass", "anl_250", "anl_300",
                   "The windlass maker asks for it.", 1, "Fuse ANL 250 A", "Fuse ANL 300 A"),
    m.DeviationRow("part", "loads.fridge.fuse", "F9", "", "cylinder_12", "cylinder_15", "", 2),
    m.DeviationRow("value", "routes.windlass.length", "", "", "11 m", "12.5 m", "The head was in the way.", 1),
    m.DeviationRow("value", "loads.fridge.current", "", "", "", "5.2 A", "", 2),
)  # fmt: skip


def test(name: str, item: str, designation: str, title: str, outcome: Any, **more: Any) -> m.TestRow:
    plain: dict[str, Any] = {
        "end": "", "unit": "V", "expected": None, "low": None, "high": None, "basis": "works", "values": {},
        "danger": False, "checks": (), "wanting": "", "value": None, "at_a": None, "passed": None, "how": "",
        "instrument": "", "by": "", "date": "", "note": "", "entry": None, "earlier": (), "citation": CITED,
    }  # fmt: skip
    return m.TestRow(test=name, item=item, designation=designation, title=title, outcome=outcome, **{**plain, **more})


test.__test__ = False  # type: ignore[attr-defined]

TESTS: Final = (
    test("load_drop", "loads.windlass", "E13", "Voltage lost on the way", "pass", expected=0.61, low=0.47, high=0.75,
         value=0.64, at_a=118.0, by="Oda Brennig", date="2027-02-12", entry=1, instrument="Clamp 3"),
    test("torque", "banks.lithium.s1", "G2", "Torque of a joint", "pass", end="positive", unit="N·m", expected=12.0,
         low=10.8, high=13.2, value=12.1, by="Oda Brennig", date="2027-02-12", entry=1),
    test("contactor_open", "banks.lithium.contactor", "Q3", "Contactor really opens", "fail",
         unit="", danger=True, passed=False, how="By its auxiliary contact", by="Oda Brennig", date="2027-02-12",
         entry=1),
    test("emergency_off", "banks.lithium.switch", "Q2", "Emergency off cuts the battery off", "not_measured", unit="",
         danger=True),
    test("pump_main_off", "loads.bilge_pump", "E1", "Bilge pump runs with the main switch off", "pass", unit="",
         danger=True, passed=True, by="J. Tarrant", date="2027-06-03", entry=3),
    test("insulation", "", "", "Insulation against the engine block", "undecided", unit="ohm", value=1.0e6,
         wanting="maker_figure", by="Oda Brennig", date="2027-02-12", entry=1),
)  # fmt: skip

PHOTOS: Final = (
    m.PhotoRow("battery-box.jpg", sum_of("battery box"), "Battery box, lid off", "banks.lithium.s1", "G2",
               "Lithium bank", "Battery box under the chart table", False, True, "2027-02-12", "Oda Brennig", 1),
    m.PhotoRow("windlass-run.jpg", sum_of("windlass run"), "Windlass cables behind the head",
               "loads.windlass.positive", "W47", "Windlass", "Saloon and lockers", True, True, "2027-02-10",
               "Oda Brennig", 1),
    m.PhotoRow("panel.png", sum_of("panel"), "Switch panel from behind", "", "", "", "", False, False, "2027-06-03",
               "J. Tarrant", 3),
)  # fmt: skip

DEFECTS: Final = (
    m.DefectRow("crimp_w3", "Crimp of the negative is not staked", "banks.lead.negative", "W3", "Lead reserve",
                "danger", "2027-02-12", 1, "2027-02-20", "Oda Brennig", "", "", "", None),
    m.DefectRow("label_q5", "Label of the emergency switch is missing", "links.vsr.emergency", "Q5", "", "advice",
                "2027-02-12", 1, "", "", "", "", "", None),
    m.DefectRow("chafe_w35", "Cable chafes at the mast step", "loads.nav_lights.positive", "W35", "Navigation lights",
                "fault", "2027-02-12", 1, "2027-03-01", "J. Tarrant", "2027-06-03", "Grommet fitted, cable sleeved",
                "J. Tarrant", 3),
)  # fmt: skip

SEALS: Final = (m.SealRow(1, "2027-02-14", "marram-seal-1", sum_of("seal"), 2),)
ITSELF: Final = m.SealRow(2, "2027-06-04", "marram-seal-2", "", 3)
"""The seal that carries the record."""


def entries(sealed: bool) -> tuple[m.EntryRow, ...]:
    """Hand-over, a change that a seal closed, and a visit that is still open unless `sealed`."""
    thresholds = m.FindingName("relay_thresholds_fooled", "links.vsr.relay", "fault")
    melts = m.FindingName("start_melts_fuse", "loads.windlass.fuse", "fault")
    return (
        m.EntryRow(1, "01-hand-over.yaml", sum_of("one"), 1, "hand_over", "Handed over after sea trial", "2027-02-12",
                   "Oda Brennig", "Licence of the invented coast", ("Windlass fuse by its maker's word.",),
                   ("routes.windlass.length", "loads.windlass.fuse"), (thresholds,), (melts,), 0, 6),
        m.EntryRow(2, "02-relay.yaml", sum_of("two"), 1, "change", "Relay replaced under warranty", "2027-02-13",
                   "Oda Brennig", "", (), ("links.vsr.relay", "loads.fridge.current"), (), (), 1, 1),
        m.EntryRow(3, "03-visit.yaml", sum_of("three"), 2 if sealed else None, "visit", "Yearly look", "2027-06-03",
                   "J. Tarrant", "", ("Vents cleaned.", "Start battery good."), (), (), (thresholds,), 0),
    )  # fmt: skip


HINDRANCES: Final = (
    m.Hindrance("failed_test", "contactor_open", "banks.lithium.contactor"),
    m.Hindrance("missing_test", "emergency_off", "banks.lithium.switch"),
    m.Hindrance("defect", "crimp_w3", "banks.lead.negative"),
    m.Hindrance("finding", "breaking_capacity_low", "loads.fridge.fuse"),
)

PUBLISHED: Final = {
    "battery-box.jpg": PublishedPhoto("a1b2c3.jpg", 1200, 900),
    "windlass-run.jpg": PublishedPhoto("d4e5f6.jpg", 900, 1200, located=True),
}
"""The third photo is not there."""


def record(*, hindered: bool = True, sealed: bool = False) -> m.RecordResult:
    """The record; without hindrances everything that speaks against it is mended and passed."""
    tests, defects = TESTS, DEFECTS
    if not hindered:
        done = {"mended_on": "2027-06-03", "mended_how": "Staked anew", "mended_by": "J. Tarrant", "mended_entry": 3}
        defects = tuple(d if d.mended_on or d.severity != "danger" else dataclasses.replace(d, **done) for d in DEFECTS)
        tests = tuple(
            dataclasses.replace(t, outcome="pass", passed=True, by="J. Tarrant", date="2027-06-03", entry=3)
            if t.danger
            else t
            for t in TESTS
        )
    return m.RecordResult(
        option=OPTION,
        letter="B",
        date="2027-02-12",
        latest_date="2027-06-03",
        entries=entries(sealed),
        agreed=m.AgreedRow("Ilse and Tomas Varnegg", "2026-12-01", "B"),
        turned_down=(
            m.TurnedDown("shared", "A", "House bank starts the engine", "13948.50", "The start must not depend on it."),
        ),
        fitted=FITTED,
        deviations=DEVIATIONS,
        tests=tests,
        photos=PHOTOS,
        defects=defects,
        upkeep=(),
        hindrances=HINDRANCES if hindered else (),
        seals=(*SEALS, ITSELF) if sealed else SEALS,
        record_address="https://records.example/marram",
    )


@functools.cache
def evaluated() -> Results:
    """Marram's chosen option alone."""
    return evaluate(load_project(PROJECTS / "marram", chosen=OPTION), {}, "proposal 0.0.0").results


def results(*, hindered: bool = True, sealed: bool = False) -> Results:
    """The chosen option with its record; hindered, with a danger among the findings as well."""
    found = evaluated()
    option = found.options[0]
    if hindered:
        danger = dataclasses.replace(
            option.findings[0], id="breaking_capacity_low", number=4, severity="danger", outcome="fires",
            item="loads.fridge.fuse", designation="F9", title="",
            values={"cause": "fault", "interrupt_a": 1000.0, "needed_a": 2632.1},
        )  # fmt: skip
        option = dataclasses.replace(option, findings=(danger, *option.findings))
    fuse = next(d for d in option.devices if d.key == "loads.windlass.fuse")
    stronger = dataclasses.replace(fuse, part_id="anl_300", part_title="Fuse ANL 300 A", rating_a=300.0, pinned=True)
    option = dataclasses.replace(option, devices=tuple(stronger if d is fuse else d for d in option.devices))
    made = record(hindered=hindered, sealed=sealed)
    other = difference(found.options[0], option)
    return dataclasses.replace(found, options=(option,), record=dataclasses.replace(made, difference=other))
