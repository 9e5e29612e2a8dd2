"""Spec → results: the one pure function that check, book, search, comparison and recomputation all call."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from proposal.circuit.build import build_circuit
from proposal.circuit.designations import assign
from proposal.circuit.misfit import MisfitError
from proposal.circuit.model import Circuit
from proposal.codes.chosen import chosen_family, installer_complaints, spec_complaints
from proposal.codes.family import RuleFamily
from proposal.design.result import Design
from proposal.design.step import design
from proposal.errors import Problem, SpecError
from proposal.frozen import frozen
from proposal.parts.catalogue import Catalogue, clashes
from proposal.parts.references import cable_complaints, part_complaints
from proposal.reading import Document
from proposal.results.consents import consent_rows, limits_row
from proposal.results.findings import acceptance_rows, check_rows, finding_rows, note_rows
from proposal.results.model import RESULTS_VERSION, OptionResult, Results, SurveyResult, VesselResult
from proposal.results.points import sharing_rows, voltage_rows
from proposal.results.pricing import price_option
from proposal.results.protected import protection_rows
from proposal.results.record_model import TestRow
from proposal.results.rows import bank_rows, conductor_rows, device_rows, load_rows, source_rows
from proposal.results.sheets import apart_v, failure_rows, ladder_row, switching_rows
from proposal.results.store import DaysOf
from proposal.results.studied import (
    assumption_rows,
    case_row,
    energy_row,
    fault_rows,
    join_rows,
    least_fault_rows,
    network_row,
    start_rows,
)
from proposal.results.switched import surge_rows, switched_rows
from proposal.results.ten_years import ten_years
from proposal.rules.acceptance import acceptance_complaints
from proposal.rules.finding import Evidence
from proposal.rules.registry import run_checks
from proposal.spec.installer import Installer
from proposal.spec.loading import Project
from proposal.spec.overlay import EffectiveSpec, effective
from proposal.spec.project import Spec
from proposal.spec.references import Complaint
from proposal.studies.behaviour.result import Behaviour
from proposal.studies.failures.study import failures
from proposal.studies.faults.least import least_networks
from proposal.studies.flow.cases import flow_cases
from proposal.studies.isolation.study import switching_plan
from proposal.studies.joins.study import first_currents
from proposal.studies.ladder.study import voltage_ladder


@frozen
class Evaluated:
    """Results of a project, the designed circuit of each option for its drawings, and all designations by key."""

    results: Results
    circuits: dict[str, Circuit]
    designations: dict[str, str]


@frozen
class _Prepared:
    spec: EffectiveSpec
    family: RuleFamily
    catalogue: Catalogue
    design: Design


def evaluate(
    project: Project,
    ledger: Mapping[str, str],
    made_by: str,
    *,
    sheets: bool = True,
    tests: bool = False,
    days: DaysOf | None = None,
) -> Evaluated:
    """Compute everything about a project.

    Parameters: project as read; ledger of designations by key; made_by, the tool's name and version; `sheets`: False
    leaves empty what pages and JSON show besides and no finding rests on, see `_with_sheets`; `tests`: the tests of
    commissioning all the same, for a record's readings are judged by them; `days`: what simulates
    the days of an option, asked once for each in their order when all are designed; None: without days.
    Raises SpecError, all problems at once, where parts, pins, banks and arrangement do not fit together.
    Pure: equal input gives equal results.
    """
    spec, installer = project.spec.value, project.installer.value
    catalogue = Catalogue.of(project.prices.value, spec.parts)
    wrong = _problems(project.installer, installer_complaints(installer))
    wrong += _problems(project.prices, cable_complaints(project.prices.value.parts))
    complaints: list[Complaint] = [
        (("parts", part_id), f"the price book has a part {part_id} as well", "a name of its own")
        for part_id in clashes(project.prices.value, spec.parts)
    ]
    complaints += part_complaints(spec, catalogue)
    complaints += acceptance_complaints(spec)
    complaints += [*cable_complaints(spec.parts), *spec_complaints(spec)]
    _raise_if_any([*wrong, *_problems(project.spec, complaints)])
    prepared: list[_Prepared] = []
    misfits: list[Complaint] = []
    for option_id in project.option_ids:
        try:
            prepared.append(_prepare(spec, installer, option_id, catalogue))
        except MisfitError as error:
            misfits += error.complaints
    _raise_if_any(_problems(project.spec, misfits))
    names = assign(ledger, [p.design.circuit for p in prepared])
    shown = [days(p.spec, p.design, p.family, p.catalogue) if days is not None else None for p in prepared]
    options = tuple(
        _option(p, project, installer, names, behaviour, sheets=sheets, tests=tests)
        for p, behaviour in zip(prepared, shown, strict=True)
    )
    family = prepared[0].family
    limits = limits_row(spec, options)
    results = Results(RESULTS_VERSION, made_by, _vessel(spec, installer, family), _survey(spec), limits, options)
    return Evaluated(results, {p.spec.option_id: p.design.circuit for p in prepared}, names)


def _problems(document: Document[Any], complaints: Iterable[Complaint]) -> list[Problem]:
    found = []
    for loc, what, allowed in dict.fromkeys(complaints):
        line, column = document.position(loc)
        found.append(Problem(document.file_of(loc), line, column, what, allowed))
    return sorted(found)


def _raise_if_any(problems: list[Problem]) -> None:
    if problems:
        raise SpecError(problems)


def _prepare(spec: Spec, installer: Installer, option_id: str, catalogue: Catalogue) -> _Prepared:
    laid = effective(spec, installer, option_id)
    family = chosen_family(laid, installer)
    return _Prepared(
        laid, family, catalogue, design(build_circuit(laid, catalogue, family), laid.pins, catalogue, family)
    )


def _option(
    prepared: _Prepared,
    project: Project,
    installer: Installer,
    names: Mapping[str, str],
    behaviour: Behaviour | None,
    *,
    sheets: bool,
    tests: bool,
) -> OptionResult:
    spec, family, made = prepared.spec, prepared.family, prepared.design
    circuit = made.circuit
    joins = first_currents(circuit, family)
    evidence = Evidence(made, spec, family, joins, prepared.catalogue, behaviour)
    held = evidence.energy
    runs = run_checks(evidence)
    findings = finding_rows(runs, spec, circuit, names, project.spec)
    lines, totals = price_option(spec, made, prepared.catalogue, installer)
    option = OptionResult(
        id=spec.option_id,
        title=spec.option.title,
        pitch=spec.option.pitch,
        arrangement=spec.option.arrangement,
        conductors=conductor_rows(made, family, names),
        devices=device_rows(made, family, names),
        banks=bank_rows(made, held, names),
        loads=load_rows(made, held, names),
        sources=source_rows(made, names),
        cases=tuple(case_row(made.flow.networks[key], s) for key, s in made.flow.solutions.items()),
        faults=(),
        least_faults=(),
        joins=join_rows(evidence),
        starts=start_rows(made),
        energy=energy_row(held, spec, circuit),
        price_lines=lines,
        price=totals,
        findings=findings,
        acceptances=acceptance_rows(runs, spec, with_days=behaviour is not None),
        consents=consent_rows(evidence),
        checks=check_rows(runs),
        code_notes=note_rows(evidence, runs),
        assumptions=assumption_rows(circuit),
        network=(),
        ladder=ladder_row(voltage_ladder(spec, circuit, prepared.catalogue)),
        switching=(),
        failures=(),
        choose_if=spec.option.choose_if,
        tests=_tests(evidence, names) if sheets or tests else (),
        behaviour=behaviour,
        ten_years=(None if behaviour is None else ten_years(behaviour, circuit, prepared.catalogue, installer, totals)),
    )
    return _with_sheets(option, prepared, evidence, names) if sheets else option


def _tests(evidence: Evidence, names: Mapping[str, str]) -> tuple[TestRow, ...]:
    from proposal.results.commissioning import expected_rows  # noqa: PLC0415 - a check asks for no tests

    return expected_rows(evidence, names)


def _with_sheets(
    option: OptionResult, prepared: _Prepared, evidence: Evidence, names: Mapping[str, str]
) -> OptionResult:
    """Faults, networks, failures, and the sheets of fuses, voltages and switching: no finding rests on these rows."""
    spec, family, made = prepared.spec, prepared.family, prepared.design
    circuit = made.circuit
    cases = {case.id: case for case in flow_cases(circuit)}
    networks = (*made.flow.networks.values(), made.fault_network, *least_networks(circuit, family).values())
    plan = switching_plan(spec, circuit, prepared.catalogue, family, made.flow, apart_v(evidence))
    return replace(
        option,
        faults=fault_rows(made),
        least_faults=least_fault_rows(made.least_faults),
        network=tuple(network_row(n) for n in networks),
        switching=switching_rows(plan),
        failures=failure_rows(failures(circuit, family, cases, made.flow), spec, circuit),
        protection=protection_rows(made, names),
        switched=switched_rows(evidence.switching, circuit),
        surges=surge_rows(evidence.switching),
        voltages=voltage_rows(made, names),
        sharing=sharing_rows(evidence, names),
    )


def _vessel(spec: Spec, installer: Installer, family: RuleFamily) -> VesselResult:
    valid = spec.document.valid
    return VesselResult(
        name=spec.vessel.name,
        kind=spec.vessel.kind,
        description=spec.vessel.description,
        client=spec.client.name,
        client_contact=spec.client.contact,
        number=spec.document.number,
        revision=spec.document.revision,
        date=spec.document.date.isoformat(),
        valid_days=round(valid) if valid is not None else installer.proposal_valid_days,
        system_v=spec.system.voltage_v,
        wanted_days=spec.system.wanted_days,
        rule_family=family.id,
        rule_family_title=family.title,
        rule_edition=family.edition,
        rule_applies_to=family.applies_to,
        installer=installer.name,
        installer_contact=installer.contact,
        installer_licence=installer.licence,
        installer_cautions=installer.cautions,
        installer_terms=installer.terms,
        locale=installer.locale,
    )


def _survey(spec: Spec) -> SurveyResult:
    found = spec.survey
    return SurveyResult(
        date=found.date.isoformat() if found.date is not None else "",
        by=found.by,
        stays=tuple((s.item, s.fitted, s.condition) for s in found.stays),
        measured=tuple((m.what, m.reading, m.where) for m in found.measured),
        unknown=tuple((u.what, u.find_out) for u in found.unknown),
    )
