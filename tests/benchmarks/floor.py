"""What mkdocs and WeasyPrint alone take for the pages of a build: recorded once, then set again with nothing else.

``record`` publishes a project and keeps what the two libraries were given. Run as a program, with the folder of the
record and a folder for the output, this file hands it to them again; it imports no module of the program.
"""

from __future__ import annotations

import contextlib
import io
import pickle
import shutil
import sys
from pathlib import Path
from typing import Any

RECORD = "record.pickle"
SITE = "site"
PDF = "proposal.pdf"


def record(project: Path, out: Path, folder: Path) -> None:
    """Publish a project into ``out`` and keep in ``folder`` what mkdocs and WeasyPrint were given for it."""
    import mkdocs.commands.build
    import mkdocs.config
    import weasyprint

    from proposal.cli.main import main

    kept: dict[str, Any] = {"pages": {}, "files": {}}
    load_config, build = mkdocs.config.load_config, mkdocs.commands.build.build
    make_html, make_css, write_pdf = weasyprint.HTML.__init__, weasyprint.CSS.__init__, weasyprint.HTML.write_pdf

    def keep_config(**given: Any) -> Any:
        kept["config"] = {key: value for key, value in given.items() if key not in {"config_file", "config_file_path"}}
        shutil.copytree(given["docs_dir"], folder / "docs")
        return load_config(**given)

    def keep_pages(config: Any) -> Any:
        plugin = config.plugins["proposal/pages"]
        of_markdown, of_content = plugin.on_page_markdown, plugin.on_page_content

        def on_page_markdown(markdown: str, *, page: Any, **more: Any) -> str:
            source = of_markdown(markdown, page=page, **more)
            kept["pages"][page.file.src_uri] = {"meta": page.meta, "markdown": source}
            return str(source)

        def on_page_content(html: str, *, page: Any, **more: Any) -> str:
            filled = of_content(html, page=page, **more)
            kept["pages"][page.file.src_uri]["html"] = filled
            return str(filled)

        for name, own in (("page_markdown", on_page_markdown), ("page_content", on_page_content)):
            methods = config.plugins.events[name]
            methods[methods.index(getattr(plugin, f"on_{name}"))] = own
        kept["static_templates"] = set(config.theme.static_templates)
        return build(config)

    def remember(fetcher: Any) -> Any:
        if "fetch" in vars(fetcher):
            return fetcher

        def fetch(url: str, headers: Any = None) -> Any:
            answer = original(url, headers)
            body = answer.read()
            kept["files"][url] = (body, dict(answer.headers))
            return weasyprint.urls.URLFetcherResponse(url, body=body, headers=dict(answer.headers))

        original = fetcher.fetch
        fetcher.fetch = fetch
        return fetcher

    def keep_html(here: Any, *, string: str, url_fetcher: Any, **more: Any) -> None:
        kept["html"] = string
        make_html(here, string=string, url_fetcher=remember(url_fetcher), **more)

    def keep_css(here: Any, **given: Any) -> None:
        if "url_fetcher" in given and "string" in given and "css" not in kept:
            kept["css"] = given["string"]
            remember(given["url_fetcher"])
        make_css(here, **given)

    def keep_options(here: Any, *targets: Any, **given: Any) -> Any:
        kept["options"] = {key: value for key, value in given.items() if key not in {"stylesheets", "font_config"}}
        return write_pdf(here, *targets, **given)

    with contextlib.ExitStack() as stack:
        for owner, name, own in (
            (mkdocs.config, "load_config", keep_config),
            (mkdocs.commands.build, "build", keep_pages),
            (weasyprint.HTML, "__init__", keep_html),
            (weasyprint.CSS, "__init__", keep_css),
            (weasyprint.HTML, "write_pdf", keep_options),
        ):
            stack.callback(setattr, owner, name, getattr(owner, name))
            setattr(owner, name, own)
        code = main(["build", str(project), "--out", str(out), "--quiet"])
    if code:
        raise RuntimeError(f"the build ended with {code}")
    (folder / RECORD).write_bytes(pickle.dumps(kept))


def site(kept: dict[str, Any], folder: Path, out: Path) -> None:
    """Build the recorded pages with mkdocs."""
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    from mkdocs.plugins import BasePlugin
    from mkdocs.structure.files import File, InclusionLevel

    pages = kept["pages"]

    class Pages(BasePlugin):  # type: ignore[type-arg]
        def on_files(self, files: Any, *, config: Any) -> Any:
            for name in pages:
                files.append(File.generated(config, name, content="", inclusion=InclusionLevel.INCLUDED))
            return files

        def on_page_markdown(self, _markdown: str, *, page: Any, **_: Any) -> str:
            page.meta = pages[page.file.src_uri]["meta"]
            return str(pages[page.file.src_uri]["markdown"])

        def on_page_content(self, _html: str, *, page: Any, **_: Any) -> str:
            return str(pages[page.file.src_uri]["html"])

    given = kept["config"] | {"docs_dir": str(folder / "docs"), "site_dir": str(out / SITE)}
    config = load_config(config_file=io.BytesIO(b""), config_file_path=str(folder / "mkdocs.yml"), **given)
    config.theme.static_templates.clear()
    config.theme.static_templates.update(kept["static_templates"])
    config.plugins["floor/pages"] = Pages()
    build(config)


def pdf(kept: dict[str, Any], out: Path) -> None:
    """Set the recorded document with WeasyPrint."""
    import weasyprint
    import weasyprint.text.fonts
    import weasyprint.urls

    class Recorded(weasyprint.urls.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:  # noqa: ARG002 - the library's signature
            body, headers_then = kept["files"][url]
            return weasyprint.urls.URLFetcherResponse(url, body=body, headers=headers_then)

    fetcher = Recorded()
    fonts = weasyprint.text.fonts.FontConfiguration()
    sheet = weasyprint.CSS(string=kept["css"], base_url="about:blank", url_fetcher=fetcher, font_config=fonts)
    document = weasyprint.HTML(string=kept["html"], base_url="about:blank", url_fetcher=fetcher)
    data = document.write_pdf(stylesheets=[sheet], font_config=fonts, **kept["options"])
    (out / PDF).write_bytes(data)


def differences(ours: Path, floor: Path) -> list[str]:
    """Return the pages that the two do not have in common: without this the ratio would compare two things."""
    built = {path.name: path.read_bytes() for path in ours.glob("*.html")}
    again = {path.name: path.read_bytes() for path in (floor / SITE).glob("*.html")}
    wrong = sorted(name for name in built.keys() | again.keys() if built.get(name) != again.get(name))
    return wrong + ([] if (ours / PDF).read_bytes() == (floor / PDF).read_bytes() else [PDF])


if __name__ == "__main__":
    place, target = Path(sys.argv[1]), Path(sys.argv[2])
    recorded = pickle.loads((place / RECORD).read_bytes())  # noqa: S301 - written by record() a moment ago
    target.mkdir(exist_ok=True)
    site(recorded, place, target)
    pdf(recorded, target)
