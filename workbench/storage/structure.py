"""The schema of ``document`` laid over plain data: what does not fit, and which keys it does not know.

``msgspec`` converts a sound file; it stops at the first error and hides keys of dictionaries.  ``misfits`` therefore
names every error, by the same type information, and needs no list of fields of its own.
"""

import math
import operator
from collections.abc import Iterator
from typing import Any, NamedTuple

import msgspec.inspect as ms

from workbench.base.text import N_, _
from workbench.document.project import Project
from workbench.storage.findings import (
    MISSING,
    NOT_A_CHOICE,
    NOT_ABOVE,
    NOT_BELOW,
    TOO_LARGE,
    TOO_MANY,
    TOO_SMALL,
    UNKNOWN_KEY,
    WRONG_TYPE,
    Finding,
    Path,
    Plain,
)

MAX_VARIANTS = 200
MAX_LINES = 400  # in one variant
MAX_FOODS = 5_000

Ids = tuple[str, ...]
Extras = dict[Ids, dict[str, Any]]
"""Unknown keys with their values, by the way of ids to the object that held them: ("variants", id, "lines", id)."""

SCHEMA = ms.type_info(Project)


# --- limits -----------------------------------------------------------------------------------------------------------


def oversized(plain: Plain) -> Iterator[Finding]:
    """Lists that are too long to be opened."""
    variants = plain.get("variants")
    limits: list[tuple[Path, Any, int]] = [
        (("variants",), variants, MAX_VARIANTS),
        (("foods",), plain.get("foods"), MAX_FOODS),
    ]
    for k, variant in enumerate(variants if isinstance(variants, list) else ()):
        if isinstance(variant, dict):
            limits.append((("variants", k, "lines"), variant.get("lines"), MAX_LINES))
    for path, collection, limit in limits:
        if isinstance(collection, list | dict) and len(collection) > limit:
            yield Finding(path, TOO_MANY, {"count": len(collection), "limit": limit})


# --- what does not fit ------------------------------------------------------------------------------------------------

_WANTED: dict[type[ms.Type], str] = {
    ms.StrType: N_("text in double quotes"),
    ms.IntType: N_("a whole number"),
    ms.FloatType: N_("a number"),
    ms.BoolType: N_("true or false"),
    ms.VarTupleType: N_("a list in square brackets"),
    ms.DictType: N_("an object in curly brackets"),
    ms.StructType: N_("an object in curly brackets"),
}
_ACCEPTED: dict[type[ms.Type], tuple[type, ...]] = {
    ms.StrType: (str,),
    ms.IntType: (int,),
    ms.FloatType: (int, float),
    ms.BoolType: (bool,),
    ms.VarTupleType: (list,),
    ms.DictType: (dict,),
    ms.StructType: (dict,),
}


def misfits(node: Any, of: ms.Type = SCHEMA, path: Path = ()) -> Iterator[Finding]:
    """Everything in plain data that the schema does not accept."""
    if isinstance(of, ms.UnionType):
        yield from _union_misfits(node, of, path)
    elif isinstance(of, ms.LiteralType):
        if node not in of.values or type(node) is not type(of.values[0]):
            yield Finding(path, NOT_A_CHOICE, {"found": _show(node)}, str(node), tuple(map(str, of.values)))
    elif not _is_a(node, of):
        yield _wrong_type(node, of, path)
    else:
        if isinstance(of, ms.StructType):
            missing = (field for field in of.fields if field.required and field.encode_name not in node)
            yield from (Finding((*path, f.encode_name), MISSING, {"wanted": _wanted(f.type)}) for f in missing)
        elif isinstance(of, ms.FloatType | ms.IntType):
            yield from _out_of_range(node, of, path)
        for key, item, kind in _children(node, of):
            yield from misfits(item, kind, (*path, key))


def _children(node: Any, of: ms.Type) -> Iterator[tuple[str | int, Any, ms.Type]]:
    """The parts of an object, a dictionary or a list of the right shape, each with its type."""
    if isinstance(of, ms.StructType) and isinstance(node, dict):
        for field in of.fields:
            if field.encode_name in node:
                yield field.encode_name, node[field.encode_name], field.type
    elif isinstance(of, ms.DictType) and isinstance(node, dict):
        for key, item in node.items():
            yield key, item, of.value_type
    elif isinstance(of, ms.VarTupleType) and isinstance(node, list):
        for k, item in enumerate(node):
            yield k, item, of.item_type


