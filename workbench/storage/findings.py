"""What can be wrong with a project file, in words, and where in the file it is.

A ``Finding`` points into the plain data by keys and positions; ``to_problems`` turns findings into ``Problem`` with the
place in the user's words ("variant “Race”, ingredient line “maize meal”").
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from workbench.base.errors import FileError, Place, Problem, ProblemKind
from workbench.base.nearest import nearest
from workbench.base.text import N_, _

Plain = dict[str, Any]
"""A project as JSON gives it."""

Path = tuple[str | int, ...]
"""Keys and positions that lead into plain data."""

MAX_LISTED = 200  # problems named one by one; more do not help anyone


class ProjectFileError(FileError, ValueError):
    """A project file cannot be opened, or a project cannot be saved; ``problems`` lists every reason."""


class Finding(NamedTuple):
    """One thing that is wrong at a place in the plain data."""

    path: Path
    kind: ProblemKind
    parts: Mapping[str, object] = MappingProxyType({})
    word: str = ""  # a word that is not known …
    known: tuple[str, ...] = ()  # … and the words that would be


DUPLICATE_KEY = ProblemKind("duplicate_key", "error", N_("the key “{key}” stands here twice."), N_("Keep one of them."))
NOT_FINITE = ProblemKind(
    "not_finite",
    "error",
    N_("{field} is {found}, which is not a usable number."),
    N_("Write an ordinary number, or leave the value out if it is not known."),
)
BROKEN_TEXT = ProblemKind("broken_text", "error", N_("{field} holds half of a character."), N_("Type the text again."))
TOO_DEEP = ProblemKind(
    "too_deep", "error", N_("{field} is nested more than {limit} levels deep."), N_("Remove the inner levels.")
)
TOO_MANY = ProblemKind(
    "too_many",
    "error",
    N_("{field} has {count} entries; the limit is {limit}."),
    N_("Divide them among several projects."),
)
WRONG_TYPE = ProblemKind(
    "wrong_type", "error", N_("{field} must be {wanted}, not {found}."), N_("Correct it in the file.")
)
MISSING = ProblemKind("missing", "error", N_("{field} is missing."), N_("Add it: {wanted}."))
NOT_A_CHOICE = ProblemKind(
    "not_a_choice", "error", N_("{field} is {found}, which is not known."), N_("Use one of: {choices}.")
)
TOO_SMALL = ProblemKind("too_small", "error", N_("{field} must be at least {limit}, not {found}."))
NOT_ABOVE = ProblemKind("not_above", "error", N_("{field} must be more than {limit}, not {found}."))
TOO_LARGE = ProblemKind("too_large", "error", N_("{field} must be at most {limit}, not {found}."))
NOT_BELOW = ProblemKind("not_below", "error", N_("{field} must be less than {limit}, not {found}."))
UNREADABLE = ProblemKind("unreadable", "error", N_("the data do not fit: {reason}."), N_("Correct it in the file."))
UNKNOWN_KEY = ProblemKind(
    "unknown_key",
    "warning",
    N_("“{key}” is not known to this version; it is kept as it is."),
    N_("Check its spelling."),
)
DUPLICATE_ID = ProblemKind(
    "duplicate_id", "error", N_("the id “{id}” stands twice among the {field}."), N_("Give one of them another id.")
)
NO_STAGE = ProblemKind(
    "no_stage", "error", N_("there is no stage."), N_('Add at least one, for example {{"id": "mix", "name": "mix"}}.')
)
UNKNOWN_STAGE = ProblemKind(
    "unknown_stage", "error", N_("{field} “{id}” is not a stage of this variant."), N_("Use one of: {choices}.")
)
UNKNOWN_FOOD = ProblemKind(
    "unknown_food", "error", N_("the ingredient “{id}” is not known."), N_("Add it under “foods”, or correct the id.")
)
UNKNOWN_VARIANT = ProblemKind(
    "unknown_variant", "error", N_("the variant “{id}” is not in this project."), N_("Use one of: {choices}.")
)
VARIANT_RING = ProblemKind(
    "variant_ring",
    "error",
    N_("variants are made of one another in a ring: {ring}."),
    N_("Replace one of these lines by an ingredient."),
)
FOOD_KEY = ProblemKind(
    "food_key", "error", N_("its id “{id}” differs from its key “{key}”."), N_("Make the two the same.")
)
FOOD_NUMBER = ProblemKind(
    "food_number", "error", N_("{field} is {found}; it must be between {low} and {high}."), N_("Correct the number.")
)
UNKNOWN_ALLERGEN = ProblemKind(
    "unknown_allergen", "error", N_("{field}: “{id}” is not a known allergen."), N_("Use one of: {choices}.")
)
UNKNOWN_COMPONENT = ProblemKind(
    "unknown_component",
    "warning",
    N_("{field}: the component “{id}” is not known; it is kept but counts nowhere."),
    N_("Check the tagname."),
)
GONE_TARGETS = ProblemKind(
    "gone_targets", "warning", N_("its targets “{id}” are not in this project; the link was removed.")
)
GONE_PARENT = ProblemKind(
    "gone_parent", "warning", N_("the variant “{id}” it came from is not in this project; the link was removed.")
)
PARENT_RING = ProblemKind(
    "parent_ring", "warning", N_("variants come from one another in a ring; the link was removed.")
)
GONE_VARIANT = ProblemKind("gone_variant", "warning", N_("the variant “{id}” is no longer in this project."))
FOOD_ADDED = ProblemKind(
    "food_added", "notice", N_("“{name}” was taken from the bundled table, as the file does not carry it.")
)
MIGRATED = ProblemKind(
    "migrated", "notice", N_("the file was written by an older version; saving brings it up to date.")
)
MORE = ProblemKind("more", "notice", N_("and {count} more of this sort."))

# List or dictionary in the file -> what one of its objects is called, and the key of its name.
_PLACES = {
    "variants": ("variant", "name"),
    "lines": ("line", "name"),
    "stages": ("stage", "name"),
    "foods": ("food", "name"),
    "target_sets": ("targets", "name"),
    "targets": ("target", "quantity"),
    "plans": ("plan", "name"),
    "trials": ("trial", "date"),
}


def locate(plain: Plain, path: Path) -> tuple[tuple[Place, ...], str]:
    """The places that ``path`` leads through, and the field within the last of them."""
    places: list[Place] = []
    node: Any = plain
    field_from = 0
    for k, key in enumerate(path):
        if not _has(node, key):
            break  # the rest names something that is missing
        node = node[key]
        what = _PLACES.get(str(path[k - 1])) if k == field_from + 1 else None
        if what is not None and isinstance(node, dict):
            kind, name_key = what
            identity = key if isinstance(key, str) else _text(node.get("id")) or _("no. {n}", n=key + 1)
            name = _made_of(plain, node) if kind == "line" else _text(node.get(name_key))
            places.append(Place(kind, identity, name or identity))
            field_from = k + 1
    return tuple(places), _field(path[field_from:])


def _has(node: Any, key: str | int) -> bool:
    if isinstance(node, dict):
        return key in node
    return isinstance(node, list) and isinstance(key, int) and key < len(node)


def _text(node: object) -> str:
    return node if isinstance(node, str) else ""


def _made_of(plain: Plain, line: dict[str, Any]) -> str:
    """The name of the ingredient or variant in a line."""
    reference = line.get("food_ref")
    wanted = _text(reference.get("id")) if isinstance(reference, dict) else ""
    foods = plain.get("foods")
    named = [foods.get(wanted)] if isinstance(foods, dict) else []
    named += [variant for variant in plain["variants"] if isinstance(variant, dict) and variant.get("id") == wanted]
    return next((_text(one.get("name")) for one in named if isinstance(one, dict)), "") or wanted


def _field(path: Path) -> str:
    text = ""
    for key in path:
        text += f"[{_('no. {n}', n=key + 1)}]" if isinstance(key, int) else f".{key}" if text else key
    return text


def to_problems(plain: Plain, findings: Iterable[Finding]) -> list[Problem]:
    """Put findings into words, errors first; beyond ``MAX_LISTED`` they are only counted."""
    order = {"error": 0, "warning": 1, "notice": 2}
    found = sorted(findings, key=lambda finding: order[finding.kind.severity])
    problems = []
    for path, kind, parts, word, known in found[:MAX_LISTED]:
        places, field = locate(plain, path)
        near = nearest(word, known) if known else ""
        if near:
            kind, parts = kind._replace(hint=N_("Did you mean “{near}”?")), {**parts, "near": near}
        elif known:
            parts = {**parts, "choices": ", ".join(f"“{one}”" for one in known)}
        problems.append(Problem(kind, places, {"field": field or _("the file"), **parts}))
    if len(found) > MAX_LISTED:
        problems.append(MORE.at(count=len(found) - MAX_LISTED))
    return problems
