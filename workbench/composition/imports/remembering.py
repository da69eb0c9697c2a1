"""What the user said of a table, kept for the next one with the same titles: which sheet and layout, which columns."""

from collections.abc import Mapping, Sequence

from workbench.base.settings import SettingsFile
from workbench.composition.imports.detection import MAPPED, signature
from workbench.composition.imports.layout import Layout

_KEPT = 50  # tables; the one that was chosen longest ago goes first
_Known = dict[str, dict[str, str]]


def recall(layout: Layout, settings: SettingsFile) -> Mapping[str, str]:
    """The mapping that was chosen for these titles the last time; empty if there is none."""
    return settings.settings.import_maps.get(signature(layout), {}) if layout.name in MAPPED else {}


def remember(layout: Layout, mapping: Mapping[str, str], settings: SettingsFile) -> None:
    """Keep a mapping for the next table with these titles."""
    settings.change(import_maps=_with(settings.settings.import_maps, signature(layout), dict(mapping)))


def recall_way(found: Sequence[Layout], settings: SettingsFile) -> Layout:
    """Of the ways in which a table can be read, the one that was meant the last time; else the likeliest."""
    known = settings.settings.import_ways.get(signature(found[0]), {})
    return next((layout for layout in found if _way(layout) == known), found[0])


def remember_way(found: Sequence[Layout], chosen: Layout, settings: SettingsFile) -> None:
    """Keep which way was meant; the likeliest needs no keeping."""
    key, known = signature(found[0]), settings.settings.import_ways
    if _way(chosen) != _way(found[0]):
        settings.change(import_ways=_with(known, key, _way(chosen)))
    elif key in known:
        settings.change(import_ways={other: way for other, way in known.items() if other != key})


def _way(layout: Layout) -> dict[str, str]:
    return {"sheet": layout.sheet, "layout": layout.name}


def _with(known: _Known, key: str, value: dict[str, str]) -> _Known:
    kept = [(other, old) for other, old in known.items() if other != key]
    return dict([*kept, (key, value)][-_KEPT:])
