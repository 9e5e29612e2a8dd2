"""All checks in words: what each looks for, its limit, what to do, and where the rule stands in every family.

Sentences are those of the findings. A figure that a check computes stands as an ellipsis with its unit.
"""

import textwrap
from collections.abc import Iterable, Iterator

from proposal.book.cells import NO_BREAK, UNITS, unit_of
from proposal.book.language import Language, fields_of, filled, msg
from proposal.book.sentences import names
from proposal.book.sentences.finding_text import FindingText
from proposal.book.sentences.findings import FINDINGS
from proposal.codes import FAMILIES
from proposal.frozen import frozen
from proposal.rules.registry import CHECKS, LIMIT_OF_FAMILY, Check
from proposal.sources import SOURCES, Citation, Status

WIDTH = 100
ELLIPSIS = "…"
UNITS_THAT_VARY = frozenset({"ohm"})
"""Told in milliohms or in kilohms: without the figure nobody can say which."""

LOOKS_FOR, LIMIT, HAPPENS, DO = msg("Looks for:"), msg("Limit:"), msg("What happens:"), msg("What to do:")
SOURCE_OF_ALL, SOURCE_OF, ELSEWHERE = msg("Source:"), msg("Source, {families}:"), msg("Source, other families:")
REMEMBERED = msg("A limit from memory leaves the point undecided.")
NEVER = {
    "positive_unfused": msg("Nobody can accept it at a battery."),
    "breaking_capacity_low": msg("Nobody can accept it."),
    "vent_small": msg("Nobody can accept it where people sleep."),
    "gas_reaches_people": msg("Nobody can accept it where people sleep."),
}
"""Where a finding cannot be accepted: the conditions are those of `rules.acceptance`."""
PAGE_TITLE = msg("What is checked")
PAGE_LEAD = msg(
    "Made by `proposal rules --page` from the checks themselves. Every check runs on every option. It fires, passes "
    "or leaves a point undecided and says what to find out. An ellipsis stands for a figure that is computed. Rules "
    "are told in own words: the edition in force, the makers' instructions and a qualified person decide."
)


@frozen
class RuleSource:
    """Where a rule stands in some families, by their ids: `source` in the bibliography, its title, clause, status."""

    families: tuple[str, ...]
    source: str
    title: str
    clause: str
    status: Status


@frozen
class RuleTrigger:
    """One thing that a check objects to: its words, fields as ellipses. `cause` is empty where there is only one."""

    cause: str
    title: str
    found: str
    limit: str
    happens: str
    do: str


@frozen
class Rule:
    """One check: its number, id and severity, what it objects to, what holds where it does not, and its sources.

    `limit_of_family`: its limit is a figure of the rule family, and one from memory decides nothing. `never_accepted`:
    where nobody can accept it; empty where somebody may, by name.
    """

    number: int
    id: str
    severity: str
    title: str
    holds: str
    limit_of_family: bool
    never_accepted: str
    triggers: tuple[RuleTrigger, ...]
    sources: tuple[RuleSource, ...]


def rulebook(locale: str = "en_GB") -> tuple[Rule, ...]:
    """Every check of the registry in the order of their numbers, in the language of a locale."""
    language = Language(locale)
    return tuple(_rule(check, language) for check in CHECKS)


def _rule(check: Check, language: Language) -> Rule:
    own = FINDINGS[check.id]
    causes = {key.partition(".")[2]: text for key, text in FINDINGS.items() if key.startswith(f"{check.id}.")}
    told = causes or {"": own}
    return Rule(
        check.number, check.id, check.severity, language.text(own.title), language.text(own.passed),
        check.id in LIMIT_OF_FAMILY, language.text(NEVER.get(check.id, "")),
        tuple(_trigger(cause, text, language) for cause, text in told.items()), _sources(check),
    )  # fmt: skip


