"""What the library keeps beside the foods themselves, as plain frozen data."""

from typing import Literal

import msgspec

from workbench.composition.food import Food, Origin


class TableInfo(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """A published table that was imported whole.  Its ``key`` is the one that values of its foods name as source."""

    key: str  # permanent: the same key imported again replaces the rows of the earlier import
    title: str
    citation: str = ""
    version: str = ""
    licence: str = ""
    imported: str = ""  # ISO 8601 date, said by who imports
    file: str = ""  # name of the file or folder it was read from
    conventions: tuple[str, ...] = ()  # in words: fibre in or out, nitrogen factor, fatty-acid basis, per 100 g or ml


class Lot(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """A supplier's delivery of one ingredient."""

    code: str
    supplier: str = ""
    received: str = ""  # ISO 8601
    best_before: str = ""  # ISO 8601
    note: str = ""
    figures: dict[str, float] = {}  # its own, by tagname; per 100 g, in the unit of the component


class MadeFrom(msgspec.Struct, frozen=True, kw_only=True):
    """The recipe of a composite ingredient: a project file with one variant, which only the layers above can read."""

    recipe: bytes
    variant_id: str
    foods: dict[str, str]  # id of a library or bundled food in it -> row hash it was computed with


class Entry(msgspec.Struct, frozen=True, omit_defaults=True, kw_only=True):
    """A food with everything the library keeps about it; a revision is one of these."""

    food: Food
    active: bool = True
    note: str = ""  # the user's, on this food
    tags: tuple[str, ...] = ()
    lots: tuple[Lot, ...] = ()
    made_from: MadeFrom | None = None
    table: str = ""  # key of the table it was imported with; "" for a food of one's own
    code: str = ""  # its code there
    stated: tuple[str, ...] = ()  # fields that the user has set on an imported food; a new import keeps them


class Revision(msgspec.Struct, frozen=True):
    """One state of a food, newest first in ``Library.revisions``."""

    number: int
    when: str  # ISO 8601, UTC
    words: str  # of the step that made it: "import of USDA SR26"
    note: str
    entry: Entry | None  # None: deleted


class Step(msgspec.Struct, frozen=True):
    """A change of the library that is undone as one."""

    number: int
    when: str
    words: str
    n_foods: int


class ImportSummary(msgspec.Struct, frozen=True):
    """What an import changed."""

    added: int = 0
    replaced: int = 0  # rows of an earlier import that differ now
    same: int = 0
    missing: int = 0  # rows of an earlier import that the table has no more: deactivated, not deleted
    overwritten: tuple[str, ...] = ()  # names of foods whose figures the user had changed by hand; see their revisions

    @property
    def total(self) -> int:
        """Rows that the table has now."""
        return self.added + self.replaced + self.same


class Rule(msgspec.Struct, frozen=True, kw_only=True):
    """What is stated of many foods at once: all that every given condition fits."""

    # which foods; at least one of them
    table: str = ""
    group: str = ""
    word: str = ""  # whole word in the name, as the search compares words
    ids: tuple[str, ...] = ()
    # what is stated; None leaves it as it is
    roles: tuple[str, ...] | None = None
    origin: Origin | None = None
    contains: tuple[str, ...] | None = None
    may_contain: tuple[str, ...] | None = None
    only_unstated: bool = True  # leave alone what a food already says


Choice = Literal["mine", "theirs", "newer"]
