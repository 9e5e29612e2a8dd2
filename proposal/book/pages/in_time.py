"""The table of fuses in time, among the cables and their protection."""

from proposal.book.blocks import Block, Link, Paragraph, Row, Tone, Words
from proposal.book.pages.context import Book, Faced, table
from proposal.book.refs import Located, each
from proposal.book.sentences import in_time as sentences
from proposal.book.sentences import surveyor
from proposal.book.writer import plain
from proposal.results.model import ProtectionResult, RulingResult

DEMANDS = ("must_pass", "far_end", "selective", "cut_off")
TONES: dict[str, Tone] = {"fails": "caution", "undecided": "unknown", "passes": "good"}
WORST_FIRST = ("fails", "undecided", "passes")


def to_chart(book: Book, faced: Faced, key: str, designation: str) -> Link | str:
    """A fuse's designation, linked to its chart where it has one."""
    anchor = faced.chart_of.get(key)
    drawn = any(name.startswith(f"{faced.letter.lower()}-curve-") for name in book.drawings)
    return Link(designation, "charts", anchor) if anchor and drawn else designation


def in_time(book: Book, faced: Faced) -> list[Block]:
    """How every fuse stands on starts, faults at the far end, its neighbours and the lithium's cut-off."""
    if not faced.option.protection:
        return []
    rows = [_row(book, faced, p) for p in each(faced.option.protection, f"{faced.path}.protection")]
    columns = book.columns(
        surveyor.COLUMN_NO, surveyor.COLUMN_PART, sentences.COLUMN_START, sentences.COLUMN_FAR_END,
        sentences.COLUMN_ALONE, sentences.COLUMN_LIT,
    )  # fmt: skip
    caption = book.text(sentences.IN_TIME_TABLE, letter=faced.letter)
    return [Paragraph(book.writer.words(sentences.IN_TIME_READ)), table(caption, columns, rows, dense=True)]


def _row(book: Book, faced: Faced, fuse: Located[ProtectionResult]) -> Row:
    found = {r.item.demand: r for r in each(fuse.item.rulings, f"{fuse.path}.rulings") if r.item.demand in DEMANDS}
    worst = min((WORST_FIRST.index(r.item.outcome) for r in found.values()), default=WORST_FIRST.index("passes"))
    cells = (_told(book, faced, found[demand]) if demand in found else plain() for demand in DEMANDS)
    name = to_chart(book, faced, fuse.item.key, fuse.item.designation)
    return Row(
        (plain(name), plain(fuse.item.part_title or book.text(surveyor.NO_PART)), *cells),
        tone=TONES[WORST_FIRST[worst]] if fuse.item.part_id is not None else "caution",
    )


def _told(book: Book, faced: Faced, ruling: Located[RulingResult]) -> Words:
    values = {name: value for name, value in ruling.item.values.items() if value is not None}
    if ruling.item.demand == "selective":
        inner = faced.items.named(str(values["inner"]))
        words = book.writer.words(_message(ruling.item), inner=inner.designation if inner is not None else "")
    else:
        words = book.writer.fact(_message(ruling.item), values, f"{ruling.path}.values", faced.items.naming)
    remembered = ruling.item.remembered is not None
    return book.writer.words(sentences.FROM_MEMORY, words=words) if remembered else words


def _message(ruling: RulingResult) -> str:
    """The words for one ruling, by what is known of it."""
    undecided = ruling.outcome == "undecided" and ruling.remembered is None
    if ruling.demand == "must_pass":
        return sentences.BEARS if ruling.values.get("limit_a") is not None else sentences.BEARS_OPEN
    if ruling.demand == "far_end":
        if ruling.values.get("cause") == "carried":
            return sentences.CARRIED
        if undecided and ruling.wanting == "fuse_curve":
            return sentences.OPENS_OPEN
        return sentences.OPENS if ruling.values.get("clears_s") is not None else sentences.OPENS_NOT
    good = (ruling.remembered or ruling.outcome) == "passes"
    if ruling.demand == "selective":
        return sentences.ALONE_OPEN if undecided else sentences.ALONE if good else sentences.ALONE_NOT
    return sentences.LIT_OPEN if undecided else sentences.LIT if good else sentences.LIT_NOT
