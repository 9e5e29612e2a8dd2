"""What lies in a yard: each project as it was remembered where its files look the same, else read."""

import hashlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from proposal.yard.bundle import Bundle, book_name, glance, is_racy, now_ns, read_bundle
from proposal.yard.find import find
from proposal.yard.memory import Known
from proposal.yard.row import row_stamp


class Looked:
    """The projects of a folder by path, sealed archives without one among them: what is known, and bytes if read.

    A file is looked at before it is read: one that changes meanwhile looks otherwise the next time. `unread`: folders
    that could not be looked into, and why.
    """

    def __init__(self, home: Path, before: Mapping[str, Known]) -> None:
        """Find and look. Raises as `find` does."""
        found = find(home)
        self.home = home
        self.unread = found.unread
        self.known: dict[str, Known] = {}
        self._bundles: dict[str, Bundle] = {}
        self._racy: set[str] = set()
        self._stats: dict[str, list[Any]] = {}
        self._bytes: dict[str, bytes | None] = {}
        for path in sorted({*found.projects, *found.sealed}):
            was = before.get(path)
            if was is not None and glance(self._folder(path), was.price_book, self._stats) == was.seen:
                self.known[path] = was
            else:
                self._read(path)

    def bundle(self, path: str) -> Bundle:
        """The bytes of a project, once; where they were only remembered, they are read, and known anew."""
        if path not in self._bundles:
            self._read(path)
        return self._bundles.pop(path)

    def key(self) -> str:
        """One sum over what all rows are made from, and where the vessels lie."""
        made = hashlib.sha256(row_stamp().encode())
        for path, known in self.known.items():
            made.update(f"{path!a} {known.content}\n".encode())
        made.update(ascii(self.unread).encode())
        return made.hexdigest()

    def memory(self) -> dict[str, Known]:
        """What is to be remembered: not of files that may change once more without its showing."""
        return {path: known for path, known in self.known.items() if path not in self._racy}

    def _folder(self, path: str) -> str:
        return os.path.normpath(self.home / path)

    def _read(self, path: str) -> None:
        folder, at_ns = self._folder(path), now_ns()
        book = book_name(Path(folder))
        seen = glance(folder, book, self._stats)
        bundle = self._bundles[path] = read_bundle(Path(folder), self._bytes)
        self.known[path] = Known(seen, bundle.content(), book)
        if is_racy(seen, at_ns):
            self._racy.add(path)
