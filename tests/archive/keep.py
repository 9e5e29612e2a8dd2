"""Seals that are kept: every later release must open, verify and recompute them.

`python -m tests.archive.keep` seals a small vessel with this release into `tests/archive/kept/VERSION`. Do so before a
release, never for one that is out already. No pages: they would hold other people's scripts and fonts.
"""

import io
import shutil
import sys
import tempfile
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric import ed25519
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, PublicFormat
from PIL import Image, ImageDraw

import proposal
from proposal.cli.main import main
from tests.recorded_project import PROJECTS, hand_over, later, project_with, write_entry

KEPT = Path(__file__).parent / "kept"
VESSEL, OPTION, SIGNER = "frostbit", "indoors", "lantern-lane"
KEY = ed25519.Ed25519PrivateKey.from_private_bytes(b"not a secret: the key of a test.")
PHOTO = {"file": "fuse-box.jpg", "title": "The fuse box, drawn by program", "invented": "yes"}
PLAIN = ("--zip", "--without-pages", "--without-days", "--quiet")


def keep(into: Path) -> None:
    """Seal the vessel at its hand-over, and after a visit that condemned it, into a folder."""
    with tempfile.TemporaryDirectory() as home:
        key = Path(home) / "key"
        key.write_bytes(KEY.private_bytes(Encoding.PEM, PrivateFormat.OpenSSH, NoEncryption()))
        first = {**hand_over(PROJECTS / VESSEL, OPTION), "photos": [PHOTO]}
        project = project_with(Path(home), VESSEL, [first])
        (project / "record/photos").mkdir()
        (project / "record/photos/fuse-box.jpg").write_bytes(_photo())
        seal = ["seal", str(project), "--out", str(into), "--key", str(key), *PLAIN]
        if main(seal) != 0:
            sys.exit("the first seal was not made")
        write_entry(project, 2, later("visit", notes=["Found under water"], defects={
            "flooded": {"what": "The battery stood in water", "severity": "danger"},
        }))  # fmt: skip
        if main([*seal, "--do-not-energise"]) != 0:
            sys.exit("the second seal was not made")
    public = KEY.public_key().public_bytes(Encoding.OpenSSH, PublicFormat.OpenSSH).decode()
    (into / "signers").write_text(f"{SIGNER} {public}\n", encoding="utf-8")


def _photo() -> bytes:
    picture = Image.new("RGB", (64, 48), "#c8d0d4")
    ImageDraw.Draw(picture).rectangle((16, 12, 48, 36), fill="#0b5563")
    made = io.BytesIO()
    picture.save(made, "JPEG", quality=80)
    return made.getvalue()


if __name__ == "__main__":
    folder = KEPT / proposal.__version__
    shutil.rmtree(folder, ignore_errors=True)
    keep(folder)
