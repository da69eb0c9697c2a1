"""What the checks of a composition row can find: code, severity, sentence, likely cause and mend."""

from workbench.base.errors import Place, ProblemKind
from workbench.base.text import N_, _
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food


def at(food: Food, tag: str = "") -> tuple[Place, ...]:
    """The food, and the component of it that a finding is about."""
    here = Place("food", food.id, food.name)
    return (here, Place("field", tag, _(COMPONENTS[tag].title))) if tag else (here,)


# --- sums and parts ---------------------------------------------------------------------------------------------------

CLOSURE = ProblemKind(
    "table_closure",
    "warning",
    N_("water, protein, fat, carbohydrate, ash and alcohol add up to {total} g in 100 g."),
    N_(
        "A figure may be mistyped or for another weight, or the food holds what no column counts (acetic acid, carbon "
        "dioxide, essential oil). Compare with the source."
    ),
)
OVER_100 = ProblemKind(
    "table_over_100",
    "error",
    N_("the parts that are known add up to {total} g in 100 g already."),
    N_("A figure may be mistyped or for another weight. Compare with the source."),
)
FIBRE_LEFT_OUT = ProblemKind(
    "table_fibre_left_out",
    "warning",
    N_("the parts make {total} g, but 100 g with the {fibre} g fibre: this carbohydrate does not include the fibre."),
    N_("Enter it as carbohydrate (without fibre), CHOAVLDF."),
)
FIBRE_COUNTED_TWICE = ProblemKind(
    "table_fibre_counted_twice",
    "warning",
    N_("the parts make {total} g, but 100 g without the {fibre} g fibre: this carbohydrate includes the fibre."),
    N_("Enter it as total carbohydrate (with fibre), CHOCDF."),
)
CARBOHYDRATES_APART = ProblemKind(
    "table_carbohydrates_apart",
    "warning",
    N_("{available} g does not fit total carbohydrate {total} g less fibre {fibre} g."),
    N_("The figures may come from two analyses: keep the pair that belongs together."),
)
PROTEIN_RESTATED = ProblemKind(
    "table_protein_restated",
    "notice",
    N_("the parts make {total} g; they make 100 g with protein as nitrogen × {factor} instead of × 6.25."),
    N_("Restating protein moves the carbohydrate that is found by difference: change both figures or neither."),
)
PART_OVER_WHOLE = ProblemKind(
    "table_part_over_whole",
    "warning",
    N_("{part_g} g is more than {whole}, {whole_g} g, of which it is a part."),
    N_("A figure may be mistyped, or come from another analysis. Compare with the source."),
)
PARTS_OVER_WHOLE = ProblemKind(
    "table_parts_over_whole",
    "warning",
    N_("{parts} add up to {part_g} g, more than {whole_g} g."),
    N_("The figures may come from different analyses. Keep those that belong together."),
)
PARTS_UNDER_WHOLE = ProblemKind(
    "table_parts_under_whole",
    "notice",
    N_("{parts} add up to {part_g} g of {whole_g} g, though none of them is missing."),
    N_("The figures may come from different analyses, or a zero may stand for a missing figure."),
)
ZERO_FOR_MISSING = ProblemKind(
    "table_zero_for_missing",
    "warning",
    N_("zero, though {reason}."),
    N_("The zero may stand for a missing figure: leave it blank if so."),
)
ZERO_REASONS = {
    "fat": N_("there are {grams} g fat"),
    "fibre": N_("every food of the group “{group}” has fibre"),
    "energy": N_("protein, fat and carbohydrate are at least {grams} g"),
}

# --- fat --------------------------------------------------------------------------------------------------------------

