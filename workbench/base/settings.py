"""Settings: what the program remembers of its user between runs.  Never anything a result depends on.

A broken or half-readable file costs at most what it held: every key that cannot be read falls back to its default, and
keys of a newer version are kept.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal, NamedTuple, get_args

from workbench.base.errors import FileError
from workbench.base.files import write_atomically
from workbench.base.paths import user_config

Theme = Literal["system", "light", "dark", "contrast"]


class Settings(NamedTuple):
    """All settings with their defaults."""

    theme: Theme = "system"
    language: str = ""  # locale code; "" follows the system
    window: str = ""  # geometry and state of the window, as text that only the window reads
    splitter: tuple[int, ...] = ()  # widths of the work area's two sides
    columns: tuple[str, ...] | None = None  # of the recipe, by name; None: the usual ones
    brought_to: str = "portion"  # what the columns of contributions are to
    import_maps: dict[str, dict[str, str]] = {}  # what columns of foreign tables were taken for, by their titles
    import_ways: dict[str, dict[str, str]] = {}  # worksheet and layout where the likeliest was not meant, likewise
    compared: dict[str, list[str]] = {}  # variants to compare, by the id of the project; only the window reads them
    hand_over: dict[str, Any] = {}  # choices of the form of handing over, which alone reads them
    label_sheets: dict[str, list[float]] = {}  # label sheets that the user named, by their dimensions in mm


def _is_map(value: object) -> bool:
    return isinstance(value, dict) and all(isinstance(x, str) for x in value.values())


def _is_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(x, str) for x in value)


_READABLE: dict[str, Callable[[Any], bool]] = {
    "theme": lambda value: value in get_args(Theme),
    "language": lambda value: isinstance(value, str),
    "window": lambda value: isinstance(value, str),
    "splitter": lambda value: isinstance(value, list) and all(type(width) is int and width >= 0 for width in value),
    "columns": lambda value: value is None or (isinstance(value, list) and all(isinstance(x, str) for x in value)),
    "brought_to": lambda value: isinstance(value, str),
    "compared": lambda value: isinstance(value, dict) and all(map(_is_texts, value.values())),
    "import_maps": lambda value: isinstance(value, dict) and all(map(_is_map, value.values())),
    "import_ways": lambda value: isinstance(value, dict) and all(map(_is_map, value.values())),
    "hand_over": lambda value: isinstance(value, dict),
    "label_sheets": lambda value: isinstance(value, dict),
}


class SettingsFile:
    """The settings on disk."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or user_config() / "settings.json"
        self._others: dict[str, Any] = {}
        self.settings = self._read()

    def _read(self) -> Settings:
        try:
            plain = json.loads(self.path.read_text(encoding="utf-8"))
        except (OSError, ValueError, RecursionError):
            return Settings()
        if not isinstance(plain, dict):
            return Settings()
        self._others = {key: value for key, value in plain.items() if key not in Settings._fields}
        good: dict[str, Any] = {
            key: plain[key] for key in Settings._fields if key in plain and _READABLE[key](plain[key])
        }
        good = {key: tuple(value) if isinstance(value, list) else value for key, value in good.items()}
        return Settings()._replace(**good)

    def change(self, **changed: Any) -> None:
        """Set some settings and write all; where that is not possible they hold for this run only."""
        settings = self.settings._replace(**changed)
        if settings == self.settings:
            return
        self.settings = settings
        data = json.dumps({**self._others, **settings._asdict()}, ensure_ascii=False, indent=1)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_atomically(self.path, data.encode("utf-8") + b"\n")
        except (FileError, OSError):
            return  # a full or read-only disk must not stop the work; it says so when the project is saved
