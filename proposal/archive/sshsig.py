"""Detached signatures in the armoured form of OpenSSH (PROTOCOL.sshsig): `ssh-keygen -Y verify` reads them as well.

The signed text is "SSHSIG", then namespace, an empty string, the name of the hash, the hash of the message, each with
its length in front. The primitives are those of `cryptography`.
"""

import base64
import binascii
import hashlib
import struct
from typing import Any

from proposal.frozen import frozen

NAMESPACE = "proposal-record"
LARGEST_SIGNATURE_BYTES = 20_000
_MAGIC = b"SSHSIG"
_HASH = "sha512"
_HASHES = {"sha256": hashlib.sha256, "sha512": hashlib.sha512}
_BEGIN, _END = "-----BEGIN SSH SIGNATURE-----\n", "-----END SSH SIGNATURE-----\n"
_WIDTH = 70
_CURVES = {"nistp256": "sha256", "nistp384": "sha384", "nistp521": "sha512"}
_SMALLEST_RSA_BITS = 2048


class SignatureProblem(ValueError):  # noqa: N818 - it is told as what is wrong with a signature
    """A signature or key that cannot be taken, in words for its user."""


@frozen
class Signed:
    """A signature as read: who made it (public key in wire form), what it is about, and the signature itself."""

    public: bytes
    namespace: str
    hash_name: str
    signature: bytes

    @property
    def fingerprint(self) -> str:
        """Short name of the key, as ssh-keygen -l prints it."""
        return fingerprint(self.public)


def fingerprint(public: bytes) -> str:
    """Short name of a public key in wire form: SHA256: and the sum in base 64 without padding."""
    return "SHA256:" + base64.b64encode(hashlib.sha256(public).digest()).decode().rstrip("=")


def public_bytes(key: Any) -> bytes:
    """The public part of a private key, in wire form."""
    from cryptography.hazmat.primitives import serialization as s  # noqa: PLC0415 - only signing needs it

    line: bytes = key.public_key().public_bytes(s.Encoding.OpenSSH, s.PublicFormat.OpenSSH)
    return base64.b64decode(line.split()[1])


def load_key(data: bytes, passphrase: bytes | None) -> Any:
    """A private key from an OpenSSH file. Raises SignatureProblem, TypeError where it needs a passphrase."""
    from cryptography.exceptions import UnsupportedAlgorithm  # noqa: PLC0415 - only signing needs it
    from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa  # noqa: PLC0415 - the same
    from cryptography.hazmat.primitives.serialization import load_ssh_private_key  # noqa: PLC0415 - the same

    try:
        key = load_ssh_private_key(data, passphrase)
    except TypeError:
        raise
    except (ValueError, UnsupportedAlgorithm) as error:
        if "bcrypt" in str(error):
            raise SignatureProblem("a key with a passphrase needs the Python package bcrypt: install it") from error
        what = "the passphrase is wrong, or " if passphrase else ""
        raise SignatureProblem(f"{what}this is no private key in the form of OpenSSH") from error
    if isinstance(key, rsa.RSAPrivateKey):
        if key.key_size < _SMALLEST_RSA_BITS:
            raise SignatureProblem(f"an RSA key of {key.key_size} bits is too weak; {_SMALLEST_RSA_BITS} or more")
    elif not isinstance(key, ed25519.Ed25519PrivateKey | ec.EllipticCurvePrivateKey):
        raise SignatureProblem("keys of this kind cannot sign here; ed25519, ecdsa and rsa can")
    return key


def sign(key: Any, message: bytes) -> bytes:
    """The armoured signature of a message by a private key of `load_key`."""
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415 - only signing needs it
    from cryptography.hazmat.primitives.asymmetric import ec, padding, rsa  # noqa: PLC0415 - the same
    from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature  # noqa: PLC0415 - the same

    public = public_bytes(key)
    text = _signed_text(NAMESPACE, _HASH, message)
    if isinstance(key, rsa.RSAPrivateKey):
        made = _string(b"rsa-sha2-512") + _string(key.sign(text, padding.PKCS1v15(), hashes.SHA512()))
    elif isinstance(key, ec.EllipticCurvePrivateKey):
        kind, rest = _take(public)
        curve, _ = _take(rest)
        r, s = decode_dss_signature(key.sign(text, ec.ECDSA(_curve_hash(curve.decode()))))
        made = _string(kind) + _string(_mpint(r) + _mpint(s))
    else:
        made = _string(b"ssh-ed25519") + _string(key.sign(text))
    return _armoured(Signed(public, NAMESPACE, _HASH, made))


