"""Page 9: how every number was reached."""

from proposal.book.blocks import Block, Heading, Page, Paragraph, Row, Words
from proposal.book.pages.cables import reason_words, size_cell
from proposal.book.pages.compare import reading
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.points import sharing, voltages
from proposal.book.refs import Located, each
from proposal.book.sentences import assumptions, formulas, names, surveyor
from proposal.book.writer import joined, plain
from proposal.facts import Value
from proposal.results.letters import letter_of
from proposal.results.model import CitationResult, ConductorResult, DeviceResult


def page(book: Book) -> Page:
    """Formulas, survey, assumptions, factors behind each ampacity, what was turned down, and the solved networks."""
    blocks: list[Block] = [Heading(book.text(surveyor.FORMULAS_HEADING), 2, "formulas"), _formulas(book)]
    blocks += _survey(book)
    blocks += _assumed(book)
    for faced in book.options:
        blocks += [
            _heading(book, faced, surveyor.BANKS_HEADING, "banks"),
            _banks(book, faced),
            _heading(book, faced, surveyor.AMPACITY_HEADING, "ampacity"),
            *_ampacity(book, faced),
            _heading(book, faced, surveyor.REJECTED_HEADING, "rejected"),
            Paragraph(book.writer.words(surveyor.REJECTED_NOTE)),
            _rejected(book, faced),
            _heading(book, faced, surveyor.CASES_HEADING, "cases"),
            _cases(book, faced),
        ]
        if faced.option.voltages:
            blocks += [_heading(book, faced, surveyor.VOLTAGES_HEADING, "voltages"), *voltages(book, faced)]
        if faced.option.sharing:
            blocks += [_heading(book, faced, surveyor.SHARING_HEADING, "sharing"), *sharing(book, faced)]
    blocks.append(Paragraph(book.writer.words(surveyor.CASES_NOTE)))
    version = book.writer.cells.count(book.results.results_version, "results_version")
    blocks.append(Paragraph(book.writer.words(surveyor.MADE_BY, made_by=book.results.made_by, version=version)))
    return Page(
        "numbers", book.text(surveyor.NUMBERS_TITLE), ("installer", "surveyor"), tuple(blocks),
        book.writer.words(surveyor.NUMBERS_LEAD),
    )  # fmt: skip


def _heading(book: Book, faced: Faced, message: str, anchor: str) -> Heading:
    return Heading(book.text(message, letter=faced.letter), 2, faced.anchor(anchor))


def _formulas(book: Book) -> Block:
    rows = [
        Row(
            (
                plain(book.text(f.what)),
                plain(book.text(f.formula)),
                plain(book.text(f.inputs)),
                book.source(CitationResult(f.citation.source, f.citation.clause, f.citation.status)),
            )
        )
        for f in formulas.FORMULAS
        if not (f.of_price and book.recorded)
    ]
    columns = book.columns(
        surveyor.COLUMN_WHAT, surveyor.COLUMN_FORMULA, (surveyor.COLUMN_INPUTS, "wide"), surveyor.COLUMN_SOURCE
    )
    return table(book.text(surveyor.FORMULAS_TABLE), columns, rows)


def _survey(book: Book) -> list[Block]:
    survey = book.results.survey
    blocks: list[Block] = [Heading(book.text(surveyor.SURVEY_HEADING), 2, "survey")]
    date = book.writer.cells.date(survey.date)
    if survey.date and survey.by:
        blocks.append(Paragraph(book.writer.words(surveyor.SURVEY_BY, date=date, by=survey.by)))
    elif survey.date:
        blocks.append(Paragraph(book.writer.words(surveyor.SURVEY_DATE_ONLY, date=date)))
    else:
        blocks.append(Paragraph(book.writer.words(surveyor.SURVEY_NONE)))
    if survey.measured:
        rows = [Row((plain(what), plain(reading), plain(where))) for what, reading, where in survey.measured]
        columns = book.columns(surveyor.COLUMN_WHAT, surveyor.COLUMN_READING, surveyor.COLUMN_WHERE)
        blocks.append(table(book.text(surveyor.MEASURED_TABLE), columns, rows))
    if survey.stays:
        items = book.options[0].items
        rows = [
            Row((plain(items.phrase(item)), plain(fitted), plain(condition)))
            for item, fitted, condition in survey.stays
        ]
        columns = book.columns(surveyor.COLUMN_WHAT, surveyor.COLUMN_FITTED, surveyor.COLUMN_CONDITION)
        blocks.append(table(book.text(surveyor.STAYS_TABLE), columns, rows))
    blocks.append(Heading(book.text(surveyor.UNKNOWN_HEADING), 3, "unknown"))
    if survey.unknown:
        rows = [Row((plain(what), plain(find_out)), tone="unknown") for what, find_out in survey.unknown]
        columns = book.columns(surveyor.COLUMN_WHAT, surveyor.COLUMN_HOW)
        blocks.append(table(book.text(surveyor.UNKNOWN_TABLE), columns, rows))
    else:
        blocks.append(Paragraph(book.writer.words(surveyor.UNKNOWN_NONE)))
    return blocks


