"""What is handed over: the choices of the form, and what they come to as pages, as text and as a file."""

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from workbench.base.errors import Problem, WorkbenchError
from workbench.base.text import N_, _, plural
from workbench.document.project import Basis, Project
from workbench.recipe.allergens import Rules
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.kitchen_card import KitchenCard, kitchen_card
from workbench.recipe.pack_statement import PackStatement, pack_statement
from workbench.recipe.side_by_side import FEWEST
from workbench.recipe.wrapper_label import WrapperLabel, wrapper_label
from workbench.report.labels.sheet import SHEETS, LabelSheet
from workbench.report.pdf.page import Page
from workbench.report.sheet import Paper
from workbench.science.keeping import KEEP_HOURS
from workbench.ui.comparing import Whole


class What(NamedTuple):
    """One thing to hand over: its name, the endings its file may have, and the options that it takes."""

    title: str
    endings: tuple[str, ...]
    options: frozenset[str]


WHAT: dict[str, What] = {
    "spec": What(N_("spec sheet"), (".xlsx", ".md", ".csv", ".json"), frozenset({"dated", "paper", "rules"})),
    "card": What(N_("kitchen card"), (".pdf",), frozenset({"title", "paper", "rules"})),
    "labels": What(N_("wrapper labels"), (".pdf",), frozenset({"title", "labels", "rules"})),
    "compare": What(
        N_("comparison"), (".pdf", ".md", ".csv", ".json", ".xlsx"), frozenset({"title", "basis", "dated", "paper"})
    ),
    "declaration": What(N_("declaration"), (".md", ".csv", ".json"), frozenset({"title", "rules", "dated"})),
}
ENDINGS: dict[str, str] = {
    ".xlsx": N_("spreadsheet (.xlsx)"),
    ".pdf": N_("pages to print (.pdf)"),
    ".md": N_("text for notes and mail (.md)"),
    ".csv": N_("table for other programs (.csv)"),
    ".json": N_("data for other programs (.json)"),
}
USUAL_SHEET = "a4-24"


class HandOver(NamedTuple):
    """The choices.  ``sheet_name`` is a key of ``SHEETS``, or empty where the dimensions are the user's own."""

    what: str = "spec"
    endings: tuple[tuple[str, str], ...] = ()  # the one chosen, by what
    left_out: frozenset[str] = frozenset()  # ids of variants
    title: str = ""
    paper: Paper = "a4"
    rules: Rules = "eu"
    basis: Basis = "portion"
    dated: bool = True
    made: date | None = None
    use_by: date | None = None
    lot: str = ""
    sheet_name: str = USUAL_SHEET
    own_sheet: LabelSheet = SHEETS[USUAL_SHEET][1]
    start: int = 1
    copies: int = 0  # 0: one a piece
    outlines: bool = False

    @property
    def ending(self) -> str:
        """Ending of the file."""
        return dict(self.endings).get(self.what, WHAT[self.what].endings[0])

    @property
    def sheet(self) -> LabelSheet:
        """The label sheet."""
        return SHEETS[self.sheet_name][1] if self.sheet_name else self.own_sheet

    @property
    def last_day(self) -> date | None:
        """The cautious last day of what was made."""
        return self.made + timedelta(hours=KEEP_HOURS) if self.made else None

    @property
    def printed(self) -> bool:
        """Whether it is pages."""
        return self.ending == ".pdf"


class Material(NamedTuple):
    """What there is to hand over: variants of the project, and for a comparison what its page compares."""

    project: Project
    evaluations: tuple[Evaluation, ...]
    whole: Whole


class Pages(NamedTuple):
    """Pages, and what could not be set on them as it was given."""

    pages: tuple[Page, ...]
    problems: tuple[Problem, ...]


def checked(choice: HandOver, material: Material) -> None:
    """Refuse what cannot be handed over.

    Raises
    ------
    WorkbenchError
        If no variant is chosen, too few are compared, or a pack would have to be used before it was made.
    """
    if choice.what == "compare":
        if len(material.whole.columns) < FEWEST:
            raise WorkbenchError(
                _("A comparison needs two variants."),
                hint=_("Close this form and choose two or more to compare (Ctrl+Shift+D)."),
            )
    elif not material.evaluations:
        raise WorkbenchError(_("No variant is chosen."), hint=_("Tick one or more."))
    if choice.what == "labels" and choice.made and choice.use_by and choice.use_by < choice.made:
        raise WorkbenchError(_("“use by” is before the day it was made."), hint=_("Mend one of the dates."))


