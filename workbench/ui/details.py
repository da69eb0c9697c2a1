"""Details: the pages of the side panel and the dialogs around ingredients, as actions of the window."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from workbench.base.text import _
from workbench.composition.food import Food
from workbench.document import edits
from workbench.document.project import Line
from workbench.ui.actions import UserAction
from workbench.ui.panels.recipe_panel import RecipePanel
from workbench.ui.panels.results_panel import ResultsPanel
from workbench.ui.session import Session

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbench.ui.matching import Matching
    from workbench.ui.panels.side_panel import SidePanel
    from workbench.ui.side_page import SidePage

_NEW_AMOUNT_G = 100.0  # an own ingredient starts with what its label speaks of


class Details(QObject):
    """Opens what lies behind a figure or an ingredient.

    The side panel and its pages are made when they are first needed; ``prepare`` makes them ahead, when there is time.
    """

    def __init__(
        self,
        session: Session,
        recipe: RecipePanel,
        results: ResultsPanel,
        comparison_page: "Callable[[], SidePage]",
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._comparison_page = comparison_page
        self._session, self._recipe, self._results, self._window = session, recipe, results, parent
        self._side: SidePanel | None = None
        self._at_hand: frozenset[str] | None = None  # as it was ticked last
        results.figureActivated.connect(self.explain)
        recipe.figureActivated.connect(self.explain)

    def user_actions(self) -> tuple[UserAction, ...]:
        """Actions for the table of the window."""
        return (
            UserAction("details.why", _("why this number"), self.explain_carbohydrate, "Ctrl+Shift+E"),
            UserAction("details.comparison", _("compare variants"), self.show_comparison, "Ctrl+D"),
            UserAction(
                "details.ingredient",
                _("about this ingredient"),
                self.show_ingredient,
                "Ctrl+Shift+I",
                lambda: bool(self._current_food_id()),
            ),
            UserAction("details.newer", _("newer values of ingredients"), self.show_newer, "Ctrl+Shift+U"),
            UserAction("variant.avoid", _("what to avoid …"), self.ask_avoid),
            UserAction("details.substitutes", _("substitutes"), self.show_substitutes, "Ctrl+Shift+R"),
            UserAction("variant.pantry", _("recipes from the pantry …"), self.ask_pantry, "Ctrl+Shift+F"),
            UserAction("details.close", _("close the side panel"), self.close, enabled=self.is_open),
            UserAction("food.from_label", _("add an ingredient from its pack label …"), self.add_from_label, "Ctrl+L"),
            UserAction("food.edit", _("change this ingredient of your own …"), self.edit_own, enabled=self._own_chosen),
        )

    @property
    def side(self) -> "SidePanel":
        """The side panel, made on first use."""
        if self._side is None:
            from workbench.ui.panels.side_panel import SidePanel

            self._side = SidePanel(self._session, self._results)
            self._side.add_page("explanation", _("why"), self._explanation_page)
            self._side.add_page("comparison", _("comparison"), self._comparison_page)
            self._side.add_page("ingredient", _("ingredient"), self._ingredient_page)
            self._side.opened.connect(self._follow_line)
            self._recipe.table.selectionModel().currentChanged.connect(self._follow_line)
            self._session.evaluated.connect(self._follow_line)  # the line may be made of another food now
        return self._side

    def prepare(self) -> None:
        """Make panel and pages ahead, so that opening them takes no longer than a frame."""
        for key in ("explanation", "comparison", "ingredient"):
            self.side.page(key)

    def _explanation_page(self) -> "SidePage":
        from workbench.ui.panels.explanation_page import ExplanationPage

        return ExplanationPage(self._session)

    def _ingredient_page(self) -> "SidePage":
        from workbench.ui.panels.ingredient_page import IngredientPage

        return IngredientPage(self._session)

    def _newer_page(self) -> "SidePage":
        from workbench.ui.panels.newer_page import NewerPage

        return NewerPage(self._session)

    def explain(self, key: str, basis: str) -> None:
        """Open the derivation of a figure."""
        self.side.open_page("explanation", key=key, basis=basis)

    def explain_carbohydrate(self) -> None:
        """Open the derivation of the figure that matters most."""
        self.explain("CHOAVLDF", self._results.basis)

    def show_comparison(self) -> None:
        """Open the comparison of variants, on the basis of the charts."""
        self.side.open_page("comparison", basis=self._results.basis)

    def show_ingredient(self) -> None:
        """Open what is known of the food of the current line."""
        self.side.open_page("ingredient", food_id=self._current_food_id())

    def show_newer(self) -> None:
        """Open what reads otherwise in the tables of today; the page has its tab from then on."""
        if not self.side.has_page("newer"):
            self.side.add_page("newer", _("newer"), self._newer_page)
        self.side.open_page("newer")

    def show_substitutes(self) -> None:
        """Open what could take the place of ingredients; the page has its tab from then on."""
        if not self.side.has_page("substitutes"):
            self.side.add_page("substitutes", _("substitutes"), self._substitutes_page)
        self.side.open_page("substitutes")

    def _substitutes_page(self) -> "SidePage":
        from workbench.ui.panels.substitutes_page import SubstitutesPage

        return SubstitutesPage(self._session, self._current_line_id)

    def ask_avoid(self) -> None:
        """Ask what must not be in the recipe, and keep that in one undo step."""
        from workbench.ui.dialogs.avoid_dialog import ask_avoid

        edit = ask_avoid(self._session, self._window)
        if edit is not None and edit.project != self._session.project:
            self._session.apply(edit)

    def ask_pantry(self) -> None:
        """Ask what is at hand, and take a recipe made of it; at first that is what the project holds."""
        from workbench.ui.dialogs.pantry_dialog import PantryDialog

        at_hand = frozenset(self._session.project.foods) if self._at_hand is None else self._at_hand
        dialog = PantryDialog(self._session, at_hand, self._window)
        dialog.exec()
        self._at_hand = dialog.at_hand
        dialog.deleteLater()

    def show_help(self, matching: "Matching") -> None:
        """Open why targets cannot hold and what would help."""
        if not self.side.has_page("targets"):
            self.side.add_page("targets", _("targets"), lambda: self._targets_page(matching))
        self.side.open_page("targets")

    def _targets_page(self, matching: "Matching") -> "SidePage":
        from workbench.ui.panels.targets_page import TargetsPage

        return TargetsPage(self._session, matching)

    def _follow_line(self) -> None:
        """Show the food of another line; a stage or a variant leaves the last one in sight."""
        if self.side.page_key == "ingredient":
            self.side.page("ingredient").begin(food_id=self._current_food_id())
        elif self.side.page_key == "substitutes":
            self.side.page("substitutes").follow()

    def _current_line_id(self) -> str:
        """The current line; "" on a stage."""
        line = self._recipe.table.current_line()
        return line.id if line is not None else ""

    def _current_food_id(self) -> str:
        """The food that the current line is made of; "" where there is none."""
        line = self._recipe.table.current_line()
        return line.food_ref.id if line is not None and line.food_ref.id in self._session.project.foods else ""

    def is_open(self) -> bool:
        """Whether the side panel covers the charts."""
        return self._side is not None and self._side.isVisible()

    def close(self) -> None:
        """Slide the panel back."""
        self.side.close_page()

    # --- ingredients of one's own -----------------------------------------------------------------------------------

    def add_from_label(self) -> None:
        """Ask for a label and add the ingredient to the current stage."""
        from workbench.ui.dialogs.label_dialog import ask_label

        food = ask_label(self._window)
        if food is None:
            return
        session = self._session
        stage_id = self._recipe.table.current_stage_id()
        before = {line.id for line in session.variant.lines}
        session.apply(edits.add_line(session.project, session.variant_id, stage_id, food, _NEW_AMOUNT_G))
        self._recipe.table.choose(next(line.id for line in session.variant.lines if line.id not in before))

    def edit_own(self) -> None:
        """Ask for the label of the chosen ingredient again; every line made of it follows."""
        from workbench.ui.dialogs.label_dialog import ask_label

        food = self._own_food(self._recipe.table.current_line())
        if food is None:
            return
        answer = ask_label(self._window, food)
        if answer is not None and answer != food:
            self._session.apply(edits.put_food(self._session.project, answer))

    def _own_chosen(self) -> bool:
        return self._own_food(self._recipe.table.current_line()) is not None

    def _own_food(self, line: Line | None) -> Food | None:
        if line is None or line.food_ref.kind != "own":
            return None
        return self._session.project.foods.get(line.food_ref.id)