def _assumed(book: Book) -> list[Block]:
    blocks: list[Block] = [
        Heading(book.text(surveyor.ASSUMED_HEADING), 2, "assumed"),
        Paragraph(book.writer.words(surveyor.ASSUMED_NOTE)),
    ]
    for faced in book.options:
        entries = list(each(faced.option.assumptions, f"{faced.path}.assumptions"))
        if not entries:
            blocks.append(Paragraph(book.writer.words(surveyor.ASSUMED_NONE, letter=faced.letter)))
            continue
        rows = []
        for entry in entries:
            values = {**entry.item.values, "item": entry.item.item}
            message = assumptions.ASSUMPTIONS.get(entry.item.code, assumptions.OTHER)
            find_out = assumptions.FIND_OUT.get(entry.item.code, "")
            rows.append(
                Row(
                    (
                        book.writer.fact(message, values, f"{entry.path}.values", faced.items.naming),
                        plain(book.text(find_out)),
                        book.source(entry.item.citation),
                    ),
                    tone="unknown",
                )
            )
        columns = book.columns((surveyor.COLUMN_ASSUMED, "wide"), (surveyor.COLUMN_HOW, "wide"), surveyor.COLUMN_SOURCE)
        blocks.append(table(book.text(surveyor.ASSUMED_TABLE, letter=faced.letter), columns, rows))
    return blocks


def _banks(book: Book, faced: Faced) -> Block:
    writer = book.writer
    rows = []
    for bank in each(faced.option.banks, f"{faced.path}.banks"):
        inside = writer.one(bank, "resistance_ohm")
        if bank.item.resistance_assumed:
            inside = joined((inside, book.text(surveyor.RESISTANCE_ASSUMED)))
        rows.append(
            Row(
                (
                    plain(bank.item.designation),
                    plain(bank.item.title),
                    plain(book.text(names.CHEMISTRIES[bank.item.chemistry])),
                    writer.one(bank, "nominal_v"),
                    writer.one(bank, "full_v"),
                    inside,
                    writer.one(bank, "short_circuit_a"),
                    writer.one(bank, "usable_share"),
                    writer.one(bank, "temperature_share"),
                )
            )
        )
    columns = book.columns(
        surveyor.COLUMN_NO, surveyor.COLUMN_BANK, surveyor.COLUMN_KIND, (surveyor.COLUMN_NOMINAL, "right"),
        (surveyor.COLUMN_FULL_V, "right"), (surveyor.COLUMN_INSIDE, "right"), (surveyor.COLUMN_SHORT, "right"),
        (surveyor.COLUMN_SHARE, "right"), (surveyor.COLUMN_COLD, "right"),
    )  # fmt: skip
    return table(book.text(surveyor.BANKS_TABLE, letter=faced.letter), columns, rows)


def _ampacity(book: Book, faced: Faced) -> list[Block]:
    """One row for all conductors of a circuit that are alike in every figure; sources by letter in their own table."""
    writer = book.writer
    sources: dict[CitationResult, str] = {}
    for citation in (citation for c in faced.option.conductors for citation in c.citations):
        sources.setdefault(citation, letter_of(len(sources)).lower())
    rows: dict[tuple[str, ...], tuple[list[str], tuple[Words, ...]]] = {}
    for c in each(faced.option.conductors, f"{faced.path}.conductors"):
        cells = (
            size_cell(book, c),
            writer.one(c, "insulation_c"),
            writer.one(c, "table_a"),
            writer.one(c, "temperature_factor"),
            writer.one(c, "bundle_factor"),
            writer.one(c, "ampacity_a"),
            writer.one(c, "resistance_20c_ohm"),
            writer.one(c, "drop_v"),
            writer.one(c, "warm_c"),
            joined(dict.fromkeys(sources[citation] for citation in c.item.citations)),
        )
        alike = (c.item.circuit, *(reading(cell) for cell in cells))
        rows.setdefault(alike, ([], cells))[0].append(c.item.designation)
    columns = book.columns(
        surveyor.COLUMN_NO, surveyor.COLUMN_SIZE, (surveyor.COLUMN_CLASS, "right"), (surveyor.COLUMN_TABLE, "right"),
        (surveyor.COLUMN_HEAT, "right"), (surveyor.COLUMN_BUNDLE, "right"), (surveyor.COLUMN_CARRIES, "right"),
        (surveyor.COLUMN_OHM, "right"), (surveyor.COLUMN_DROP, "right"), (surveyor.COLUMN_WARMED, "right"),
        surveyor.COLUMN_SOURCE,
    )  # fmt: skip
    made = (Row((joined(numbers), *cells)) for numbers, cells in rows.values())
    letters = (Row((plain(letter), book.source(citation))) for citation, letter in sources.items())
    titles = book.columns(surveyor.COLUMN_LETTER, (surveyor.COLUMN_SOURCE, "wide"))
    return [
        table(book.text(surveyor.AMPACITY_TABLE, letter=faced.letter), columns, made, dense=True),
        table(book.text(surveyor.SOURCES_TABLE, letter=faced.letter), titles, letters, dense=True),
    ]


