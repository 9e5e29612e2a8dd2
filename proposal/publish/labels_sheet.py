"""The sheets of labels as a PDF."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup

from proposal.book.labels import label_book
from proposal.publish import templates
from proposal.publish.label_layout import sheets
from proposal.publish.pdf import day_of, set_html
from proposal.results.model import Results


def labels_pdf(results: Results, drawings: Mapping[str, bytes]) -> bytes:
    """Return the labels of a vessel on sheets of A4 with cut marks: wires, devices, batteries with their codes.

    ``drawings`` holds the codes by file name. The same input gives the same bytes. Raises as ``render_pdf``.
    """
    labels = label_book(results)
    files = {f"drawing/{name}": (drawings[name], "image/svg+xml") for x in labels.labels if (name := x.drawing)}
    environment = templates.environment(
        drawing=lambda name: Markup("mem:drawing/{}").format(name),
        mm=lambda value: Markup("{}mm").format(f"{value:.3f}"),
        pt=lambda value: Markup("{}pt").format(f"{value:.3f}"),
    )
    html = environment.get_template("labels.html.j2").render(
        labels=labels,
        titles=dict(labels.sheets),
        sheets=sheets(labels.labels),
        document_title=f"{labels.title} · {labels.running}",
        timestamp=f"{day_of(labels.date)}T00:00:00Z",
    )
    return set_html(html, ("common", "labels"), files, pdf_variant="pdf/ua-1")
