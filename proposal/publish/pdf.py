"""The PDF: one HTML document from the same blocks as the site, set by WeasyPrint."""

from __future__ import annotations

import contextlib
import io
import logging
import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, Final

from markupsafe import Markup

from proposal.book.blocks import Book
from proposal.errors import MachineError
from proposal.publish import fonts, templates
from proposal.publish.columns import breaks, column_shares, table_width
from proposal.publish.flow import flow
from proposal.publish.labels import labels
from proposal.publish.moving import places
from proposal.publish.proof import NO_IMAGES, proof
from proposal.publish.shapes import key_columns, option_tint, table_shape, tone_keys

_SCHEME: Final = "mem:"
_AS_WRITTEN: Final[Mapping[int, str]] = MappingProxyType({})
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
_WIDTH: Final = re.compile(rb"<svg[^>]*?\swidth=[\"']([\d.]+)mm[\"']")
_HEIGHT: Final = re.compile(rb"<svg[^>]*?\sheight=[\"']([\d.]+)mm[\"']")
# ISO 216, landscape
_A4_MM: Final = (297.0, 210.0)
_A3_MM: Final = (420.0, 297.0)


def render_pdf(book: Book, drawings: Mapping[str, bytes], images: Mapping[str, bytes] = NO_IMAGES) -> bytes:
    """Return the book as a tagged PDF with cover, contents, bookmarks and running heads.

    ``drawings`` holds SVG by file name, ``images`` JPEG. The same input gives the same bytes. Raises ``MachineError``
    with the packages to install when the type-setting libraries are missing, ``ValueError`` for a book with a broken
    link or a missing drawing or photo, ``RuntimeError`` when something on a page could not be set: the last two are
    faults of the program.
    """
    return type_set(book, drawings, images, pdf_variant="pdf/ua-1")


def type_set(
    book: Book,
    drawings: Mapping[str, bytes],
    images: Mapping[str, bytes],
    *,
    instead: Mapping[int, str] = _AS_WRITTEN,
    **options: Any,
) -> bytes:
    """Set the book as a PDF of the kind that the type-setter's own ``options`` ask for; raises as ``render_pdf``.

    ``instead`` maps code points to what is shown in their place.
    """
    proof(book, drawings, images)
    shown = {name: data.decode().translate(instead).encode() if instead else data for name, data in drawings.items()}
    files = {f"drawing/{name}": (data, "image/svg+xml") for name, data in shown.items()}
    files |= {f"photo/{name}": (data, "image/jpeg") for name, data in images.items()}
    return set_html(document_html(book, drawings).translate(instead), ("common", "print"), files, **options)


def set_html(
    html: str,
    styles: Sequence[str],
    files: Mapping[str, tuple[bytes, str]],
    *,
    sizes_pt: Sequence[float] = (),
    finisher: Any = None,
    **options: Any,
) -> bytes:
    """Set an HTML document with the style sheets of these names.

    ``files`` holds data and media type of what it shows, by the name under ``mem:``. With ``sizes_pt`` it is set at the
    first of these sizes of text at which it takes a single page, or else at the last. ``finisher`` and ``options`` are
    the type-setter's own. Raises as ``render_pdf``.
    """
    weasyprint = library()
    found = {f"font/{name}": (data, "font/ttf") for name, data in fonts.fonts().items()} | dict(files)
    fetcher = memory_fetcher(weasyprint, found)
    style = b"\n".join(templates.read(f"css/{name}.css") for name in ("faces", *styles)).decode()
    font_config = weasyprint.text.fonts.FontConfiguration()

    def css(text: str) -> Any:
        return weasyprint.CSS(string=text, base_url="about:blank", url_fetcher=fetcher, font_config=font_config)

    with _Listening() as log:
        sheet = css(style)
        document = weasyprint.HTML(string=html, base_url="about:blank", url_fetcher=fetcher)
        for size_pt in sizes_pt or (None,):
            sheets = [sheet] if size_pt is None else [sheet, css(f"html {{ font-size: {size_pt}pt }}")]
            laid = document.render(stylesheets=sheets, font_config=font_config, **options)
            if len(laid.pages) == 1:
                break
        data: bytes = laid.write_pdf(finisher=finisher, **options)
    if log.errors:
        raise RuntimeError(f"the PDF would be incomplete: {'; '.join(log.errors)}")
    return data


