"""An invented book that uses every block, for tests and for looking at; and the same with hostile text in each field.

Run as a script it writes site and PDF into a folder: ``python sample_book.py FOLDER [hostile]``.
"""

from __future__ import annotations

import dataclasses
import io
import sys
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw

from proposal.book import blocks as b


def w(*parts: Any) -> b.Words:
    return b.Words(tuple(parts))


def cell(text: str, ref: str = "options.0.price") -> b.Cell:
    return b.Cell(text, text, "", 0, ref)


SHOTS = {
    "photo-wide.jpg": ("Battery box, lid off", (1600, 1200)),
    "photo-tall.jpg": ("Fuse box behind the panel", (900, 1600)),
    "photo-small.jpg": ("Plate of the alternator", (240, 160)),
}


def shot(width: int, height: int) -> bytes:
    picture = Image.new("RGB", (width, height), "#7d898d")
    ImageDraw.Draw(picture).line((0, 0, width, height), fill="#ab1f1f", width=9)
    written = io.BytesIO()
    picture.save(written, "JPEG")
    return written.getvalue()


IMAGES = {name: shot(*size) for name, (_, size) in SHOTS.items()}


def key(label: str, text: str, note: str, tone: b.Tone = "plain") -> b.KeyFigure:
    return b.KeyFigure(label, w(cell(text)), w(note), tone)


LABELS: tuple[tuple[str, str], ...] = (("contents", "Contents"), ("drawing", "Drawing"))

COVER = b.Cover(
    title="Wagtail",
    subtitle="Battery system for a 31 ft cutter",
    prepared_for="R. Sample",
    prepared_by="Sample Marine Electrics",
    licence="Design aid. Invented sample, not for construction.",
    facts=(
        b.Fact("Revision", w(cell("3", "revision"))),
        b.Fact("Date", w("2026-03-14")),
        b.Fact("System", w(cell("12 V", "system_v"), " DC, two-pole, insulated negative")),
        b.Fact("Options", w("A: one bank for all · B: a starter battery of its own")),
    ),
    cautions=(
        w(b.Strong("Stored energy."), " A shorted battery can weld, burn and explode. Insulate tools; no jewellery."),
        w("Stop every charge source first, then the loads, then each battery's negative."),
        w("Joining lead and lithium is outside many makers' warranties: get their word in writing."),
    ),
    deference="A design aid. Local codes, the makers' instructions and a licensed or qualified person decide.",
    labels=LABELS,
    running="Revision 3 · 2026-03-14",
    warning="Do not energise: one danger stands against it",
    warning_more="First: mend the crimp of W3.",
)

_CONDUCTORS = (
    ("W1", "House bank + to fuse F1", "70 mm² (2/0 AWG)", "0.6 m", "red", "242 A", "318 A", "0.8 %", "ampacity"),
    ("W2", "Fuse F1 to bus X1", "70 mm² (2/0 AWG)", "1.2 m", "red", "242 A", "318 A", "1.4 %", "ampacity"),
    ("W3", "Bus X1 to windlass M1", "95 mm² (3/0 AWG)", "11.0 m", "red", "120 A", "371 A", "6.2 %", "drop"),
    ("W4", "Bus X1 to inverter T2", "50 mm² (1/0 AWG)", "1.8 m", "red", "166 A", "262 A", "1.9 %", "ampacity"),
    ("W5", "Solar controller T3 to X1", "10 mm² (8 AWG)", "2.4 m", "red", "40 A", "78 A", "2.1 %", "ampacity"),
    ("W6", "Panel X3 to fridge", "4 mm² (12 AWG)", "4.2 m", "red", "6 A", "42 A", "1.0 %", "smallest"),
)


