"""Frozen dataclasses that cost little to declare: `__init__` is written at the first instance, the rest is shared.

`dataclass(frozen=True)` compiles six methods for each class at import. With hundreds of classes, most of
which a run of `check` makes few instances of, that took a fifth of its time.
"""

from dataclasses import MISSING, Field, FrozenInstanceError, dataclass, field, fields
from functools import cached_property
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[T]) -> type[T]:
    """Make a class what `dataclass(frozen=True, slots=True)` would make of it, fields by keyword only apart.

    A class with a cached property has no slots, for its values need a place.

    Its instances compare, hash, print, copy and pickle by their fields, and `dataclasses.replace` and `fields` take
    them. Setting an attribute raises FrozenInstanceError.
    """
    keeps = any(isinstance(member, cached_property) for member in vars(cls).values())
    made: Any = dataclass(init=False, repr=False, eq=False, slots=not keeps)(cls)
    compared = [f.name for f in fields(made) if f.compare]
    made._compared = attrgetter(*compared) if compared else type

    def first(self: Any, *args: Any, **named: Any) -> None:
        made.__init__ = _written_init(made)
        made.__init__(self, *args, **named)

    made.__init__ = first
    for name, method in SHARED.items():
        if name not in vars(cls):
            setattr(made, name, method)
    return made  # type: ignore[no-any-return]


def _written_init(made: Any) -> Any:
    """The `__init__` of a class, from its fields."""
    known: dict[str, Any] = {"missing": MISSING}
    slotted = "__slots__" in vars(made)
    parameters, body = ["self"], ["pass" if slotted else "kept = self.__dict__"]
    for f in fields(made):
        value = f.name
        if f.default_factory is not MISSING:
            known[f"new_{f.name}"] = f.default_factory
            value = f"new_{f.name}() if {f.name} is missing else {f.name}" if f.init else f"new_{f.name}()"
        elif f.default is not MISSING:
            known[f"default_{f.name}"] = f.default
            value = f.name if f.init else f"default_{f.name}"
        if f.init:
            parameters.append(f.name + _default(f))
        if slotted:
            known[f"set_{f.name}"] = getattr(made, f.name).__set__
        body.append(f"set_{f.name}(self, {value})" if slotted else f"kept[{f.name!r}] = {value}")
    if hasattr(made, "__post_init__"):
        body.append("self.__post_init__()")
    text = f"def __init__({', '.join(parameters)}):\n  " + "\n  ".join(body)
    exec(text, known)  # noqa: S102 - as dataclasses does; the names are those of fields in our own source
    return known["__init__"]


def _default(f: Field[Any]) -> str:
    if f.default_factory is not MISSING:
        return "=missing"
    return f"=default_{f.name}" if f.default is not MISSING else ""


def _refuse_setting(_: Any, name: str, __: Any) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_deleting(_: Any, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _equal(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self._compared(self) == self._compared(other)


def _hashed(self: Any) -> int:
    return hash(self._compared(self))


def _printed(self: Any) -> str:
    shown = (f"{f.name}={getattr(self, f.name)!r}" for f in fields(self) if f.repr)
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _state(self: Any) -> list[Any]:
    return [getattr(self, f.name) for f in fields(self)]


def _restored(self: Any, state: list[Any]) -> None:
    for f, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, f.name, value)


SHARED = {
    "__setattr__": _refuse_setting,
    "__delattr__": _refuse_deleting,
    "__eq__": _equal,
    "__hash__": _hashed,
    "__repr__": _printed,
    "__getstate__": _state,
    "__setstate__": _restored,
}
