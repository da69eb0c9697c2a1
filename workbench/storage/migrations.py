"""Bringing the plain data of an older project up to the present schema, one version at a time.

A migration takes plain data of version n and returns plain data of version n + 1, ``schema_version`` included.  It may
change what it is given.  Every version that was ever released keeps its migration and a file in ``tests/golden``.
"""

from collections.abc import Callable, Mapping

from workbench.base.text import _
from workbench.document.project import SCHEMA_VERSION
from workbench.storage.findings import Plain, ProjectFileError

Migrations = Mapping[int, Callable[[Plain], Plain]]

MIGRATIONS: Migrations = {}
"""From the version in the key to the next; version 1 is the first there ever was."""


def migrate(plain: Plain, migrations: Migrations = MIGRATIONS, current: int = SCHEMA_VERSION) -> Plain:
    """Bring ``plain`` to version ``current``.

    Raises
    ------
    ProjectFileError
        If its version is newer, is no version, or has no way up.
    """
    version = plain.get("schema_version")
    if not isinstance(version, int) or isinstance(version, bool):
        raise ProjectFileError(
            _("The file does not say which version of the project format it has."),
            hint=_('Add "schema_version": {version} at its top.', version=current),
        )
    if version > current:
        raise ProjectFileError(
            _("The file has version {version} of the project format; this program reads up to {current}.",
              version=version, current=current),
            hint=_("Open it with a newer version of the program."),
        )  # fmt: skip
    while version < current:
        if version not in migrations:
            raise ProjectFileError(
                _("Version {version} of the project format is not known.", version=version),
                hint=_('If the file was written by hand, write "schema_version": {version}.', version=current),
            )
        try:
            plain = migrations[version](plain)
        except (AttributeError, LookupError, TypeError, ValueError) as error:  # its shape was never checked
            raise ProjectFileError(
                _("The file has version {version} of the project format, but not its shape.", version=version),
                hint=_("Restore it from a backup."),
            ) from error
        version += 1
    return plain
