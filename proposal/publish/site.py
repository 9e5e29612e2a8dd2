"""The site: mkdocs and its material theme build pages that were made in memory; nothing stays on the disk."""

from __future__ import annotations

import io
import logging
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from markupsafe import Markup

from proposal.book.blocks import Book, Heading, Page
from proposal.publish import fonts, templates
from proposal.publish.labels import labels
from proposal.publish.moving import payload, places, proposed
from proposal.publish.proof import NO_IMAGES, page_file, proof
from proposal.publish.shapes import key_columns, option_tint, table_shape, tone_keys

if TYPE_CHECKING:
    from jinja2.environment import TemplateModule
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.plugins import BasePlugin

POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self' 'unsafe-inline' file:",
        "style-src 'self' 'unsafe-inline' file:",
        "img-src 'self' file: data:",
        "font-src 'self' file:",
        "connect-src 'self' file:",
        "worker-src 'self' file:",
        "form-action 'none'",
        "base-uri 'none'",
    )
)
"""What a page may load: its own folder only. On file:// a folder is not 'self', hence the scheme."""

_STYLE: Final = "assets/proposal.css"
_SHIM: Final = "assets/iframe-worker-shim.js"
_SCRIPTS: Final = ("pages.js", "moving.js", "filter.js")
_UNWANTED: Final = frozenset({"assets/images/favicon.png", "sitemap.xml", "sitemap.xml.gz"})


def render_site(
    book: Book,
    drawings: Mapping[str, bytes],
    extra: Mapping[str, bytes],
    *,
    images: Mapping[str, bytes] = NO_IMAGES,
    progress: Callable[[str], None] | None = None,
) -> dict[str, bytes]:
    """Return every file of the site, relative path to content, in a fixed order.

    ``drawings`` holds SVG by file name, served under ``drawings/``, ``images`` JPEG under ``photos/``; ``extra`` goes
    beside the pages as it is (``results.json``). ``progress`` is called with the title of each page as it is made. The
    site opens from a folder, asks for nothing outside it, and the same input gives the same bytes. Raises
    ``ValueError`` for a book with a broken link, a missing drawing or photo, ``RuntimeError`` when the site generator
    warns: both are faults of the program.
    """
    proof(book, drawings, images)
    with tempfile.TemporaryDirectory(prefix="proposal-site-") as scratch:
        built = _build(book, Path(scratch), progress or (lambda _title: None))
    built |= {f"drawings/{name}": data for name, data in drawings.items()}
    built |= {f"photos/{name}": data for name, data in images.items()}
    if taken := sorted(extra.keys() & built.keys()):
        raise ValueError(f"the site already has {', '.join(taken)}")
    return dict(sorted({**built, **extra}.items()))


def _build(book: Book, scratch: Path, progress: Callable[[str], None]) -> dict[str, bytes]:
    from mkdocs.commands.build import build  # noqa: PLC0415 - heavy
    from mkdocs.exceptions import Abort, ConfigurationError  # noqa: PLC0415

    with _listening() as heard:
        try:
            config = _config(book, scratch)
            config.plugins["proposal/pages"] = _pages_plugin(book, progress)
            build(config)
        except (Abort, ConfigurationError) as error:  # Abort is a SystemExit
            raise RuntimeError(f"the site generator stopped: {error}; {'; '.join(heard)}") from error
    site = scratch / "site"
    files = {path.relative_to(site).as_posix(): path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}
    kept = {name: data for name, data in files.items() if _wanted(name, book.language)}
    return kept | _assets()


def _wanted(name: str, language: str) -> bool:
    if name in _UNWANTED or name.endswith(".map") or "/palette." in name:
        return False
    if "/lunr/" in name:
        short = language.split("-", maxsplit=1)[0]
        return short != "en" and name.endswith((f"lunr.{short}.min.js", "lunr.stemmer.support.min.js"))
    return True


def _assets() -> dict[str, bytes]:
    files = {f"assets/fonts/{name}": data for name, data in fonts.fonts().items()}
    files["assets/fonts/LICENSE.txt"] = fonts.licence()
    files[_STYLE] = templates.read("css/common.css") + b"\n" + templates.read("css/site.css")
    files[_SHIM] = templates.read("js/iframe-worker-shim.js")
    files |= {f"assets/{name}": templates.read(f"js/{name}") for name in _SCRIPTS}
    return files


def _config(book: Book, scratch: Path) -> MkDocsConfig:
    from mkdocs.config import load_config  # noqa: PLC0415 - heavy

    words = labels(book)
    cover = book.cover
    own = {
        "policy": POLICY,
        "title": cover.title,
        "running": cover.running or cover.subtitle,
        "warning": cover.warning,
        "deference": cover.deference,
        "licence": cover.licence,
        "menu": words["menu"],
        "search": words["search"],
        "previous": words["previous"],
        "next": words["next"],
    }
    docs = scratch / "docs"
    docs.mkdir()
    config = load_config(
        config_file=io.BytesIO(b""),
        config_file_path=str(scratch / "mkdocs.yml"),
        docs_dir=str(docs),
        site_dir=str(scratch / "site"),
        site_name=str(templates.encode(cover.title)),
        site_url="",
        use_directory_urls=False,
        strict=True,
        theme={
            "name": "material",
            "custom_dir": str(templates.folder() / "theme"),
            "language": _theme_language(book.language),
            "font": False,
            "features": ["toc.integrate", "toc.follow"],
        },
        plugins=["search", "offline"],
        markdown_extensions=["attr_list"],
        extra={
            "generator": False,
            "polyfills": [_SHIM],
            "own": {name: templates.encode(text) for name, text in own.items()},
        },
        extra_css=[_STYLE],
        extra_javascript=[f"assets/{name}" for name in _SCRIPTS],
        nav=[{str(templates.encode(page.title)): _source(book, page)} for page in book.pages],
    )
    # A site in a folder has no use for a sitemap, which carries the clock, nor for an error page.
    config.theme.static_templates.clear()
    return config


