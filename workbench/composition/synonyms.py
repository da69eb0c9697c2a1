"""Words that mean the same in the kitchen, from ``ingredient_db/synonyms.csv``.

A row without ``first`` holds words that mean the same wherever they stand in a name (maize; corn).  A row with
``first`` holds what a cook calls one food when nothing else is said (flour; plain flour; Mehl): that food is found by
all of them, and shown first.
"""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from workbench.base import paths
from workbench.base.text import _
from workbench.composition.plurals import singulars
from workbench.composition.table_file import rows
from workbench.composition.words import spelled_out, split


class Synonyms:
    """Groups of phrases of one meaning, and the food that is meant by a plain word."""

    def __init__(self, groups: tuple[tuple[str, ...], ...] = (), first: Mapping[str, str] | None = None) -> None:
        self.first = dict(first or {})  # folded phrase -> id of a food
        self.names: dict[str, list[str]] = {}  # id of a food -> phrases
        for called, food_id in self.first.items():
            self.names.setdefault(food_id, []).append(called)
        self._by_start: dict[str, list[tuple[tuple[str, ...], int]]] = {}
        self._groups = tuple(tuple(split(phrase) for phrase in group) for group in groups)
        for number, phrases in enumerate(self._groups):
            for phrase in phrases:
                self._by_start.setdefault(phrase[0], []).append((phrase, number))

    def instead(self, words: tuple[str, ...]) -> list[tuple[int, int, tuple[str, ...]]]:
        """Phrases that could stand in place of ``words[start:end]``, as (start, end, phrase)."""
        found = []
        for start, word in enumerate(words):
            for form in singulars(word):
                for phrase, number in self._by_start.get(form, ()):
                    end = start + len(phrase)
                    stands_there = end <= len(words) and all(
                        part in singulars(there) for there, part in zip(words[start:end], phrase, strict=True)
                    )
                    if stands_there:
                        found += [(start, end, other) for other in self._groups[number] if other != phrase]
        return found


def read_synonyms(folder: Path) -> Synonyms:
    """Read ``synonyms.csv``.

    Raises
    ------
    CompositionError
        If a cell cannot be used, or a word is said to mean two foods first.
    """
    groups: list[tuple[str, ...]] = []
    first: dict[str, str] = {}
    for row in rows(folder, "synonyms.csv", ("words", "first")):
        row.required("words")
        words, food_id = row.words("words"), row.text("first")
        if not food_id:
            groups.append(words)
            continue
        for word in words:
            keys = {" ".join(split(spelling)) for spelling in (word, spelled_out(word))}
            if any(first.setdefault(key, food_id) != food_id for key in keys):
                raise row.error("words", _("“{word}” stands here twice.", word=word))
    return Synonyms(tuple(groups), first)


@cache
def bundled_synonyms() -> Synonyms:
    """The synonyms that come with the program."""
    return read_synonyms(paths.ingredient_db())