def conductors(count: int) -> b.Table:
    rows = []
    for number in range(count):
        base = _CONDUCTORS[number % len(_CONDUCTORS)]
        cells = (f"W{number + 1}", *base[1:])
        rows.append(
            b.Row(
                tuple(
                    w(cell(text, f"options.0.conductors.{number}")) if text[0].isdigit() else w(text) for text in cells
                ),
                anchor=f"conductor.w{number + 1}",
                group=("Positive side" if number == 0 else "Panel circuits" if number == count // 2 else ""),
                tone="caution" if number == 2 else "plain",
            )
        )
    titles = ("No.", "From and to", "Size", "Length", "Colour", "Current", "Carries", "Drop", "Decided by")
    right = {"Length", "Current", "Carries", "Drop"}
    columns = tuple(b.Column(title, "right" if title in right else "left") for title in titles)
    return b.Table("Each conductor, its size and what decided it", columns, tuple(rows), dense=True)


FINDINGS = b.Table(
    "What an expert would object to",
    (
        b.Column("Severity"),
        b.Column("Where"),
        b.Column("What was found", wide=True),
        b.Column("Limit"),
        b.Column("What to do", wide=True),
        b.Column("Source"),
    ),
    (
        b.Row(
            (
                w("Danger"),
                w("F2, house bank"),
                w(
                    "The fault current at the fuse is ",
                    cell("6.4 kA", "options.0.faults.0"),
                    ", more than it can break.",
                ),
                w(cell("2.0 kA", "options.0.devices.1")),
                w("Fit a fuse of class T, see ", b.Link("cables", "cables", "conductor.w1"), "."),
                w("a published rule, clause 11"),
            ),
            anchor="finding.1",
            tone="danger",
        ),
        b.Row(
            (
                w("Fault"),
                w("W3, windlass"),
                w("The voltage lost on the way is ", cell("6.2 %", "options.0.conductors.2"), "."),
                w(cell("3 %", "limits.0")),
                w("Lay ", b.Strong(cell("120 mm²", "options.0.conductors.2.next")), " or move the battery."),
                w("common practice, no source"),
            ),
            anchor="finding.2",
            tone="caution",
        ),
        b.Row(
            (
                w("Undecided"),
                w("M2, starter"),
                w("Its lowest voltage is not known."),
                w(""),
                w("Ask the engine's maker."),
                w("common practice, no source"),
            ),
            tone="unknown",
        ),
        b.Row((w("Good"), w("X1"), w("All buses carry what they must."), w(""), w("Nothing."), w("")), tone="good"),
    ),
)

PRICES = b.Table(
    "Bill of materials and price",
    (
        b.Column("Item"),
        b.Column("Quantity", "right"),
        b.Column("Unit price", "right"),
        b.Column("Price", "right"),
    ),
    tuple(
        b.Row(
            (w(name), w(cell(quantity)), w(cell(unit)), w(cell(price))),
            group=group,
        )
        for name, quantity, unit, price, group in (
            ("Lithium battery 230 Ah", "2", "€1,480.00", "€2,960.00", "Batteries"),
            ("Lead battery, vented, 110 Ah", "1", "€164.00", "€164.00", ""),
            ("Cable 70 mm², red", "3.8 m", "€14.20", "€53.96", "Cable"),
            ("Cable 10 mm², black", "6.4 m", "€2.90", "€18.56", ""),
            ("Fitting", "22 h", "€68.00", "€1,496.00", "Labour"),
            ("Before tax", "", "", "€4,692.52", ""),
            ("Tax 20 %", "", "", "€938.50", ""),
            ("Total", "", "", "€5,631.02", ""),
        )
    ),
    total_rows=3,
)


def face(letter: str, title: str, price: str, start: tuple[str, b.Tone]) -> b.OptionFace:
    return b.OptionFace(
        letter,
        title,
        "Fewer parts and less money, and one rule to keep: never below half.",
        f"option-{letter.lower()}",
        (
            key("Price with tax", price, "materials, labour and tax"),
            key("Nights without charge", "3.1", "at the usual use, worst month"),
            key("Will it start the engine?", start[0], "cold, after a neglected fortnight", start[1]),
            key("Weight", "94 kg", "all batteries"),
        ),
        (w("you watch the monitor"), w("price decides, and ", b.Link("these limits", "findings"), " are accepted")),
    )


def option(letter: str, title: str) -> b.Page:
    return b.Page(
        f"option-{letter.lower()}",
        f"Option {letter}: {title}",
        ("client", "installer"),
        (
            b.KeyFigures(
                (
                    key("Price", "€5,631.02", "with tax"),
                    key("Lowest voltage at the starter", "9.8 V", "cold", "good"),
                    key("Fault current at F2", "6.4 kA", "above what the fuse can break", "danger"),
                )
            ),
            b.Heading("Single-line drawing", 2, "drawing"),
            b.Figure(
                "single-line-a.svg",
                "A house bank and a lithium bank joined by a contactor, feeding a bus with five circuits.",
                f"Single-line drawing of option {letter}",
                landscape=True,
            ),
            b.Heading("What it means", 2, "meaning"),
            b.Paragraph(w("The lead bank rests at float, also starts the engine, and is the reserve.")),
            b.Figure("day.svg", "Charge falls overnight and recovers by noon.", "One day in the worst month"),
            b.Charts(
                (
                    b.Chart("day.svg", "F1 opens in time.", w("F1 opens in ", cell("0.2 s"), "."), "chart.f1", "good"),
                    b.Chart("day.svg", "F2 is not known.", w("F2: nobody knows."), "chart.f2", "unknown"),
                    b.Chart(
                        "day.svg",
                        "F3 is too slow.",
                        w("F3 is too slow, see ", b.Link("F1", f"option-{letter.lower()}", "chart.f1")),
                        "chart.f3",
                    ),
                )
            ),
        ),
        w("What would be built, and what it would do."),
    )


def moment(time: str, text: str, note: str = "", tone: b.Tone = "plain") -> b.Moment:
    place = f"options.0.days.{time}"
    return b.Moment(w(cell(time, place)), w(text), w(note, cell("0.05 V", f"{place}.margin_v")) if note else w(), tone)


def positions(axis: str, *texts: str) -> tuple[b.Words, ...]:
    return tuple(w(cell(text, f"grid.{axis}[{n}]")) for n, text in enumerate(texts))


def answer(label: str, texts: tuple[str, ...], tones: tuple[b.Tone, ...] = ("plain",) * 6) -> b.SliderAnswer:
    return b.SliderAnswer(label, tuple(w(cell(text, f"grid.x[{n}]")) for n, text in enumerate(texts)), tones)


SLIDERS = b.Sliders(
    "whatif",
    "What if it were otherwise",
    (
        b.SliderAxis(
            "use", "Daily use", tuple(w(cell(t, f"grid.use[{n}]")) for n, t in enumerate(("60 %", "100 %"))), 1
        ),
        b.SliderAxis("sun", "Sun", tuple(w(cell(t, f"grid.sun[{n}]")) for n, t in enumerate(("0 %", "1 %", "2 %"))), 1),
    ),
    (
        b.SliderFace(
            "A",
            "The lead bank starts the engine",
            (
                answer("Days without charge", ("1.5", "2.5", "3.5", "4.5", "5.5", "6.5")),
                answer(
                    "Will it start?",
                    ("No", "Perhaps", "Yes", "Not known", "Yes, 5 d", "Yes, 6 d"),
                    ("danger", "caution", "good", "unknown", "good", "good"),
                ),
            ),
        ),
    ),
    w("Only the points that were computed, ", cell("6", "grid.x.length"), " of them."),
    b.Table(
        "One thing changed at a time",
        (b.Column("Changed"), b.Column("Days without charge", "right")),
        (b.Row((w("Sun: ", cell("0 %", "grid.sun[0]")), w(cell("4.5", "grid.x[3]")))),),
        folded=True,
    ),
)

DAYS = b.Page(
    "days",
    "What happens, day by day",
    ("client",),
    (
        b.Timelines(
            (
                b.Timeline(
                    "A",
                    "Option A, trade winds",
                    (
                        moment("06:20", "The sun begins to charge."),
                        moment("08:40", "The sun lifts the bus; lithium joins.", "Uncertain: by only ", "caution"),
                    ),
                ),
                b.Timeline("B", "Option B, trade winds", (moment("06:25", "The sun begins to charge."),)),
            )
        ),
        b.Heading("States of the day", 2, "states"),
        b.Steps(
            "A",
            "Option A, step by step",
            "steps.a",
            (
                b.Step(
                    w(cell("03:00", "t.0"), ", night"), w("Lead carries all."), "day.svg", "Night: lead carries all."
                ),
                b.Step(w(cell("09:00", "t.1"), ", morning"), w("The sun is up."), "day.svg", "Morning: sun."),
                b.Step(w(cell("12:00", "t.2"), ", noon"), w("All is full."), "day.svg", "Noon: all is full."),
            ),
        ),
        b.Steps(
            "B",
            "Option B, step by step",
            "steps.b",
            (b.Step(w(cell("04:00", "t.3"), ", night"), w("Nothing moves."), "day.svg", "Night: nothing moves."),),
            on_paper=False,
        ),
        b.Heading("What if", 2, "what-if"),
        SLIDERS,
        dataclasses.replace(PRICES, caption="A long table, folded", folded=True),
    ),
    w("What the simulation shows."),
)

PAGES = (
    b.Page(
        "proposal",
        "Your proposal in two minutes",
        ("client",),
        (
            b.KeyFigures(
                (
                    key("Batteries", "2 + 1", "two lithium, one lead"),
                    key("Price, option A", "€5,631.02", "with tax"),
                    key("Nights without charge", "3.1", "in the worst month"),
                    key("Will it start?", "Yes, 9.8 V", "at the starter, cold", "good"),
                    key("Open dangers", "1", "before anything is built", "danger"),
                    key("Engine's lowest voltage", "unknown", "ask its maker", "unknown"),
                )
            ),
            b.Heading("What to decide", 2, "decide"),
            b.Paragraph(
                w(
                    "Choose ",
                    b.Link("option A", "option-a"),
                    " or ",
                    b.Link("option B", "option-b"),
                    "; they are ",
                    b.Link("side by side", "options"),
                    " on the next page. The difference is ",
                    b.Strong(cell("€412.30", "comparison.price")),
                    ".",
                )
            ),
            b.Bullets((w("Which option."), w("Who lays the cables."), w("When the boat can come out.")), numbered=True),
            b.Callout(
                "Before you sign",
                (w("One danger is open, see ", b.Link("findings", "findings", "finding.1"), "."),),
                "danger",
            ),
            b.Callout("What we assumed", (w("The starter draws ", cell("180 A", "assumed.0"), "."),), "unknown"),
            b.Callout("Good to know", (w("Solar covers seven months of the year."),), "good"),
            b.Signature(("The client", "The installer"), "We agree to the option named above at the price stated."),
        ),
        w("Two ways to build it, what each costs, and what you need to decide."),
    ),
    b.Page(
        "options",
        "The two options side by side",
        ("client",),
        (
            b.SideBySide(
                (
                    face("A", "The lead bank starts the engine", "€5,631.02", ("Yes", "good")),
                    face(
                        "B",
                        "A dedicated starter battery with a voltage-sensitive relay",
                        "€6,043.32",
                        ("Only just", "caution"),
                    ),
                )
            ),
            b.Heading("The same neglected fortnight", 2, "fortnight"),
            b.Paragraph(w("Nobody aboard, fridge left on, no shore power."), "caution"),
        ),
    ),
    option("A", "the lead bank starts the engine"),
    option("B", "a starter battery of its own"),
    b.Page("price", "Bill of materials and price", ("client", "installer"), (PRICES,), w("Prices without guarantee.")),
    b.Page(
        "cables",
        "Cables and protection",
        ("installer",),
        (
            b.Heading("Conductors", 2, "conductors"),
            conductors(46),
            b.Heading("Panel", 3, "panel"),
            b.Paragraph(w("As the table.")),
        ),
    ),
    b.Page("findings", "Findings", ("installer", "surveyor"), (FINDINGS,)),
    b.Page(
        "numbers",
        "How every number was reached",
        ("surveyor",),
        (
            b.Facts(
                (
                    b.Fact("Coldest place", w(cell("−5 °C", "climate.coldest_c"))),
                    b.Fact(
                        "Contact resistance",
                        w(cell("0.2 mΩ", "assumed.1"), " each joint, ≤ ", cell("1 mΩ", "assumed.2")),
                    ),
                    b.Fact("Formula", w("ΔU = I · R · 2 → 3 % ≥ … × ÷ ± ½ √2 Σ µ")),
                )
            ),
            b.Bullets((w("Rounded to three figures."), w("No source: common practice."))),
        ),
    ),
    DAYS,
    b.Page(
        "photos",
        "Photos",
        ("owner",),
        (
            b.Paragraph(w("Behind the panel: ", b.Link("the fuse box", "photos", "photo.2"), ".")),
            b.Heading("Engine room", 2, "engine-room"),
            b.Photos(
                tuple(
                    b.Photo(name, f"Drawn, not taken: {what}", w(what, ", ", cell("70 mm²")), f"photo.{n}", *size)
                    for n, (name, (what, size)) in enumerate(SHOTS.items(), 1)
                )
            ),
        ),
    ),
)

BOOK = b.Book(COVER, PAGES, "en", "2026-03-14")


def svg(width_mm: float, height_mm: float, title: str) -> bytes:
    lines = "".join(
        f'<path d="M{x} 40V{height_mm - 40}" stroke="#222" fill="none" stroke-width="0.6"/>'
        f'<text x="{x + 2}" y="{height_mm / 2}" font-size="3">W{x} · 1.8 m · 70 mm² Ω ≤ →</text>'
        for x in range(20, int(width_mm) - 30, 60)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm}mm" height="{height_mm}mm" '
        f'viewBox="0 0 {width_mm} {height_mm}" role="img" font-family="DejaVu Sans, Verdana, sans-serif">'
        f"<title>{title}</title><desc>Invented.</desc>"
        f'<rect x="10" y="10" width="{width_mm - 20}" height="{height_mm - 20}" fill="none" stroke="#222"/>'
        f'<path d="M15 40H{width_mm - 15}" stroke="#d7301f" stroke-width="1.2"/>'
        f'<path d="M15 {height_mm - 40}H{width_mm - 15}" stroke="#222" stroke-width="1.2"/>{lines}</svg>'
    ).encode()


