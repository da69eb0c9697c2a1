"""Menus of the window, as lists of action ids; what changes from day to day is filled in when its menu opens."""

from collections.abc import Callable, Mapping
from functools import partial

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMainWindow, QMenu

from workbench.base.settings import SettingsFile, Theme
from workbench.base.text import N_, _
from workbench.storage.recent import recent_files
from workbench.ui.documents import Documents, demo_names

_THEMES: dict[Theme, str] = {
    "system": N_("as the system"),
    "light": N_("light"),
    "dark": N_("dark"),
    "contrast": N_("high contrast"),
}
LINE_MENU = (
    "line.amount line.lock line.as_bought line.cooking_water line.replace - line.scale line.group line.ungroup - "
    "line.up line.down @stages - details.ingredient - line.copy line.paste line.remove - "
    "stage.open stage.add stage.remove"
)
VARIANT_MENU = "variant.new variant.empty - variant.rename variant.describe variant.left variant.right - variant.delete"
_BAR: tuple[tuple[str, str], ...] = (
    (
        N_("file"),
        "file.new file.open @recent @demos window.start_page - file.save file.save_as - file.hand_over - file.title - "
        "window.close",
    ),
    (
        N_("edit"),
        "edit.undo edit.redo - line.choose_all line.copy_all - targets.edit targets.match targets.accept "
        "targets.hold targets.help - assumptions",
    ),
    (N_("recipe"), f"line.add food.from_label food.edit details.newer - {LINE_MENU}"),
    (N_("library"), "library.open library.import - library.keep library.keep_variant"),
    (
        N_("variants"),
        f"{VARIANT_MENU} - variant.avoid details.substitutes variant.pantry - compare.choose compare.table "
        "compare.picture compare.save compare.room - variant.next variant.previous",
    ),
    (N_("view"), "details.why details.comparison details.close - view.columns actions.list @themes"),
    (N_("help"), "window.guide"),
)
_SUBMENUS = {
    "recent": N_("open recent"),
    "demos": N_("ready projects"),
    "stages": N_("to another stage"),
    "themes": N_("colours"),
}

Fill = Callable[[QMenu], None]


class Menus:
    """The menu bar of a window, and menus that open where something was clicked.

    Parameters
    ----------
    window : QMainWindow
        Where they open.
    action : callable
        The action of an id.
    fills : mapping
        What fills each of ``_SUBMENUS``.
    refresh : callable
        Asks every action whether it is possible now; called as a menu opens.
    """

    def __init__(
        self,
        window: QMainWindow,
        action: Callable[[str], QAction],
        fills: Mapping[str, Fill],
        refresh: Callable[[], None],
    ) -> None:
        self._window, self._action, self._fills = window, action, fills
        for title, entries in _BAR:
            menu = self._add(window.menuBar().addMenu(_(title)), entries)
            menu.aboutToShow.connect(refresh)

    def pop_up(self, entries: str, at: QPoint) -> None:
        """A menu of its own at a place of the screen."""
        menu = self._add(QMenu(self._window), entries)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(at)

    def _add(self, menu: QMenu, entries: str) -> QMenu:
        """Entries by action id; "-" is a line, "@name" a menu made when it is opened."""
        for entry in entries.split():
            if entry == "-":
                menu.addSeparator()
            elif entry.startswith("@"):
                submenu = menu.addMenu(_(_SUBMENUS[entry[1:]]))
                submenu.aboutToShow.connect(partial(_refill, submenu, self._fills[entry[1:]]))
            else:
                menu.addAction(self._action(entry))
        return menu


def fill_recent(documents: Documents, menu: QMenu) -> None:
    """The files that were open last."""
    for recent in recent_files():
        action = menu.addAction(str(recent.path), partial(documents.open, recent.path))
        action.setEnabled(recent.exists)
    if menu.isEmpty():
        menu.addAction(_("nothing was open yet")).setEnabled(False)


def fill_demos(documents: Documents, menu: QMenu) -> None:
    """The ready projects."""
    for name in demo_names():
        menu.addAction(name.replace("_", " "), partial(documents.open_demo, name))


def fill_themes(settings: SettingsFile, choose: Callable[[Theme], None], menu: QMenu) -> None:
    """The looks of the window, the one in use ticked."""
    group = QActionGroup(menu)
    for theme, words in _THEMES.items():
        action = menu.addAction(_(words), partial(choose, theme))
        action.setCheckable(True)
        action.setChecked(settings.settings.theme == theme)
        group.addAction(action)


def _refill(menu: QMenu, fill: Fill) -> None:
    menu.clear()
    fill(menu)