def pages_of(material: Material, choice: HandOver, written: date | None) -> Pages:
    """The pages of a card, of labels or of a comparison.

    Raises
    ------
    WorkbenchError
        If they cannot be set; the message says why.
    """
    checked(choice, material)
    project, evaluations, whole = material
    if choice.what == "labels":
        from workbench.report.labels.layout import label_pages

        labels = _labels(project, evaluations, choice)
        found = label_pages(labels, choice.sheet, start=choice.start, outlines=choice.outlines)
        return Pages(found.pages, found.problems)
    if choice.what == "compare":
        from workbench.report.comparison.page import comparison_page

        side = whole.side(choice.basis)
        day = written if choice.dated else None
        return Pages(*comparison_page(side, choice.title or project.title, choice.paper, day))
    from workbench.report.card.layout import card_pages

    cards = [card_pages(each, choice.paper) for each in _cards(project, evaluations, choice)]
    return Pages(
        tuple(page for card in cards for page in card.pages),
        tuple(problem for card in cards for problem in card.problems),
    )


class Preview(NamedTuple):
    """What is seen before it goes out: pages, or a text; ``taken`` labels of the first sheet are used up."""

    pages: tuple[Page, ...] = ()
    problems: tuple[Problem, ...] = ()
    text: str = ""
    markdown: bool = False
    caption: str = ""
    sheet: LabelSheet | None = None
    taken: int = 0


def preview_of(material: Material, choice: HandOver, written: date | None) -> Preview:
    """The look at what goes out.

    Raises
    ------
    WorkbenchError
        If it cannot be put together; the message says why.
    """
    if not choice.printed:
        text = text_of(material, choice, written)
        of_sheet = choice.ending == ".xlsx"
        caption = _("the figures that the sheet holds") if of_sheet else ""
        return Preview(text=text, markdown=of_sheet or choice.ending == ".md", caption=caption)
    pages, problems = pages_of(material, choice, written)
    if choice.what != "labels":
        return Preview(pages, problems)
    size = _("print it at its own size, not fitted to the page")
    caption = f"{size} · {labels_words(material.evaluations, choice)}"
    return Preview(pages, problems, caption=caption, sheet=choice.sheet, taken=choice.start - 1)


def labels_words(evaluations: Sequence[Evaluation], choice: HandOver) -> str:
    """How many labels there are, and where the next ones can begin."""
    count = sum(choice.copies or each.portions.whole_pieces for each in evaluations)
    used = (choice.start - 1 + count) % choice.sheet.labels
    after = _("the next free one on the last sheet is {n}", n=used + 1) if used else _("the last sheet is full")
    return f"{plural('{n} label', '{n} labels', count)}; {after}"


def text_of(material: Material, choice: HandOver, written: date | None) -> str:
    """The text that goes out, read back from a file that is thrown away; of a spreadsheet its figures as Markdown.

    Raises
    ------
    WorkbenchError
        If it cannot be put together; the message says why.
    """
    ending = ".md" if choice.ending == ".xlsx" else choice.ending
    with TemporaryDirectory() as folder:
        path = Path(folder) / f"preview{ending}"
        write(material, choice, path, written)
        return path.read_text(encoding="utf-8-sig")


def write(material: Material, choice: HandOver, path: Path, written: date | None) -> tuple[Problem, ...]:
    """Write what is chosen, whole or not at all; the ending of ``path`` says how.

    Returns
    -------
    tuple of Problem
        What could not be set as it was given.

    Raises
    ------
    WorkbenchError
        If it cannot be put together or written; the message says why.
    """
    checked(choice, material)
    project, evaluations, whole = material
    day = written if choice.dated else None
    if choice.what == "labels":
        from workbench.report.labels.layout import write_labels

        labels = _labels(project, evaluations, choice)
        return write_labels(labels, choice.sheet, path, start=choice.start, outlines=choice.outlines, written=written)
    if choice.what == "card":
        from workbench.report.card.layout import write_cards

        cards = _cards(project, evaluations, choice)
        return write_cards(cards, path, paper=choice.paper, written=written)
    from workbench.report.handing_over import write_comparison, write_declaration, write_results

    if choice.what == "declaration":
        write_declaration(project, _statements(project, evaluations, choice), path, written=day)
    elif choice.what == "compare":
        side = whole.side(choice.basis)
        return write_comparison(project, side, path, title=choice.title, written=day, paper=choice.paper)
    else:
        write_results(project, evaluations, path, written=day, paper=choice.paper, rules=choice.rules)
    return ()


def _statements(
    project: Project, evaluations: Sequence[Evaluation], choice: HandOver
) -> list[tuple[str, PackStatement]]:
    return [
        (each.variant.name, pack_statement(project, each, rules=choice.rules, title=choice.title))
        for each in evaluations
    ]


def _cards(project: Project, evaluations: Sequence[Evaluation], choice: HandOver) -> list[KitchenCard]:
    return [kitchen_card(project, each, rules=choice.rules, title=choice.title) for each in evaluations]


def _labels(project: Project, evaluations: Sequence[Evaluation], choice: HandOver) -> list[WrapperLabel]:
    labels: list[WrapperLabel] = []
    for each in evaluations:
        label = wrapper_label(
            project,
            each,
            rules=choice.rules,
            title=choice.title,
            made=choice.made,
            use_by=choice.use_by,
            lot=choice.lot,
        )
        labels += [label] * (choice.copies or each.portions.whole_pieces)
    return labels