def parse(armoured: bytes) -> Signed:
    """Read an armoured signature; only the bytes that `sign` would write are taken. Raises SignatureProblem."""
    try:
        text = armoured.decode("ascii")
        if len(armoured) > LARGEST_SIGNATURE_BYTES or not (text.startswith(_BEGIN) and text.endswith(_END)):
            raise ValueError
        blob = base64.b64decode(text[len(_BEGIN) : -len(_END)].replace("\n", ""), validate=True)
        if blob[: len(_MAGIC)] != _MAGIC or struct.unpack(">I", blob[6:10]) != (1,):
            raise ValueError
        public, rest = _take(blob[10:])
        namespace, rest = _take(rest)
        _, rest = _take(rest)
        hash_name, rest = _take(rest)
        signature, _ = _take(rest)
        found = Signed(public, namespace.decode("ascii"), hash_name.decode("ascii"), signature)
    except (ValueError, binascii.Error, struct.error):
        raise SignatureProblem("is no signature in the form of OpenSSH") from None
    if _armoured(found) != armoured:
        raise SignatureProblem("is not written as a signature is")
    return found


def check(signed: Signed, message: bytes) -> None:
    """Nothing, where the signature was made of this message by its key. Raises SignatureProblem."""
    from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm  # noqa: PLC0415 - only here

    if signed.namespace != NAMESPACE:
        raise SignatureProblem(f"is a signature for another purpose: {signed.namespace[:40]!r}")
    if signed.hash_name not in _HASHES:
        raise SignatureProblem(f"uses a hash that is not known here: {signed.hash_name[:20]!r}")
    try:
        _check(signed, _signed_text(signed.namespace, signed.hash_name, message))
    except InvalidSignature:
        raise SignatureProblem("does not belong to this archive: it was signed otherwise, or changed since") from None
    except (ValueError, NotImplementedError, UnsupportedAlgorithm, struct.error):
        raise SignatureProblem("cannot be checked: key or signature are not as they should be") from None


def _check(signed: Signed, text: bytes) -> None:
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415 - only signatures need it
    from cryptography.hazmat.primitives.asymmetric import ec, ed25519, padding, rsa  # noqa: PLC0415 - the same
    from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature  # noqa: PLC0415 - the same
    from cryptography.hazmat.primitives.serialization import load_ssh_public_key  # noqa: PLC0415 - the same

    kind, rest = _take(signed.public)
    key = load_ssh_public_key(kind + b" " + base64.b64encode(signed.public))
    algorithm, value = _take(signed.signature)
    value, left = _take(value)
    if left:
        raise ValueError("more than a signature")
    if isinstance(key, ed25519.Ed25519PublicKey) and algorithm == kind:
        key.verify(value, text)
    elif isinstance(key, ec.EllipticCurvePublicKey) and algorithm == kind:
        r, more = _take(value)
        s, more = _take(more)
        if more or value != _mpint(int.from_bytes(r)) + _mpint(int.from_bytes(s)):
            raise ValueError("more than two numbers")
        der = encode_dss_signature(int.from_bytes(r), int.from_bytes(s))
        key.verify(der, text, ec.ECDSA(_curve_hash(_take(rest)[0].decode("ascii"))))
    elif isinstance(key, rsa.RSAPublicKey) and algorithm in (b"rsa-sha2-512", b"rsa-sha2-256"):
        if key.key_size < _SMALLEST_RSA_BITS:
            raise ValueError("too weak a key")
        key.verify(value, text, padding.PKCS1v15(), hashes.SHA512() if b"512" in algorithm else hashes.SHA256())
    else:
        raise ValueError("a kind of key that is not known here")


def _curve_hash(curve: str) -> Any:
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415 - only signatures need it

    if curve not in _CURVES:
        raise ValueError(curve)
    return {"sha256": hashes.SHA256(), "sha384": hashes.SHA384(), "sha512": hashes.SHA512()}[_CURVES[curve]]


def _signed_text(namespace: str, hash_name: str, message: bytes) -> bytes:
    digest = _HASHES[hash_name](message).digest()
    return _MAGIC + _string(namespace.encode()) + _string(b"") + _string(hash_name.encode()) + _string(digest)


def _armoured(signed: Signed) -> bytes:
    blob = _MAGIC + struct.pack(">I", 1) + _string(signed.public) + _string(signed.namespace.encode()) + _string(b"")
    blob += _string(signed.hash_name.encode()) + _string(signed.signature)
    text = base64.b64encode(blob).decode()
    lines = "".join(text[at : at + _WIDTH] + "\n" for at in range(0, len(text), _WIDTH))
    return (_BEGIN + lines + _END).encode()


def _string(data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + data


def _mpint(number: int) -> bytes:
    return _string(number.to_bytes(number.bit_length() // 8 + 1))


def _take(data: bytes) -> tuple[bytes, bytes]:
    """A string with its length in front, and what comes after it. Raises ValueError where there is less."""
    if len(data) < 4:
        raise ValueError("too short")
    (length,) = struct.unpack(">I", data[:4])
    if len(data) < 4 + length:
        raise ValueError("too short")
    return data[4 : 4 + length], data[4 + length :]