def _rejected(book: Book, faced: Faced) -> Block:
    """One row for each item and kind of reason, with all candidates that it turned down."""
    items: list[Located[ConductorResult] | Located[DeviceResult]] = [
        *each(faced.option.conductors, f"{faced.path}.conductors"),
        *each(faced.option.devices, f"{faced.path}.devices"),
    ]
    rows, seen = [], set()
    for item in items:
        same = (item.item.circuit, repr(item.item.rejected))
        if not item.item.rejected or (isinstance(item.item, ConductorResult) and same in seen):
            continue
        seen.add(same)
        rows += _turned_down(book, faced, item)
    if not rows:
        return Paragraph(book.writer.words(surveyor.REJECTED_NONE, letter=faced.letter))
    columns = book.columns(
        surveyor.COLUMN_NO, surveyor.COLUMN_CHOSEN, surveyor.COLUMN_TURNED_DOWN, surveyor.COLUMN_BECAUSE
    )
    return table(book.text(surveyor.REJECTED_TABLE, letter=faced.letter), columns, rows, dense=True)


def _turned_down(book: Book, faced: Faced, item: Located[ConductorResult] | Located[DeviceResult]) -> list[Row]:
    row = item.item
    if isinstance(row, ConductorResult):
        chosen = row.size
        alike = [c.designation for c in faced.option.conductors if c.circuit == row.circuit]
    else:
        chosen, alike = row.part_title or book.text(surveyor.NO_PART), [row.designation]
    by_reason: dict[tuple[str, Value], list[int]] = {}
    for number, rejected in enumerate(row.rejected):
        by_reason.setdefault((rejected.reason.code, rejected.reason.values.get("item")), []).append(number)
    made = []
    for numbers in by_reason.values():
        last = row.rejected[numbers[-1]]
        path = f"{item.path}.rejected[{numbers[-1]}].reason"
        made.append(
            Row(
                (
                    joined(alike),
                    plain(chosen),
                    joined(dict.fromkeys(row.rejected[n].candidate for n in numbers)),
                    reason_words(book, faced, "rejected", last.reason, path),
                )
            )
        )
    return made


def _cases(book: Book, faced: Faced) -> Block:
    writer = book.writer
    networks = {n.case: i for i, n in enumerate(faced.option.network)}
    rows = []
    for case in each(faced.option.cases, f"{faced.path}.cases"):
        number = networks.get(case.item.id)
        nodes, branches = plain(), plain()
        if number is not None:
            network = faced.option.network[number]
            path = f"{faced.path}.network[{number}]"
            nodes = plain(writer.cells.count(len(network.nodes), f"{path}.nodes.length"))
            branches = plain(writer.cells.count(len(network.branches), f"{path}.branches.length"))
        state = plain(faced.items.case(case.item.id))
        if not case.item.solved:
            items = joined(faced.items.phrase(key) for key in case.item.collapsed)
            state = joined((state, writer.words(surveyor.COLLAPSED, items=items)), "; ")
        opened = joined(faced.items.phrase(key) for key in case.item.open_relays)
        rows.append(
            Row(
                (
                    state,
                    plain(book.text(names.TEMPERATURES[case.item.temperatures])),
                    opened if opened.parts else plain(book.text(surveyor.NONE_OPEN)),
                    nodes,
                    branches,
                    plain(writer.cells.tiny("a", case.item.kirchhoff_a, f"{case.path}.kirchhoff_a")),
                    plain(writer.cells.tiny("w", case.item.power_error_w, f"{case.path}.power_error_w")),
                ),
                tone="plain" if case.item.solved else "caution",
            )
        )
    columns = book.columns(
        surveyor.COLUMN_FOR_CASE, surveyor.COLUMN_TEMPERATURE, surveyor.COLUMN_OPEN, (surveyor.COLUMN_NODES, "right"),
        (surveyor.COLUMN_BRANCHES, "right"), (surveyor.COLUMN_KIRCHHOFF, "right"), (surveyor.COLUMN_POWER, "right"),
    )  # fmt: skip
    return table(book.text(surveyor.CASES_TABLE, letter=faced.letter), columns, rows, dense=True)