FATTY_ACID_BASIS = ProblemKind(
    "table_fatty_acid_basis",
    "warning",
    N_("the fatty acids add up to {acids} g beside {fat} g fat, with nothing left for glycerol."),
    N_("They may be percent of all fatty acids: multiply them by fat × {share} / 100. {source}"),
)
NO_GLYCEROL = ProblemKind(
    "table_no_glycerol",
    "warning",
    N_("the fatty acids make {share} of the fat; 0.90 to 0.96 is usual, as glycerol is the rest."),
    N_("The acids may be given as triglycerides, or fat may be too low. Compare with the source."),
)
ACIDS_INCOMPLETE = ProblemKind(
    "table_acids_incomplete",
    "notice",
    N_("the fatty acids make only {share} of the fat; {least} or more is usual."),
    N_("The list of acids may be incomplete, or much of the fat is no triglyceride (essential oil, lecithin)."),
)
ACID_OUT_OF_RANGE = ProblemKind(
    "table_acid_out_of_range",
    "warning",
    N_("{percent} % of the fatty acids; the standard for {fat} allows {low} to {high} %."),
    N_("Few samples or an incomplete list may be the cause: prefer a source within the standard."),
)

# --- energy -----------------------------------------------------------------------------------------------------------

ENERGY_OFF = ProblemKind(
    "table_energy_off", "warning", N_("{stated} kcal is published, the parts give {low} to {high} kcal."), "{cause}"
)
ENERGY_CAUSES = {
    "kj": N_("It fits if the figure is in kJ: divide it by 4.184."),
    "other": N_("A figure may be mistyped, missing or for another weight. Compare with the source."),
}
FACTOR_RANGE = ProblemKind(
    "table_factor_range",
    "warning",
    N_("{factor} kcal/g; published factors for {part} are {low} to {high}."),
    N_("A digit may be wrong: compare with foods of the same kind."),
)

# --- kitchen and spread -----------------------------------------------------------------------------------------------

DENSITY = ProblemKind(
    "table_density",
    "warning",
    N_("{density} g/ml by {where}; {kind} weigh {low} to {high}."),
    N_("The weight may be for another measure or another form of the food. Weigh a level cup."),
)
DENSITY_KINDS = {
    "syrup": N_("sugar syrups"),
    "fat": N_("oils and fats"),
    "liquid": N_("watery liquids"),
    "dry": N_("dry foods"),
    "any": N_("foods"),
}
MEASURES_APART = ProblemKind(
    "table_measures_apart",
    "warning",
    N_("{heavy} gives {high} g/ml and {light} {low} g/ml."),
    N_("One weight may be wrong, or be for the food packed or chopped. Weigh both."),
)
SPREAD = ProblemKind(
    "table_spread",
    "notice",
    N_("a standard deviation of {sd} is impossible for {n} samples with the mean {mean}."),
    N_("It may be another statistic: {most} is the most there can be."),
)
WASTE = ProblemKind(
    "table_waste",
    "warning",
    N_("{percent} % waste, but {reason}."),
    N_("The waste may be of a form that is not bought: set the edible share to 100 % or say how the food is bought."),
)
WASTE_REASONS = {
    "unsaid": N_("nothing says in which form the food is bought"),
    "cleaned": N_("the name says “{word}” and nothing says that it is bought otherwise"),
}
WATER_DRY = ProblemKind(
    "table_dry_but_wet",
    "warning",
    N_("{water} % water, but the name says “{word}”."),
    N_("The figures may be those of the cooked or fresh food."),
)
WATER_COOKED = ProblemKind(
    "table_cooked_but_dry",
    "warning",
    N_("only {water} % water, but the name says “{word}”."),
    N_("The figures may be those of the raw food."),
)

# --- rows beside each other -------------------------------------------------------------------------------------------

SAME_CODE = ProblemKind(
    "table_same_code",
    "warning",
    N_("{source} {code} is “{other}” too."),
    N_("One of the two may be a duplicate, or carry a wrong code."),
)
SAME_FIGURES = ProblemKind(
    "table_same_figures",
    "notice",
    N_("has the same figures as “{other}”."),
    N_("One of the two may be a duplicate: keep one, with the other name among its other words."),
)
PAIR_APART = ProblemKind(
    "table_pair_apart",
    "notice",
    N_("its dry matter is not that of “{other}”: {what}."),
    N_("The two were different samples: do not let the cooked row stand for the raw one, or the reverse."),
)
YIELD_APART = ProblemKind(
    "table_yield_apart",
    "warning",
    N_("the weight after cooking is {given} times the raw one here, but {pair} times by the dry matter of “{other}”."),
    N_("Weigh a batch; it always wins."),
)
