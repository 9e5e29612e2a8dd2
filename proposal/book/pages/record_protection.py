"""Is each conductor protected against its fault current: every conductor beside the fuses that guard it.

Nothing is worked out here: the rulings of the results are looked up, and put into one verdict for each pair.
"""

from collections.abc import Collection, Iterable
from typing import Literal

from proposal.book.blocks import Block, Callout, Heading, KeyFigure, KeyFigures, Link, Page, Paragraph, Row, Tone, Words
from proposal.book.pages.cables import size_cell
from proposal.book.pages.context import Book, Faced, table
from proposal.book.pages.in_time import to_chart
from proposal.book.pages.telling import finding_title
from proposal.book.refs import Located, each
from proposal.book.sentences import record_pages as words
from proposal.book.writer import joined, plain
from proposal.frozen import frozen
from proposal.results.model import ConductorResult, DeviceResult, GuardedResult, ProtectionResult

State = Literal["good", "open", "bad"]
WORST_FIRST: tuple[State, ...] = ("bad", "open", "good")
TONES: dict[State, Tone] = {"good": "good", "open": "unknown", "bad": "danger"}
OF_CONDUCTORS = frozenset({"positive_unfused", "link_fused_one_end", "conductor_overloaded", "return_smaller"})
"""Checks that object to a conductor itself."""
OF_FUSES = {"breaking_capacity_low": "breaking", "device_voltage_low": "voltage", "conductor_overloaded": "rating"}
"""Checks that object to a fuse for what it guards, with the ruling that says the same where that fails."""
OF_BANKS = frozenset({"battery_without_device"})


@frozen
class Line:
    """One conductor and one fuse that guards it, or none, with the verdict."""

    conductor: Located[ConductorResult]
    fuse: Located[DeviceResult] | None
    protection: Located[ProtectionResult] | None
    guarded: Located[GuardedResult] | None
    state: State
    verdict: Words


def page(book: Book, faced: Faced) -> Page:
    """The answer on top, then the two currents that decide, then every conductor."""
    lines, returns = positive_lines(book, faced), negative_lines(book, faced)
    blocks: list[Block] = [_answer(book, faced, (*lines, *returns))]
    figures = _figures(book, faced)
    if figures:
        blocks.append(KeyFigures(figures))
    blocks += [
        Paragraph(book.writer.words(words.PROTECTION_READ)),
        Heading(book.text(words.POSITIVE_HEADING), 2, "positive"),
        _positive(book, faced, lines),
    ]
    if returns:
        blocks += [
            Heading(book.text(words.NEGATIVE_HEADING), 2, "negative"),
            Paragraph(book.writer.words(words.NEGATIVE_READ)),
            _negative(book, faced, returns),
        ]
    title, lead = book.text(words.PROTECTION_TITLE), book.writer.words(words.PROTECTION_LEAD)
    return Page("protection", title, ("surveyor", "owner", "installer"), tuple(blocks), lead)


def answer(book: Book, faced: Faced) -> State:
    """How the worst of all conductors stands."""
    return _worst((*positive_lines(book, faced), *negative_lines(book, faced)))


def _worst(lines: Iterable[Line]) -> State:
    return min((line.state for line in lines), key=WORST_FIRST.index, default="good")


def _answer(book: Book, faced: Faced, lines: tuple[Line, ...]) -> Callout:
    worst = _worst(lines)
    said = []
    for state, message in (("bad", words.ANSWER_BAD), ("open", words.ANSWER_OPEN)):
        those = dict.fromkeys(line.conductor.item.key for line in lines if line.state == state)
        named = {line.conductor.item.key: line.conductor.item for line in lines}
        if those:
            phrases = {k: faced.items.phrase(k) if faced.items.named(k) else named[k].title for k in those}
            links = (Link(phrase, "protection", faced.anchor("row", k)) for k, phrase in phrases.items())
            said.append(book.writer.words(message, conductors=joined(links)))
    curves = _curves(book, lines)
    if curves and worst == "open":
        said.append(book.writer.words(words.ANSWER_CURVES, fuses=joined(curves, "; ")))
    body = tuple(said) or (book.writer.words(words.ANSWER_GOOD),)
    return Callout(book.text(words.ANSWERS[worst]), body, TONES[worst], large=True)


def _curves(book: Book, lines: tuple[Line, ...]) -> tuple[Words, ...]:
    """The fuses whose curve would decide every line that is open; none where one of them wants something else."""
    still = [line for line in lines if line.state == "open"]
    fuses: dict[str, Words] = {}
    for line in still:
        if line.guarded is None or line.protection is None or line.guarded.item.wanting != "fuse_curve":
            return ()
        if line.guarded.item.outcome == "passes":
            return ()
        fuse = line.protection.item
        fuses[fuse.key] = book.writer.words(words.ANSWER_FUSE, fuse=fuse.designation, part=fuse.part_title)
    return tuple(fuses.values())


