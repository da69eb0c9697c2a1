"""What the user said that columns are, kept for the next table with the same titles."""

from collections.abc import Mapping

from workbench.base.settings import SettingsFile
from workbench.composition.imports.detection import MAPPED, signature
from workbench.composition.imports.layout import Layout

_KEPT = 50  # tables; the one that was chosen longest ago goes first


def recall(layout: Layout, settings: SettingsFile) -> Mapping[str, str]:
    """The mapping that was chosen for these titles the last time; empty if there is none."""
    return settings.settings.import_maps.get(signature(layout), {}) if layout.name in MAPPED else {}


def remember(layout: Layout, mapping: Mapping[str, str], settings: SettingsFile) -> None:
    """Keep a mapping for the next table with these titles."""
    key = signature(layout)
    kept = [(other, known) for other, known in settings.settings.import_maps.items() if other != key]
    settings.change(import_maps=dict([*kept, (key, dict(mapping))][-_KEPT:]))
