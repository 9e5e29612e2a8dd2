"""The shape of a finding's sentences."""

from proposal.frozen import frozen


@frozen
class FindingText:
    """Sentences of one check.

    `title` names the objection and `passed` what holds where it does not fire, both without fields. `found` and
    `limit` are in measured terms, `happens` is the consequence, `do` the remedy. `known`: what is known of an undecided
    one.
    """

    title: str
    passed: str
    found: str
    limit: str
    happens: str
    do: str
    known: str = ""
