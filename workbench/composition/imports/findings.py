"""What an import can meet: code, severity, sentence and mend.  ``{n}`` counts, ``{examples}`` shows the first few."""

from workbench.base.errors import ProblemKind
from workbench.base.text import N_

NOT_TEXT = ProblemKind(
    "import_encoding",
    "notice",
    N_("lines that are not UTF-8 and were read as Windows-1252: {n} ({examples})."),
    N_("Look whether accents are right."),
)
UNREADABLE = ProblemKind(
    "import_unreadable",
    "warning",
    N_("left blank because no figure could be read: {n} ({examples})."),
    N_("Mend them in the table if they matter."),
)
AMBIGUOUS = ProblemKind(
    "import_decimal_sign",
    "warning",
    N_("left blank because the comma may be a decimal sign or stand between thousands: {n} ({examples})."),
    N_("Say which decimal sign the table uses."),
)
OUT_OF_RANGE = ProblemKind(
    "import_out_of_range",
    "warning",
    N_("left blank because so much cannot be in 100 g: {n} ({examples})."),
    N_("The unit may be another one; say so for this column."),
)
UNIT_DOES_NOT_FIT = ProblemKind(
    "import_unit",
    "warning",
    N_("left out because the unit does not fit: {n} ({examples})."),
    N_("Say the right unit for this column."),
)
SAME_CODE = ProblemKind(
    "import_same_code",
    "warning",
    N_("foods left out because an earlier one has the same code: {n} ({examples})."),
    N_("Give every food a code of its own."),
)
SAME_VALUE = ProblemKind(
    "import_same_value",
    "warning",
    N_("values given twice, of which the first was taken: {n} ({examples})."),
    N_("Remove one of the two."),
)
NO_NAME = ProblemKind("import_no_name", "warning", N_("rows left out because they have no name: {n} ({examples})."))
NO_FIGURES = ProblemKind(
    "import_no_figures", "notice", N_("rows left out because they have no figure: {n} ({examples}).")
)
UNKNOWN_FOOD = ProblemKind(
    "import_unknown_food", "warning", N_("values left out because their food is not in the table: {n} ({examples}).")
)
UNKNOWN_COMPONENT = ProblemKind(
    "import_unknown_component", "notice", N_("values of components that are left out: {n} ({examples}).")
)
PER_MILLILITRE = ProblemKind(
    "import_per_100_ml",
    "warning",
    N_("foods left out because they are given per 100 ml and have no density: {n} ({examples})."),
    N_("Say a density in g/ml."),
)
TRACES = ProblemKind(
    "import_traces", "notice", N_("traces, taken as “less than” the last place that is printed: {n} ({examples}).")
)
ESTIMATES = ProblemKind("import_estimates", "notice", N_("figures in brackets, marked as borrowed: {n} ({examples})."))
ZEROS = ProblemKind(
    "import_zeros", "notice", N_("zeros taken as not stated, because this table writes zero for a blank: {n}.")
)
NO_GRAMS = ProblemKind(
    "import_no_grams", "notice", N_("measures left out because they have no weight: {n} ({examples}).")
)
NOT_FOODS = ProblemKind(
    "import_not_foods", "notice", N_("rows left out because they are single samples and purchases, not foods: {n}.")
)
NO_NITROGEN_FACTOR = ProblemKind(
    "import_no_nitrogen_factor",
    "warning",
    N_("foods without a nitrogen factor, whose protein stays as published: {n} ({examples})."),
    N_("Say a nitrogen factor for foods without one."),
)
ODD_NITROGEN_FACTOR = ProblemKind(
    "import_odd_nitrogen_factor",
    "notice",
    N_("nitrogen factors that no food has, left out: {n} ({examples})."),
    N_("The protein stays as published; look the factor up where a label must count it anew."),
)
NO_FATTY_ACID_FACTOR = ProblemKind(
    "import_no_fatty_acid_factor",
    "warning",
    N_("foods that are no oils and have no fatty-acid factor, whose acids were left out: {n} ({examples})."),
    N_("Say a factor for foods without one (FAO 2003, table A5.1)."),
)
CONVERTED_ACIDS = ProblemKind(
    "import_converted_acids", "notice", N_("foods whose fatty acids became g in 100 g: {n} ({examples}).")
)
RESTATED_PROTEIN = ProblemKind(
    "import_restated_protein",
    "notice",
    N_("foods whose protein was restated, and carbohydrate by difference moved with it: {n}."),
)
NO_STORED_RESULT = ProblemKind(
    "import_no_stored_result",
    "warning",
    N_("left blank because a formula has no stored result: {n} ({examples})."),
    N_("Open and save the workbook in a spreadsheet program once."),
)
FORMULAS = ProblemKind("import_formulas", "notice", N_("the workbook holds formulas; their stored results were taken."))
MERGED = ProblemKind(
    "import_merged",
    "warning",
    N_("ranges of merged cells, of which only the first cell holds a value: {n} ({examples})."),
    N_("Unmerge them if a figure is missing."),
)
MACROS = ProblemKind("import_macros", "notice", N_("the workbook holds macros; they were not run."))
LINKS = ProblemKind(
    "import_links", "notice", N_("the workbook refers to other files; nothing was opened, stored figures were taken.")
)
LONG_TEXT = ProblemKind("import_long_text", "notice", N_("names that were shortened: {n} ({examples})."))
