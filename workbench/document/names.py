"""Names beside other names."""

from collections.abc import Iterable


def free_name(name: str, beside: Iterable[str]) -> str:
    """A name that none beside it has, whatever the letters' case: ``name``, or with a number behind it."""
    taken = {other.casefold() for other in beside}
    ways = (name, *(f"{name} {k}" for k in range(2, len(taken) + 3)))
    return next(way for way in ways if way.casefold() not in taken)