def positive_lines(book: Book, faced: Faced) -> tuple[Line, ...]:
    """Every positive conductor, once for each fuse that guards it, in the order of the schedule."""
    option = faced.option
    fuses = {d.item.key: d for d in each(option.devices, f"{faced.path}.devices")}
    guards: dict[str, list[tuple[Located[ProtectionResult], Located[GuardedResult]]]] = {}
    for protection in each(option.protection, f"{faced.path}.protection"):
        for guarded in each(protection.item.guarded, f"{protection.path}.guarded"):
            guards.setdefault(guarded.item.conductor, []).append((protection, guarded))
    lines = []
    for conductor in each(option.conductors, f"{faced.path}.conductors"):
        if conductor.item.pole != "positive":
            continue
        found = _found(book, faced, conductor.item.key, OF_CONDUCTORS)
        if conductor.item.purpose == "string":
            found += _found(book, faced, ".".join(conductor.item.key.split(".")[:2]), OF_BANKS)
        pairs = guards.get(conductor.item.key, [])
        if not pairs:
            usual = words.STARTER if conductor.item.purpose == "starter" else words.AHEAD
            state, verdict = _verdict(found, ("good", book.writer.words(usual)))
            lines.append(Line(conductor, None, None, None, state, verdict))
        for protection, guarded in pairs:
            ruled = [*_of_fuse(book, faced, protection), *found]
            state, verdict = _verdict(ruled, _in_time(book, guarded.item))
            fuse = fuses.get(protection.item.key)
            lines.append(Line(conductor, fuse, protection, guarded, state, verdict))
    return tuple(lines)


def negative_lines(book: Book, faced: Faced) -> tuple[Line, ...]:
    """Every negative conductor beside the positive ones of its circuit."""
    lines = []
    for negative in each(faced.option.conductors, f"{faced.path}.conductors"):
        if negative.item.pole != "negative":
            continue
        areas = [positive.area_mm2 for positive in _beside(faced, negative.item)]
        usual: tuple[State, str] = ("open", words.RETURN_ALONE)
        if areas:
            good = negative.item.area_mm2 >= max(areas)
            usual = ("good", words.RETURN_GOOD) if good else ("open", words.RETURN_SMALLER)
        said = (usual[0], book.writer.words(usual[1]))
        state, verdict = _verdict(_found(book, faced, negative.item.key, OF_CONDUCTORS), said)
        lines.append(Line(negative, None, None, None, state, verdict))
    return tuple(lines)


def _beside(faced: Faced, negative: ConductorResult) -> tuple[ConductorResult, ...]:
    """The positive conductors that return by a negative: of its circuit, else of the circuits within it."""
    positives = [c for c in faced.option.conductors if c.pole == "positive"]
    own = tuple(c for c in positives if c.circuit == negative.circuit)
    return own or tuple(c for c in positives if c.circuit.startswith(f"{negative.circuit}."))


def _verdict(found: list[tuple[State, Words]], usual: tuple[State, Words]) -> tuple[State, Words]:
    """The worst of all that is said, and every sentence that is as bad."""
    said = [*found, usual]
    state = min((s for s, _ in said), key=WORST_FIRST.index)
    return state, joined(dict.fromkeys(w for s, w in said if s == state), " ")


def _found(book: Book, faced: Faced, key: str, checks: Collection[str]) -> list[tuple[State, Words]]:
    """What some checks object to in an item, each linked to its finding."""
    made: list[tuple[State, Words]] = []
    for number, finding in enumerate(faced.option.findings, 1):
        if finding.item == key and finding.id in checks:
            link = Link(finding_title(book, finding), "findings", faced.anchor("finding", str(number)))
            fires = finding.outcome == "fires"
            message = words.FOUND if fires else words.FOUND_OPEN
            made.append(("bad" if fires else "open", book.writer.words(message, finding=link)))
    return made


def _of_fuse(book: Book, faced: Faced, at: Located[ProtectionResult]) -> list[tuple[State, Words]]:
    """What speaks against a fuse whatever it guards."""
    if at.item.part_id is None:
        return [("bad", book.writer.words(words.NO_PART))]
    made: list[tuple[State, Words]] = []
    for number, ruling in enumerate(at.item.rulings):
        if ruling.outcome != "fails":
            continue
        values, path = ruling.values, f"{at.path}.rulings[{number}].values"
        rating_a, largest_a = values.get("rating_a"), values.get("largest_a")
        if ruling.demand == "voltage":
            made.append(("bad", book.writer.words(words.VOLTAGE)))
        elif ruling.demand == "breaking":
            made.append(("bad", book.writer.words(words.BREAKING)))
        elif isinstance(rating_a, float) and isinstance(largest_a, float) and rating_a > largest_a:
            cell = book.writer.cells.number("largest_a", largest_a, f"{path}.largest_a")
            made.append(("bad", book.writer.words(words.TOO_LARGE, largest_a=cell)))
    failed = {ruling.demand for ruling in at.item.rulings if ruling.outcome == "fails"}
    return made + _found(book, faced, at.item.key, [check for check, told in OF_FUSES.items() if told not in failed])


def _in_time(book: Book, guarded: GuardedResult) -> tuple[State, Words]:
    if guarded.outcome == "passes":
        return "good", book.writer.words(words.GOOD if guarded.stands_s is not None else words.CARRIED)
    if guarded.outcome == "fails":
        return "bad", book.writer.words(words.FAILS)
    return "open", book.writer.words(words.WANTING.get(guarded.wanting, words.WANTING_OTHER))