def _trigger(cause: str, text: FindingText, language: Language) -> RuleTrigger:
    words = [_without_figures(language, part) for part in (text.found, text.limit, text.happens, text.do)]
    return RuleTrigger(cause, language.text(text.title), *words)


def _without_figures(language: Language, message: str) -> str:
    template = language.text(message)
    return filled(template, {name: _ellipsis(name, language) for name in fields_of(template)})


def _ellipsis(name: str, language: Language) -> str:
    key = unit_of(name)
    unit = UNITS[key].text if key and key not in UNITS_THAT_VARY else ""
    return f"{ELLIPSIS}{NO_BREAK}{language.text(unit)}" if unit else ELLIPSIS


def _sources(check: Check) -> tuple[RuleSource, ...]:
    """One for each place that it stands in; the place of most families last."""
    by_place: dict[Citation, list[str]] = {}
    for known in FAMILIES.values():
        by_place.setdefault(check.cited(known), []).append(known.id)
    ranked = sorted(by_place.items(), key=lambda place: len(place[1]))
    return tuple(RuleSource(tuple(ids), c.source, SOURCES[c.source].title, c.clause, c.status) for c, ids in ranked)


def rules_listing(rules: Iterable[Rule], locale: str = "en_GB") -> str:
    """The checks as plain text for the command line."""
    language = Language(locale)
    lines: list[str] = []
    for rule in rules:
        severity = language.text(names.SEVERITIES[rule.severity]).upper()
        lines += [f"{rule.number:2}  {severity} · {rule.id}: {rule.title}"]
        for trigger in rule.triggers:
            title = f"{trigger.title}. " if trigger.cause else ""
            words = f"{language.text(LOOKS_FOR)} {title}{trigger.found} {language.text(LIMIT)} {trigger.limit}"
            lines += textwrap.wrap(words, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 8)
        for said in (*_told_sources(rule, language), *_remarks(rule, language)):
            lines += textwrap.wrap(said, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 8)
        lines.append("")
    return "\n".join(lines)


def _told_sources(rule: Rule, language: Language) -> Iterator[str]:
    several = len(rule.sources) > 1
    for number, source in enumerate(rule.sources):
        last = number == len(rule.sources) - 1
        families = ", ".join(FAMILIES[family].title for family in source.families)
        head = language.text(SOURCE_OF_ALL)
        if several:
            elsewhere = last and len(source.families) > 1
            head = language.text(ELSEWHERE) if elsewhere else filled(language.text(SOURCE_OF), {"families": families})
        status = language.text(names.status(source.status, source.clause))
        place = [status, source.clause] if source.source == "common_practice" else [source.title, source.clause, status]
        yield f"{head} {'; '.join(part for part in place if part)}"


def _remarks(rule: Rule, language: Language) -> Iterator[str]:
    if rule.limit_of_family:
        yield language.text(REMEMBERED)
    if rule.never_accepted:
        yield rule.never_accepted


def rules_page(rules: Iterable[Rule], locale: str = "en_GB") -> str:
    """The checks as one page of Markdown."""
    language = Language(locale)
    lines = [f"# {language.text(PAGE_TITLE)}", "", *textwrap.wrap(language.text(PAGE_LEAD), 120), ""]
    for rule in rules:
        severity = language.text(names.SEVERITIES[rule.severity])
        lines += [f"## {rule.number} · {rule.title}", "", f"{severity} · `{rule.id}`", ""]
        for trigger in rule.triggers:
            title = f"**{trigger.title}.** " if trigger.cause else ""
            lines.append(f"- {title}{language.text(LOOKS_FOR)} {trigger.found} {language.text(LIMIT)} {trigger.limit}")
            lines.append(f"  {language.text(HAPPENS)} {trigger.happens}")
            lines.append(f"  {language.text(DO)} {trigger.do}")
        lines += ["", *(f"{said}  " for said in (*_told_sources(rule, language), *_remarks(rule, language))), ""]
    return "\n".join(lines).rstrip() + "\n"
