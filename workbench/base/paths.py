"""Where the program's own files and the user's files live.

A checkout keeps its data beside the package; an installed copy carries the same folders inside it.  User folders follow
the platform's conventions and can be redirected with ``POCKETFARE_HOME`` (tests do so).
"""

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def _data(name: str) -> Path:
    inside = _PACKAGE / "_data" / name  # an installed copy
    return inside if inside.is_dir() else _PACKAGE.parent / name


def ingredient_db() -> Path:
    """Folder of the bundled composition table."""
    return _data("ingredient_db")


def resources() -> Path:
    """Folder of icons, templates, translations and the JSON Schema."""
    return _data("resources")


def demo_projects() -> Path:
    """Folder of the ready projects."""
    return _data("demo_projects")


def _user(kind: str) -> Path:
    home = os.environ.get("POCKETFARE_HOME")
    if home:
        return Path(home) / kind
    import platformdirs

    finder = {
        "data": platformdirs.user_data_path,
        "state": platformdirs.user_state_path,
        "config": platformdirs.user_config_path,
    }
    return finder[kind]("pocketfare", appauthor=False)


def user_data() -> Path:
    """Folder of the user's own library."""
    return _user("data")


def library() -> Path:
    """The user's own library."""
    return user_data() / "library.sqlite"


def user_state() -> Path:
    """Folder of recovery copies and logs."""
    return _user("state")


def user_config() -> Path:
    """Folder of the settings."""
    return _user("config")
