from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from jinja2 import UndefinedError, nodes
from markupsafe import Markup

from proposal.book.tables import Link, Words
from proposal.publish import templates
from proposal.publish.shapes import TINTS, key_columns, option_tint, short

OWN = sorted(templates.folder().glob("*.j2"))
THEME = sorted((templates.folder() / "theme").rglob("*.html"))
STYLES = sorted((templates.folder() / "css").glob("*.css"))


def test_the_templates_are_where_they_are_looked_for() -> None:
    assert {path.name for path in OWN} >= {"blocks.html.j2", "document.html.j2", "site_page.html.j2"}
    assert THEME
    assert STYLES


@pytest.mark.parametrize("path", OWN, ids=lambda path: path.name)
def test_no_template_of_ours_can_switch_the_encoding_off(path: Path) -> None:
    tree = templates.environment().parse(path.read_text())
    filters = {node.name for node in tree.find_all(nodes.Filter)}
    assert filters <= {"length", "string"}
    assert not list(tree.find_all(nodes.Concat))
    assert not list(tree.find_all((nodes.MarkSafe, nodes.MarkSafeIfAutoescape, nodes.ScopedEvalContextModifier)))


@pytest.mark.parametrize("path", THEME, ids=lambda path: path.name)
def test_the_templates_in_the_theme_print_only_what_was_encoded_before(path: Path) -> None:
    # The theme's own environment has no autoescape, so each printed expression must be one that our encoder made.
    printed = set(re.findall(r"\{\{\s*(.*?)\s*\}\}", path.read_text()))
    allowed = re.compile(
        r"config\.extra\.own\.\w+|page\.meta\.title|page\.(previous|next)_page\.(meta\.title|url \| url)"
        r'|item\.render\(nav_item, "__nav", 1\)'
    )
    assert [text for text in printed if not allowed.fullmatch(text)] == []


def test_an_undefined_name_is_an_error_although_values_are_finalized() -> None:
    with pytest.raises(UndefinedError):
        templates.environment().from_string("{{ nothing }}").render()


@pytest.mark.parametrize(
    ("source", "value", "shown"),
    [
        ("{{ x }}", "<b>|{{ 1 }}&amp;", "<b>|{{ 1 }}&amp;"),
        ("{{ x }}", "a \t\n b", "a b"),
        ("{{ x }}", "a\u00a0b\u202fc", "a\u00a0b\u202fc"),
        ("{{ x }}", "a\x00b\x1bc\u202ed\ud800", "a\ufffdb\ufffdc\ufffdd\ufffd"),
        ("{{ x }}", 12, "12"),
    ],
)
def test_a_value_is_shown_as_typed(source: str, value: object, shown: str) -> None:
    html = templates.environment().from_string(source).render(x=value)
    assert unescape(html) == shown
    assert not re.search(r"[<>\"'`*_|{}\[\]]", html)


def test_markup_passes_and_is_not_encoded_twice() -> None:
    template = templates.environment().from_string("{% macro m(x) %}<i>{{ x }}</i>{% endmacro %}{{ m(x) }}{{ y }}")
    assert template.render(x="<", y=Markup("<b>")) == "<i>&#60;</i><b>"


def test_long_words_may_break_and_lose_no_sign() -> None:
    for text in ("W" * 90, "short words only", "a" * 24, "<" * 30 + " x " + "é\u0301" * 20, " lead and trail "):
        html = templates.soft(text)
        assert unescape(html.replace("<wbr>", "")) == text
        assert ("<wbr>" in html) is any(len(word) > 24 for word in text.split())


def test_ids_differ_where_their_texts_differ() -> None:
    texts = ["a b", "a_20_b", "a-b", "a.b", "a/b", "ä", "e4", "_", "_5f_", ""]
    made = [templates.identifier(text) for text in texts]
    assert len(set(made)) == len(texts)
    assert all(re.fullmatch(r"[A-Za-z0-9._-]*", name) for name in made)


def test_the_style_sheets_name_no_class_of_the_theme() -> None:
    # A class that both define gets the theme's look as well; it happened with two common words.
    import material  # noqa: PLC0415

    theme = "".join(path.read_text() for path in Path(material.__path__[0]).rglob("assets/stylesheets/main.*.css"))
    own = re.sub(r'"[^"]*"|/\*.*?\*/', "", "".join(path.read_text() for path in STYLES), flags=re.DOTALL)
    classes = [set(re.findall(r"\.(-?[a-zA-Z_][\w-]*)", text)) for text in (theme, own)]
    assert classes[0] > {"md-header", "grid"}
    assert {name for name in classes[0] & classes[1] if not name.startswith("md-")} <= {"no-js"}


def _luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, two: str) -> float:
    """WCAG 2.2, definition of contrast ratio and relative luminance."""
    light, dark = sorted((_luminance(one), _luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula_against_known_pairs() -> None:
    # WCAG 2.2 understanding document of 1.4.3: black on white is 21:1; #767676 on white is the lightest passing grey
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


def test_texts_have_enough_contrast() -> None:
    css = (templates.folder() / "css/common.css").read_text()
    colour = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", css))
    paper = ("paper", "tint", "good-tint", "caution-tint", "danger-tint", "unknown-tint")
    pairs = [(text, ground) for text in ("ink", "ink-soft", "accent") for ground in paper]
    pairs += [(tone, f"{tone}-tint") for tone in ("good", "caution", "danger", "unknown")]
    pairs += [(tone, "paper") for tone in ("good", "caution", "danger", "unknown")]
    for text, ground in pairs:
        assert contrast(colour[text], colour[ground]) >= 4.5, (text, ground)
    # WCAG 2.2, 1.4.11: edges of controls
    assert contrast(colour["rule-strong"], colour["paper"]) >= 3.0
    options = re.findall(r"--option: (#[0-9a-f]{6}); --option-tint: (#[0-9a-f]{6})", css)
    assert len(options) == len(TINTS)
    for text, ground in options:
        assert contrast(text, "#ffffff") >= 4.5
        assert contrast(text, ground) >= 4.5
    assert len({text for text, _ in options}) == len(options)


def test_option_tints_and_columns() -> None:
    assert [option_tint(letter) for letter in "ABCFG"] == ["a", "b", "c", "f", "a"]
    assert [key_columns(count) for count in range(1, 13)] == [1, 2, 3, 4, 3, 3, 4, 4, 3, 3, 4, 3]


@pytest.mark.parametrize(
    ("parts", "stays"),
    [
        (("W10",), True),
        ((Link("W10", "cables", "b.w10"),), True),
        (("W10 and W11",), False),
        (("Windlass",), False),
        (("W123456",), False),
    ],
)
def test_a_lone_designation_is_never_broken(parts: tuple[str | Link, ...], stays: bool) -> None:
    assert short(Words(parts)) is stays
