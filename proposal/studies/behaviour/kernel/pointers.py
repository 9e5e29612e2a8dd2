"""How compiled code reaches the machine's numbers: by bare pointers, without a check for indices from the end.

Numbers that no run changes (places, sizes, tables) are marked as such: they need not be read again after a write.
"""

from __future__ import annotations

import operator
from typing import Any

from numba import types
from numba.core import cgutils
from numba.extending import intrinsic, lower_builtin, models, register_model


class Steady(types.CPointer):
    """Pointer to numbers that do not change while compiled code runs."""

    def __init__(self, dtype: Any) -> None:
        super().__init__(dtype)
        self.name = f"Steady[{dtype}]"


register_model(Steady)(models.PointerModel)


@lower_builtin(operator.getitem, Steady, types.Integer)  # type: ignore[untyped-decorator]
def _steady_item(context: Any, builder: Any, signature: Any, args: Any) -> Any:
    pointer, index = args
    item = builder.load(cgutils.gep_inbounds(builder, pointer, index))
    item.set_metadata("invariant.load", builder.module.add_metadata([]))
    return item


def _data(context: Any, builder: Any, signature: Any, args: Any) -> Any:
    return context.make_array(signature.args[0])(context, builder, value=args[0]).data


@intrinsic
def moving(typing_context: Any, array: Any) -> Any:
    """Pointer to an array's numbers, which compiled code may change."""
    return types.CPointer(array.dtype)(array), _data


@intrinsic
def steady(typing_context: Any, array: Any) -> Any:
    """Pointer to an array's numbers, which nothing changes while compiled code runs."""
    return Steady(array.dtype)(array), _data


def entry(floats, places, tables, *args):
    """Begin a function of the kernel on arrays. `target` is put in the compiled copy's names."""
    return target(moving(floats), steady(places), steady(tables), *args)  # type: ignore[call-arg, name-defined]  # noqa: F821
