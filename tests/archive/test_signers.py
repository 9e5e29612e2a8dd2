"""Who may sign: lines of a file of allowed signers."""

import base64
import datetime

import pytest

from proposal.archive.signers import name_of, parse_signers

KEY = base64.b64encode(b"a key").decode()
DAY = datetime.date(2026, 12, 4)


@pytest.mark.parametrize(
    ("line", "name"),
    [
        (f"yard@example.org ssh-ed25519 {KEY}", "yard@example.org"),
        (f"yard,second ecdsa-sha2-nistp256 {KEY} a remark of words", "yard,second"),
        (f'yard namespaces="proposal-record" ssh-ed25519 {KEY}', "yard"),
        (f'yard namespaces="git,proposal-record",valid-after="20261204" ssh-ed25519 {KEY}', "yard"),
        (f'yard namespaces="git" ssh-ed25519 {KEY}', None),
        (f'yard valid-after="20261205" ssh-ed25519 {KEY}', None),
        (f'yard valid-before="20261205Z" ssh-ed25519 {KEY}', "yard"),
        (f'yard valid-before="20261204" ssh-ed25519 {KEY}', None),
        (f"yard ssh-ed25519 {base64.b64encode(b'other').decode()}", None),
    ],
)
def test_a_key_is_known_by_its_line(line: str, name: str | None) -> None:
    signers, wrong = parse_signers(f"# ours\n\n{line}\n")
    assert wrong == []
    assert name_of(b"a key", signers, DAY) == name


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("yard", "is not names"),
        ("yard ssh-ed25519", "is not names"),
        (f"yard a b ssh-ed25519 {KEY}", "is not names"),
        ("yard ssh-ed25519 ###", "not in base 64"),
        (f"yard cert-authority ssh-ed25519 {KEY}", "not known here: cert-authority"),
        (f'yard valid-after="soon" ssh-ed25519 {KEY}', "is not a day"),
    ],
)
def test_a_line_that_cannot_be_taken_grants_nothing(line: str, says: str) -> None:
    signers, ((number, what),) = parse_signers(f"{line}\n")
    assert signers == ()
    assert number == 1
    assert says in what