DRAWINGS = {"single-line-a.svg": svg(420, 297, "Single line"), "day.svg": svg(160, 80, "A day")}

HOSTILE = (
    "<script>window.hit=1</script>",
    "{{ 7*7 }}{% raw %}",
    "a|b || c",
    "[x](javascript:window.hit=1)",
    "AT&T &amp; &lt;b&gt;",
    "`_*#[]()!~^$` **bold** __x__ ~~y~~",
    "# heading {: #id onclick=x }",
    "\u05e9\u05dc\u05d5\u05dd abc \u05e2\u05d5\u05dc\u05dd",
    "<img src=x onerror=window.hit=1>",
    '"><svg onload=window.hit=1>',
    "--- $x^2$ :smile: ++k++ ==m==",
    "http://example.invalid/x?a=1&b=2",
    "</td></tr></table></style><style>*{display:none}",
    "!!! note\\ \\* 1. - + > x",
    "*[abbr]: <b>x</b> [^1] ![i](file:///etc/passwd)",
    "W" * 90,
)


class Spiteful:
    """Replaces each text that a user could have typed by a hostile one, round-robin, and remembers which it placed."""

    def __init__(self) -> None:
        self.placed: list[str] = []

    def text(self) -> str:
        text = f"{HOSTILE[len(self.placed) % len(HOSTILE)]} q{len(self.placed)}q"
        self.placed.append(text)
        return text

    def spoil(self, item: Any) -> Any:
        if isinstance(item, str):
            return self.text() if item else item
        if isinstance(item, tuple):
            return tuple(self.spoil(part) for part in item)
        if isinstance(item, b.Cell):
            return dataclasses.replace(item, text=self.text())
        if dataclasses.is_dataclass(item) and not isinstance(item, type):
            own = {
                "id",
                "anchor",
                "page",
                "drawing",
                "tone",
                "tones",
                "align",
                "letter",
                "file",
                "audiences",
                "language",
                "date",
                "labels",
            }
            changed = {
                field.name: self.spoil(getattr(item, field.name))
                for field in dataclasses.fields(item)
                if field.name not in own
            }
            return dataclasses.replace(item, **changed)
        return item


def texts(run: b.Words) -> list[str]:
    """The texts of a run, those inside emphasis too."""
    found: list[str] = []
    for part in run.parts:
        inner = part.text if isinstance(part, b.Strong) else part
        found.append(inner if isinstance(inner, str) else inner.text)
    return found


def hostile() -> tuple[b.Book, list[str]]:
    """The sample book with every text spoilt, and the texts in the order of placing."""
    spite = Spiteful()
    return spite.spoil(BOOK), spite.placed


def _write(target: Path, book: b.Book) -> None:
    from proposal.publish.pdf import render_pdf  # noqa: PLC0415
    from proposal.publish.site import render_site  # noqa: PLC0415

    for name, data in render_site(book, DRAWINGS, {"results.json": b"{}\n"}, images=IMAGES).items():
        path = target / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    (target / "proposal.pdf").write_bytes(render_pdf(book, DRAWINGS, IMAGES))


if __name__ == "__main__":
    _write(Path(sys.argv[1]), hostile()[0] if sys.argv[2:] == ["hostile"] else BOOK)
