"""What a food is like to the hand and the tooth, told from its group and name: what may stand in for what."""

from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path

import msgspec

from workbench.base import paths
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.table_file import Row, rows
from workbench.composition.words import split


class Texture(msgspec.Struct, frozen=True):
    """One kind of texture, and how its foods are known; the first kind that fits a food is its own."""

    key: str
    title: str
    groups: frozenset[str]  # empty: any
    words: frozenset[str]  # one of them is in the name; empty: none is needed
    without: frozenset[str]  # none of them is in the name
    blends: bool  # whether two ingredients stirred together can stand in for one
    source: str  # empty: common practice, no source
    note: str

    def fits(self, group: str, words: frozenset[str]) -> bool:
        """Whether a food with these words in its name is of this kind; one without a group goes by its name alone."""
        if group:
            if self.groups and group not in self.groups:
                return False
        elif not self.words:
            return False
        return not (self.words and words.isdisjoint(self.words)) and words.isdisjoint(self.without)


_COLUMNS = ("key", "title", "groups", "words", "without", "blends", "source", "note")


def read_textures(folder: Path, foods: Mapping[str, Food]) -> tuple[Texture, ...]:
    """Kinds in the order of ``textures.csv``, which is the order they are tried in.

    Raises
    ------
    CompositionError
        If a cell cannot be used; the error names file, line and column.
    """
    groups = frozenset(food.group for food in foods.values())
    return tuple(_texture(row, groups) for row in rows(folder, "textures.csv", _COLUMNS))


def _texture(row: Row, groups: frozenset[str]) -> Texture:
    return Texture(
        row.required("key"),
        row.required("title"),
        frozenset(row.words("groups", groups)),
        _folded(row.words("words")),
        _folded(row.words("without")),
        row.choice("blends", frozenset(("", "yes"))) == "yes",
        row.text("source"),
        row.text("note"),
    )


def _folded(words: tuple[str, ...]) -> frozenset[str]:
    return frozenset(part for word in words for part in split(word))


@cache
def textures() -> tuple[Texture, ...]:
    """Kinds of the bundled data."""
    return read_textures(paths.ingredient_db(), bundled_foods())


def texture_of(food: Food) -> Texture | None:
    """The kind of a food; None where neither group nor name says."""
    return _texture_of(food.name, food.group)


@lru_cache(maxsize=4096)  # asked for every food and every line of a recipe
def _texture_of(name: str, group: str) -> Texture | None:
    words = frozenset(split(name))
    return next((texture for texture in textures() if texture.fits(group, words)), None)


def same_texture(one: Food, other: Food) -> bool:
    """Whether two foods feel alike; of what the data does not tell apart, those of one group do."""
    mine, theirs = texture_of(one), texture_of(other)
    return mine is theirs and (mine is not None or (bool(one.group) and one.group == other.group))
