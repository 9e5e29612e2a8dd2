"""One source, two ways to run it: as it stands, on lists, or compiled, on arrays, without the interpreter's lock.

What is marked `@both` may call only what is marked, and `math`. Compiled copies see compiled copies.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import threading
import types
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

F = TypeVar("F", bound=Callable[..., Any])
_MARKED: list[Callable[..., Any]] = []
_COMPILED: dict[str, Any] = {}
_ENTRIES: dict[str, Any] = {}
_LOCK = threading.Lock()


def both(function: F) -> F:
    """Mark a function of the kernel. What it calls must be marked before it."""
    _MARKED.append(function)
    return function


def compiled(function: Callable[..., Any]) -> Any:
    """The compiled copy of a marked function, on arrays; numba is imported and all are made ready at the first call."""
    name = function.__name__
    with _LOCK:
        if not _COMPILED:
            _compile_all()
        if name not in _ENTRIES:
            from proposal.studies.behaviour.kernel import pointers  # noqa: PLC0415 - imports numba

            _ENTRIES[name] = _copy(pointers.entry, f"{name}_on_arrays", {"target": _COMPILED[name]})
    return _ENTRIES[name]


def sources_digest() -> str:
    """What stands in the files of the kernel, as a hash: compiled code of older files is never used."""
    digest = hashlib.sha256()
    for path in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _compile_all() -> None:
    import numba  # noqa: PLC0415 - only who simulates pays for it

    # numba looks at each file by itself and would not see that a function called from another file has changed
    base = os.environ.get("NUMBA_CACHE_DIR") or str(_cache_folder())
    setattr(numba.config, "CACHE_DIR", str(Path(base) / sources_digest()))  # noqa: B010 - its stubs do not name it
    for function in _MARKED:
        _COMPILED[function.__name__] = _copy(function, function.__name__, _COMPILED)


def _copy(function: Callable[..., Any], name: str, names: dict[str, Any]) -> Any:
    """A compiled copy of a function that sees these names before its own."""
    import numba  # noqa: PLC0415 - as above

    copy = types.FunctionType(function.__code__, {**function.__globals__, **names}, name, function.__defaults__)
    copy.__module__, copy.__qualname__ = function.__module__, name
    return numba.njit(cache=True, nogil=True, error_model="numpy")(copy)


def _cache_folder() -> Path:
    home = os.environ.get("XDG_CACHE_HOME")
    try:
        return Path(home or Path.home() / ".cache") / "proposal" / "compiled"
    except RuntimeError:  # no home at all
        return Path(tempfile.gettempdir()) / "proposal-compiled"