def _figures(book: Book, faced: Faced) -> tuple[KeyFigure, ...]:
    """The largest short circuit aboard, and the smallest that a fuse has to open."""
    figures = []
    fuses = list(each(faced.option.protection, f"{faced.path}.protection"))
    at = [d for d in each(faced.option.devices, f"{faced.path}.devices") if d.item.kind == "fuse" and d.item.fault_a]
    if at:
        worst = max(at, key=lambda d: d.item.fault_a or 0.0)
        note = book.writer.words(words.LARGEST_NOTE, place=faced.items.phrase(worst.item.key))
        figures.append(KeyFigure(book.text(words.LARGEST), book.writer.one(worst, "fault_a"), note))
    pairs = [(p, g) for p in fuses for g in each(p.item.guarded, f"{p.path}.guarded") if g.item.stands_s is not None]
    if pairs:
        fuse, least = min(pairs, key=lambda pair: pair[1].item.through_fuse_a)
        conductor, name = faced.items.phrase(least.item.conductor), fuse.item.designation
        note = book.writer.words(words.LEAST_NOTE, conductor=conductor, fuse=name)
        figures.append(KeyFigure(book.text(words.LEAST), book.writer.one(least, "through_fuse_a"), note))
    return tuple(figures)


def _positive(book: Book, faced: Faced, lines: tuple[Line, ...]) -> Block:
    writer, seen, rows = book.writer, set[str](), []
    for line in lines:
        key = line.conductor.item.key
        fuse, breaks, least, opens = plain(book.text(words.NO_FUSE)), plain(), plain(), plain()
        if line.protection is not None and line.guarded is not None:
            fuse, breaks = _fuse(book, faced, line), _breaks(book, line)
            least = writer.one(line.guarded, "least_fault_a")
            bears = writer.one(line.guarded, "stands_s", none=words.BEARS_ALWAYS)
            opens = joined((writer.one(line.guarded, "clears_s", none=words.NOT_SURELY), bears), " / ")
        rows.append(
            Row(
                (
                    *_conductor(book, faced, line.conductor),
                    writer.one(line.conductor, "ampacity_a"),
                    fuse,
                    breaks,
                    least,
                    opens,
                    line.verdict,
                ),
                anchor=faced.anchor("row", key) if key not in seen else "",
                tone=TONES[line.state],
            )
        )
        seen.add(key)
    columns = book.columns(
        words.COLUMN_NO, words.COLUMN_CIRCUIT, (words.COLUMN_CARRIES, "right"), words.COLUMN_FUSE,
        (words.COLUMN_BREAKS, "right"), (words.COLUMN_LEAST, "right"), (words.COLUMN_OPENS, "right"),
        (words.COLUMN_VERDICT, "wide"),
    )  # fmt: skip
    return table(book.text(words.POSITIVE_TABLE), columns, rows, dense=True)


def _conductor(book: Book, faced: Faced, at: Located[ConductorResult]) -> tuple[Words, Words]:
    named = faced.items.named(at.item.key)
    title = named.title if named is not None else at.item.title
    return plain(book.item_link(faced, at.item.key, at.item.designation or at.item.key)), plain(title)


def _fuse(book: Book, faced: Faced, line: Line) -> Words:
    if line.protection is None:
        return plain()
    found = line.protection.item
    name = to_chart(book, faced, found.key, found.designation)
    if line.fuse is None or found.rating_a is None:
        return plain(name)
    return book.writer.words(words.FUSE, fuse=plain(name), rating=book.writer.cell(line.fuse, "rating_a"))


def _breaks(book: Book, line: Line) -> Words:
    """The largest short circuit at a fuse, and what it breaks."""
    if line.fuse is None or line.fuse.item.fault_a is None:
        return plain()
    pair = [book.writer.cell(line.fuse, "fault_a")]
    pair += [book.writer.cell(line.fuse, "interrupt_a")] if line.fuse.item.interrupt_a is not None else []
    return joined(pair, " / ")


def _negative(book: Book, faced: Faced, lines: tuple[Line, ...]) -> Block:
    writer, rows = book.writer, []
    for line in lines:
        beside = [book.item_link(faced, c.key, c.designation) for c in _beside(faced, line.conductor.item)]
        rows.append(
            Row(
                (
                    *_conductor(book, faced, line.conductor),
                    size_cell(book, line.conductor),
                    writer.one(line.conductor, "ampacity_a"),
                    joined(beside),
                    line.verdict,
                ),
                anchor=faced.anchor("row", line.conductor.item.key),
                tone=TONES[line.state],
            )
        )
    columns = book.columns(
        words.COLUMN_NO, words.COLUMN_CIRCUIT, words.COLUMN_SIZE, (words.COLUMN_CARRIES, "right"),
        words.COLUMN_BESIDE, (words.COLUMN_VERDICT, "wide"),
    )  # fmt: skip
    return table(book.text(words.NEGATIVE_TABLE), columns, rows, dense=True)
