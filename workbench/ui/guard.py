"""A mistake in what Qt calls must not end the program.

PySide6 6.11.3 crashes the process when an exception leaves a Python override that Qt called (it reads the arguments of
an exception that CPython 3.11 has not built yet), and even where it does not, Qt goes on as if nothing had been
returned.  A guarded class hands such an exception to ``sys.excepthook``, which shows the report and keeps the document,
and lets Qt's own version of the function answer instead.
"""

import sys
from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

C = TypeVar("C", bound=type)
_OURS = "workbench."


def guarded(cls: C) -> C:
    """Guard every function of a class that overrides one of Qt's."""
    for name, function in list(vars(cls).items()):
        if not name.startswith("_") and callable(function) and _is_qts(cls, name):
            setattr(cls, name, _guard(cls, name, function))
    return cls


def overrides(cls: type) -> list[str]:
    """Names of a class's own functions that Qt calls and that are not guarded."""
    return [
        name
        for name, function in vars(cls).items()
        if not name.startswith("_")
        and callable(function)
        and _is_qts(cls, name)
        and not getattr(function, "is_guarded", False)
    ]


def _is_qts(cls: type, name: str) -> bool:
    """Whether Qt defines a function of this name above ``cls``."""
    return any(name in vars(base) for base in cls.__mro__[1:] if not base.__module__.startswith(_OURS))


def _guard(cls: type, name: str, function: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(function)
    def call(self: Any, *arguments: Any) -> Any:
        try:
            return function(self, *arguments)
        except Exception:  # noqa: BLE001 - whatever it is, it must not go back into Qt
            sys.excepthook(*sys.exc_info())
        try:
            return getattr(super(cls, self), name)(*arguments)
        except Exception:  # noqa: BLE001 - Qt has no answer of its own either
            return None

    call.is_guarded = True  # type: ignore[attr-defined]
    return call
