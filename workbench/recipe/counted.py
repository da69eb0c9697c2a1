"""Counted measures in words: a half of one, one, and several of them."""

import math
from collections.abc import Callable

from workbench.base.text import plural

_Words = Callable[[int, str], str]

# Written out one by one, so that a catalogue holds each with all the forms that its language has.
_COUNTED: dict[str, _Words] = {
    "almond": lambda n, count: plural("{count} almond", "{count} almonds", n, count=count),
    "apple": lambda n, count: plural("{count} apple", "{count} apples", n, count=count),
    "banana": lambda n, count: plural("{count} banana", "{count} bananas", n, count=count),
    "beetroot": lambda n, count: plural("{count} beetroot", "{count} beetroots", n, count=count),
    "cake": lambda n, count: plural("{count} cake", "{count} cakes", n, count=count),
    "carrot": lambda n, count: plural("{count} carrot", "{count} carrots", n, count=count),
    "coconut": lambda n, count: plural("{count} coconut", "{count} coconuts", n, count=count),
    "cube": lambda n, count: plural("{count} cube", "{count} cubes", n, count=count),
    "cup": lambda n, count: plural("{count} cup", "{count} cups", n, count=count),
    "date": lambda n, count: plural("{count} date", "{count} dates", n, count=count),
    "egg": lambda n, count: plural("{count} egg", "{count} eggs", n, count=count),
    "egg white": lambda n, count: plural("{count} egg white", "{count} egg whites", n, count=count),
    "egg yolk": lambda n, count: plural("{count} egg yolk", "{count} egg yolks", n, count=count),
    "envelope": lambda n, count: plural("{count} envelope", "{count} envelopes", n, count=count),
    "fig": lambda n, count: plural("{count} fig", "{count} figs", n, count=count),
    "fruit": lambda n, count: plural("{count} fruit", "{count} fruits", n, count=count),
    "half": lambda n, count: plural("{count} half", "{count} halves", n, count=count),
    "kernel": lambda n, count: plural("{count} kernel", "{count} kernels", n, count=count),
    "lemon": lambda n, count: plural("{count} lemon", "{count} lemons", n, count=count),
    "lime": lambda n, count: plural("{count} lime", "{count} limes", n, count=count),
    "mango": lambda n, count: plural("{count} mango", "{count} mangoes", n, count=count),
    "measure": lambda n, count: plural("{count} measure", "{count} measures", n, count=count),
    "orange": lambda n, count: plural("{count} orange", "{count} oranges", n, count=count),
    "packet": lambda n, count: plural("{count} packet", "{count} packets", n, count=count),
    "pear": lambda n, count: plural("{count} pear", "{count} pears", n, count=count),
    "pinch": lambda n, count: plural("{count} pinch", "{count} pinches", n, count=count),
    "potato": lambda n, count: plural("{count} potato", "{count} potatoes", n, count=count),
    "prune": lambda n, count: plural("{count} prune", "{count} prunes", n, count=count),
    "ring": lambda n, count: plural("{count} ring", "{count} rings", n, count=count),
    "slice": lambda n, count: plural("{count} slice", "{count} slices", n, count=count),
    "stick": lambda n, count: plural("{count} stick", "{count} sticks", n, count=count),
    "sweet potato": lambda n, count: plural("{count} sweet potato", "{count} sweet potatoes", n, count=count),
}


def counted_text(count: float, shown: str, name: str) -> str:
    """``2 eggs``: a count with the name of a measure; names of the user's own stay as they were given.

    Parameters
    ----------
    count : float
        How many; what is above one takes the form of the next whole number.
    shown : str
        The count as it is shown, such as ``1 ½``.
    name : str
        The measure, in the singular.
    """
    words = _COUNTED.get(name)
    return f"{shown} {name}" if words is None else words(math.ceil(count), shown)
