"""Which module reads which layout."""

from collections.abc import Callable, Iterator, Mapping

from workbench.composition.imports import exported, fdc_csv, fdc_json, long, product, standard_reference, wide
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.grid import Grid
from workbench.composition.imports.layout import Draft, Layout
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.text_rows import Meter

Reader = Callable[[Bundle, Layout, str, Tally, Meter, bool | None], Iterator[Draft]]

READERS: Mapping[str, Reader] = {
    "fdc_csv": fdc_csv.drafts,
    "fdc_json": fdc_json.drafts,
    "standard_reference": standard_reference.drafts,
    "wide": wide.drafts,
    "long": long.drafts,
    "product": product.drafts,
    "exported": exported.drafts,
}
OF_FILES: Mapping[str, Callable[[Bundle], Layout | None]] = {
    "fdc_csv": fdc_csv.find,
    "standard_reference": standard_reference.find,
    "fdc_json": fdc_json.find,
}
OF_SHEETS: Mapping[str, Callable[[Bundle, Grid], Layout | None]] = {
    "long": long.find,
    "wide": wide.find,
    "product": product.find,
}


def drafts(
    bundle: Bundle, layout: Layout, source: str, tally: Tally, meter: Meter, comma: bool | None
) -> Iterator[Draft]:
    """Foods of a table, with figures in our units and before any convention is applied.

    Parameters
    ----------
    source : str
        What their values cite.
    comma : bool or None
        Whether a comma is the decimal sign; None where that is open.

    Raises
    ------
    ImportFailure
        If the table cannot be read.
    Cancelled
        If the progress behind ``meter`` is stopped.
    """
    return READERS[layout.name](bundle, layout, source, tally, meter, comma)