def _theme_language(language: str) -> str:
    from importlib.util import find_spec  # noqa: PLC0415 - only here

    short = language.split("-", maxsplit=1)[0].lower()
    theme = find_spec("material")
    homes = theme.submodule_search_locations or [] if theme else []
    known = any((Path(home) / "templates" / "partials" / "languages" / f"{short}.html").is_file() for home in homes)
    return short if short.isalpha() and known else "en"


def _source(book: Book, page: Page) -> str:
    return page_file(book, page.id).removesuffix(".html") + ".md"


def _pages_plugin(book: Book, progress: Callable[[str], None]) -> BasePlugin[Any]:
    from mkdocs.plugins import BasePlugin  # noqa: PLC0415 - heavy
    from mkdocs.structure.files import File, InclusionLevel  # noqa: PLC0415

    sources = {_source(book, page): page for page in book.pages}
    made = _Segments(book)

    class Pages(BasePlugin):  # type: ignore[type-arg, no-untyped-call]
        """Hands the pages to mkdocs: titles and headings as Markdown, all else as finished HTML."""

        def on_files(self, files: Any, *, config: MkDocsConfig) -> Any:
            for name in sources:
                files.append(File.generated(config, name, content="", inclusion=InclusionLevel.INCLUDED))
            return files

        def on_page_markdown(self, _markdown: str, *, page: Any, **_: Any) -> str:
            own = sources[page.file.src_uri]
            progress(own.title)
            page.meta = {"title": templates.encode(own.title)}
            return made.markdown(own)

        def on_page_content(self, html: str, *, page: Any, **_: Any) -> str:
            return made.fill(sources[page.file.src_uri], html)

    return Pages()


class _Segments:
    """A page cut at its headings. Markdown sees headings and numbered holes; the holes are filled afterwards."""

    def __init__(self, book: Book) -> None:
        self._book = book
        words = labels(book)
        environment = templates.environment(
            medium="site",
            auto=Markup(' dir="auto"'),
            label=words,
            tone_keys=tone_keys,
            table_shape=table_shape,
            option_tint=option_tint,
            key_columns=key_columns,
            payload=payload,
            proposed=proposed,
            places=places,
            drawing=lambda name: Markup("drawings/{}").format(name),
            image=lambda name: Markup("photos/{}").format(name),
            href=self._href,
        )
        self._frame: TemplateModule = environment.get_template("site_page.html.j2").module
        self._blocks: TemplateModule = environment.get_template("blocks.html.j2").module
        self._pieces: dict[str, list[str]] = {}

    def _href(self, page_id: str, anchor: str) -> Markup:
        file = Markup("{}").format(page_file(self._book, page_id))
        return file + Markup("#") + templates.identifier(anchor) if anchor else file

    def markdown(self, page: Page) -> str:
        """Return the Markdown source of a page, and keep the HTML between its headings."""
        is_first = page is self._book.pages[0]
        pieces: list[str] = [self._call("before", page, self._book.cover, is_first)]
        lines = [f"# {templates.encode(page.title)}", _hole(0)]
        for block in page.blocks:
            if isinstance(block, Heading):
                lines += [_heading(block), _hole(len(pieces))]
                pieces.append("")
            else:
                pieces[-1] += str(self._blocks.block(block, ""))  # type: ignore[attr-defined]
        pieces[-1] += self._call("after", self._book.cover, is_first)
        self._pieces[page.id] = pieces
        return "\n\n".join(lines) + "\n"

    def _call(self, macro: str, *values: object) -> str:
        return str(getattr(self._frame, macro)(*values))

    def fill(self, page: Page, html: str) -> str:
        """Return the page's HTML with each hole filled."""
        for number, piece in enumerate(self._pieces.pop(page.id)):
            html = html.replace(_hole(number), piece, 1)
        return html


def _hole(number: int) -> str:
    # A raw tag, which no user can write: every sign of a user's text is encoded.
    return f'<div data-hole="{number}"></div>'


def _heading(block: Heading) -> str:
    return f"{'#' * block.level} {templates.encode(block.text)} {{: #{templates.identifier(block.anchor)} }}"


class _listening(logging.Handler):  # noqa: N801 - used as a context
    """Collects what mkdocs warns of, and keeps it off the terminal."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self._heard: list[str] = []
        self._logger = logging.getLogger("mkdocs")

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one message."""
        self._heard.append(record.getMessage())

    def __enter__(self) -> list[str]:
        self._propagated = self._logger.propagate
        self._logger.propagate = False
        self._logger.addHandler(self)
        return self._heard

    def __exit__(self, *_: object) -> None:
        self._logger.removeHandler(self)
        self._logger.propagate = self._propagated
