"""Bench of what is printed: a kitchen card and forty labels."""

from datetime import UTC, datetime

from tests.bench.engine import recipe
from tests.bench.measure import Result, interleaved_ms
from workbench.recipe.evaluation import evaluate
from workbench.recipe.kitchen_card import kitchen_card
from workbench.recipe.preparation import prepare
from workbench.recipe.wrapper_label import wrapper_label
from workbench.report.card.layout import card_pages
from workbench.report.labels.layout import label_pages
from workbench.report.labels.sheet import SHEETS
from workbench.report.pdf import fonts, setting
from workbench.report.pdf.page import Text
from workbench.report.pdf.writer import pdf_bytes


def card_and_labels() -> Result:
    """A card of 15 lines and 40 labels, from the recipe to bytes, against the same texts written in bare fpdf2.

    Nothing is remembered from one call to the next, as in the first export of a session.
    """
    project = recipe(15)
    evaluation = evaluate(prepare(project, project.variants[0]))

    def ours() -> list[Text]:
        fonts._width_at_100_pt.cache_clear()
        setting.printable.cache_clear()
        card = card_pages(kitchen_card(project, evaluation))
        labels = label_pages([wrapper_label(project, evaluation)] * 40, SHEETS["a4-40"][1])
        pdf_bytes(card.pages, title="card")
        pdf_bytes(labels.pages, title="labels")
        return [m for page in (*card.pages, *labels.pages) for m in page.marks if isinstance(m, Text) and m.text]

    texts = ours()

    def bare() -> None:
        from fpdf import FPDF

        for half in (texts[: len(texts) // 3], texts[len(texts) // 3 :]):
            document = fonts.with_fonts(FPDF(unit="mm"))
            document.set_creation_date(datetime(2000, 1, 1, tzinfo=UTC))
            document.add_page()
            for text in half:
                document.set_font(fonts.FAMILY, "B" if text.bold else "", text.size_pt)
                document.set_xy(0, 0)
                document.cell(text=text.text)
            document.output()

    figure, baseline = interleaved_ms(ours, bare, 7)
    return Result("card and 40 labels", figure, "same texts in bare fpdf2", baseline, 2.0, "goal 1000 ms")