def document_html(book: Book, drawings: Mapping[str, bytes]) -> str:
    """Return the HTML document that the PDF is set from."""
    prefixes = {page.id: Markup("{}--").format(templates.identifier(page.id)) for page in book.pages}

    def href(page_id: str, anchor: str) -> Markup:
        target = prefixes[page_id] + templates.identifier(anchor) if anchor else templates.identifier(page_id)
        return Markup("#") + target

    environment = templates.environment(
        medium="print",
        auto="",
        breaks=breaks,
        column_shares=column_shares,
        flow=flow,
        sheet_id=lambda page, figure: prefixes[page.id] + templates.identifier(f"sheet.{figure.drawing}"),
        label=labels(book),
        tone_keys=tone_keys,
        table_shape=lambda table: f"{table_shape(table)} table--{table_width(table)}",
        option_tint=option_tint,
        key_columns=key_columns,
        places=places,
        drawing=lambda name: Markup("mem:drawing/{}").format(name),
        image=lambda name: Markup("mem:photo/{}").format(name),
        sheet_size=lambda name: sheet_size(drawings[name]),
        href=href,
    )
    return environment.get_template("document.html.j2").render(
        book=book,
        prefixes=prefixes,
        running=book.cover.running or book.cover.subtitle,
        document_title=" · ".join(text for text in (book.cover.title, book.cover.subtitle) if text),
        timestamp=f"{day_of(book.date)}T00:00:00Z",
    )


def sheet_size(svg: bytes) -> str:
    """Return the landscape page that a drawing asks for by its own size in mm.

    ``a4-whole`` or ``a3-whole`` for a drawing that is a sheet itself, with its own border, and fills the page;
    otherwise ``a4`` or ``a3``, into whose margins it is fitted.
    """
    head = svg[:2000]
    width, height = (float(found[1]) if (found := size.search(head)) else 0.0 for size in (_WIDTH, _HEIGHT))
    name = "a3" if width > _A4_MM[0] else "a4"
    page = _A3_MM if name == "a3" else _A4_MM
    is_sheet = abs(width - page[0]) <= 1.0 and abs(height - page[1]) <= 1.0
    return f"{name}-whole" if is_sheet else name


def day_of(date: str) -> str:
    """Return the day that the file is dated, as YYYY-MM-DD: without one the clock would get into it."""
    day = _DAY.match(date)
    return day[0] if day else "2000-01-01"


def library() -> Any:
    """Return WeasyPrint, imported now; it prints a banner on stdout when a system library is missing."""
    try:
        with contextlib.redirect_stdout(io.StringIO()):
            import weasyprint  # noqa: PLC0415 - half a second, and it needs system libraries
            import weasyprint.text.fonts  # noqa: PLC0415
            import weasyprint.urls  # noqa: PLC0415
    except (ImportError, OSError) as error:
        raise MachineError(
            "the PDF could not be made: the type-setting libraries are missing",
            "install them: apt-get install libpangoft2-1.0-0 libharfbuzz-subset0 (macOS: brew install pango)",
        ) from error
    return weasyprint


def memory_fetcher(weasyprint: Any, files: Mapping[str, tuple[bytes, str]]) -> Any:
    """Return a fetcher that serves ``files`` under ``mem:`` and refuses everything else."""

    class Memory(weasyprint.urls.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:  # noqa: ARG002 - the library's signature
            name = url.removeprefix(_SCHEME)
            if not url.startswith(_SCHEME) or name not in files:
                raise ValueError(f"refused: {url[:80]}")
            data, mime_type = files[name]
            return weasyprint.urls.URLFetcherResponse(url, body=data, headers={"Content-Type": mime_type})

    return Memory()


class _Listening(logging.Handler):
    """Keeps WeasyPrint's log off the terminal, and its errors: an image that is missing would go unseen."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self._logger = logging.getLogger("weasyprint")
        self.errors: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one message."""
        self.errors.append(record.getMessage())

    def __enter__(self) -> _Listening:
        self._before = (self._logger.handlers[:], self._logger.propagate)
        self._logger.handlers[:] = [self]
        self._logger.propagate = False
        return self

    def __exit__(self, *_: object) -> None:
        self._logger.handlers[:], self._logger.propagate = self._before