def _union_misfits(node: Any, of: ms.UnionType, path: Path) -> Iterator[Finding]:
    """Null or one type, or one of several objects told apart by a tag."""
    kinds = _without_null(of)
    if node is None and len(kinds) < len(of.types):
        return
    tagged = {one.tag: one for one in kinds if isinstance(one, ms.StructType) and one.tag is not None}
    tag_field = next((one.tag_field for one in tagged.values()), None)
    if tag_field is None or not isinstance(node, dict):
        yield from misfits(node, kinds[0], path)
    elif tag_field not in node:
        yield Finding((*path, tag_field), MISSING, {"wanted": ", ".join(f"“{tag}”" for tag in tagged)})
    elif not isinstance(node[tag_field], str) or node[tag_field] not in tagged:
        found = node[tag_field]
        yield Finding((*path, tag_field), NOT_A_CHOICE, {"found": _show(found)}, str(found), tuple(map(str, tagged)))
    else:
        yield from misfits(node, tagged[node[tag_field]], path)


def _without_null(of: ms.UnionType) -> list[ms.Type]:
    return [one for one in of.types if not isinstance(one, ms.NoneType)]


def _is_a(node: Any, of: ms.Type) -> bool:
    if isinstance(node, bool):
        return isinstance(of, ms.BoolType)
    return isinstance(node, _ACCEPTED[type(of)])


def _out_of_range(node: float, of: ms.FloatType | ms.IntType, path: Path) -> Iterator[Finding]:
    if not math.isfinite(node):
        return  # already said
    checks = (
        (of.ge, TOO_SMALL, operator.ge),
        (of.gt, NOT_ABOVE, operator.gt),
        (of.le, TOO_LARGE, operator.le),
        (of.lt, NOT_BELOW, operator.lt),
    )
    for limit, kind, holds in checks:
        if limit is not None and not holds(node, limit):
            yield Finding(path, kind, {"limit": limit, "found": _show(node)})


def _wanted(of: ms.Type) -> str:
    if isinstance(of, ms.LiteralType):
        return ", ".join(f"“{word}”" for word in of.values)
    return _(_WANTED.get(type(of), N_("a value")))


def _wrong_type(node: Any, of: ms.Type, path: Path) -> Finding:
    kind = WRONG_TYPE
    if isinstance(node, str) and isinstance(of, ms.FloatType | ms.IntType):
        kind = kind._replace(hint=N_("Write it without quotes and with a decimal point, such as 12.5."))
    return Finding(path, kind, {"wanted": _wanted(of), "found": _show(node)})


def _show(node: Any) -> str:
    """A value as the file spells it, shortened."""
    if isinstance(node, dict | list):
        return _("an object") if isinstance(node, dict) else _("a list")
    if isinstance(node, bool) or node is None:
        return {None: "null", True: "true", False: "false"}[node]
    text = f"“{node}”" if isinstance(node, str) else f"{node}"
    return text if len(text) <= 60 else text[:60] + "…"


# --- objects and the keys they do not know ----------------------------------------------------------------------------


class _Object(NamedTuple):
    path: Path
    ids: Ids
    node: dict[str, Any]
    keys: tuple[str, ...]


def _objects(node: Any, of: ms.Type = SCHEMA, path: Path = (), ids: Ids = ()) -> Iterator[_Object]:
    """Every object in plain data that the schema knows; what does not fit is passed over."""
    if isinstance(of, ms.UnionType):
        structs = [one for one in of.types if isinstance(one, ms.StructType)]
        if len(structs) == 1:
            yield from _objects(node, structs[0], path, ids)
        for one in structs if len(structs) > 1 and isinstance(node, dict) else ():
            if node.get(one.tag_field or "") == one.tag:
                yield from _objects(node, one, path, (*ids, str(one.tag)))  # another choice is another object
        return
    if isinstance(of, ms.StructType) and isinstance(node, dict):
        keys = tuple(field.encode_name for field in of.fields)
        yield _Object(path, ids, node, (*keys, of.tag_field) if of.tag_field else keys)
    for key, item, kind in _children(node, of):
        if isinstance(item, dict | list):
            own = item.get("id", key) if isinstance(key, int) and isinstance(item, dict) else key
            yield from _objects(item, kind, (*path, key), (*ids, str(own)))


def unknown_keys(plain: Plain) -> tuple[Extras, list[Finding]]:
    """The keys that the schema does not know, to be written back, and one finding for each."""
    extras: Extras = {}
    findings = []
    for path, ids, node, keys in _objects(plain):
        if unknown := {key: node[key] for key in node if key not in keys}:
            extras[ids] = unknown
            findings += [Finding(path, UNKNOWN_KEY, {"key": key}, key, keys) for key in unknown]
    return extras, findings


def put_back(plain: Plain, extras: Extras) -> None:
    """Write unknown keys into the objects they came from, as far as these still exist."""
    for _path, ids, node, _keys in list(_objects(plain)):
        for key, value in extras.get(ids, {}).items():
            node.setdefault(key, value)
