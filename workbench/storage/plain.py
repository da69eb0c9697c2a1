"""From the bytes of a file to plain data: everything that can be wrong before the data mean anything."""

import json
import math
import re
from collections.abc import Iterator
from typing import Any

from workbench.base.text import _
from workbench.storage.findings import BROKEN_TEXT, DUPLICATE_KEY, NOT_FINITE, TOO_DEEP, Finding, Path, ProjectFileError

MAX_BYTES = 32 * 1024 * 1024
MAX_DEPTH = 50
_MAX_DIGITS = 300  # a longer whole number is read as a fraction, which is then too large to be finite

_BOM = b"\xef\xbb\xbf"


class _Doubled(dict[str, Any]):
    """An object in which keys stood twice."""

    twice: list[str]


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) == len(pairs):
        return made
    doubled = _Doubled(made)
    keys = [key for key, _value in pairs]
    doubled.twice = [key for key in made if keys.count(key) > 1]
    return doubled


def _whole(digits: str) -> int | float:
    return int(digits) if len(digits) <= _MAX_DIGITS else float(digits)


def read_plain(data: bytes) -> Any:
    """Decode JSON in UTF-8, with or without a byte order mark.

    Raises
    ------
    ProjectFileError
        If it is none; the message says in which line and column.
    """
    if len(data) > MAX_BYTES:
        raise ProjectFileError(
            _("The file is larger than {limit} MiB.", limit=MAX_BYTES // 1024 // 1024),
            hint=_("A project of this program is far smaller; choose another file."),
        )
    data = data.removeprefix(_BOM)
    if not data.strip(b" \t\r\n\0"):
        raise ProjectFileError(_("The file is empty."), hint=_("Restore it from a backup or a recovery copy."))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise ProjectFileError(
            _("Line {line} is not UTF-8 text.", line=line),
            hint=_("If it was edited by hand, save it as UTF-8; otherwise it is no project or is damaged."),
        ) from error
    try:
        return json.loads(text, object_pairs_hook=_object, parse_int=_whole)
    except json.JSONDecodeError as error:
        raise _not_json(error, text) from error
    except RecursionError as error:
        raise ProjectFileError(
            _("The file is nested more than {limit} levels deep.", limit=MAX_DEPTH),
            hint=_("It is no project of this program; choose another file."),
        ) from error


_CUT_VALUE = re.compile(r"[-+.eE\d]*|t(ru?)?|f(als?|a)?|nu?l?")  # the start of a number or a word, or nothing


def _not_json(error: json.JSONDecodeError, text: str) -> ProjectFileError:
    if error.msg.startswith("Unterminated") or _CUT_VALUE.fullmatch(text[error.pos :].strip()):
        end = text.rstrip()
        line, column = end.count("\n") + 1, len(end) - end.rfind("\n") - 1
        return ProjectFileError(
            _("The file breaks off in line {line}, column {column}.", line=line, column=column),
            hint=_("Restore it from a backup or a recovery copy, or add what is missing at the end."),
        )
    where = {"line": error.lineno, "column": error.colno}
    if not text.lstrip().startswith("{"):
        return ProjectFileError(
            _("This is not a project file: line {line}, column {column} is not JSON.", **where),
            hint=_("Choose another file."),
        )
    return ProjectFileError(
        _("Line {line}, column {column} is not valid JSON ({reason}).", reason=error.msg, **where),
        hint=_("Look there for a missing comma, quote or bracket."),
    )


def raw_findings(plain: Any) -> Iterator[Finding]:
    """Keys that stand twice, numbers that are none, broken characters and absurd nesting, anywhere in the data."""
    waiting: list[tuple[Path, Any]] = [((), plain)]
    while waiting:
        path, node = waiting.pop()
        if isinstance(node, dict):
            if isinstance(node, _Doubled):
                yield from (Finding(path, DUPLICATE_KEY, {"key": key}) for key in node.twice)
            inner: list[tuple[Path, Any]] = [((*path, key), value) for key, value in node.items()]
            yield from (Finding(path, BROKEN_TEXT) for key in node if not _encodable(key))
        elif isinstance(node, list):
            inner = [((*path, k), value) for k, value in enumerate(node)]
        else:
            if isinstance(node, float) and not math.isfinite(node):
                found = "NaN" if math.isnan(node) else _("infinite or too large")
                yield Finding(path, NOT_FINITE, {"found": found})
            elif isinstance(node, str) and not _encodable(node):
                yield Finding(path, BROKEN_TEXT)
            continue
        if inner and len(path) >= MAX_DEPTH:
            yield Finding(path[:3], TOO_DEEP, {"limit": MAX_DEPTH})
        else:
            waiting.extend(reversed(inner))


def _encodable(text: str) -> bool:
    """False for half of a surrogate pair, which JSON can spell and no file can hold."""
    if text.isascii():
        return True
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True
