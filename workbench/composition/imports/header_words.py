"""What the columns and lines of composition tables are called: INFOODS tagnames, USDA numbers, plain words.

A target is a tagname of the column dictionary, or one of the names below it for what has to be settled or converted
first, or a fact of the food in lower case.  Fibre by the crude-fibre method, sugars added, carbohydrate by summation
and whatever else is not one of our components is deliberately absent: such a column is listed and left out.
"""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from workbench.composition.components import COMPONENTS
from workbench.composition.words import folded, spelled_out, split

ENERGY = "energy, unit not said"
ENERGY_KJ = "energy in kJ"
CARBOHYDRATE = "carbohydrate, fibre not said"
SALT = "salt"
DRY_MATTER = "dry matter"

UNSETTLED: frozenset[str] = frozenset((ENERGY, CARBOHYDRATE))
FACTS = (
    "id", "name", "code", "group", "also", "density", "edible_percent", "refuse_percent", "refuse_words",
    "nitrogen_factor", "fatty_acid_factor", "n", "sd", "se", "component", "value", "unit",
)  # fmt: skip

# Tagnames of other methods or spellings: target, and its rank (0 wins where a food has several).
TAG_ALIASES: Mapping[str, tuple[str, int]] = {
    "PROT": ("PROCNT", 0), "PROTCNT": ("PROCNT", 0), "PROCNP": ("PROCNT", 1), "PROCNA": ("PROCNT", 1),
    "FATCE": ("FAT", 0), "FATNLEA": ("FAT", 1), "CHOAVL": ("CHOAVLDF", 1), "CHOAVLM": ("CHOAVLDF", 2),
    "CHO": (CARBOHYDRATE, 1), "CARB": (CARBOHYDRATE, 1), "ENERC": (ENERGY_KJ, 0), "ENERC_KJ": (ENERGY_KJ, 0),
    "ENERC1": (ENERGY_KJ, 1), "FSUGAR": ("SUGAR", 1), "LACTOSE": ("LACS", 0), "CHOLC": ("CHOLE", 0),
    "CHOL": ("CHOLE", 0), "ORGAC": ("OA", 0), "FIBTSW": ("FIBTG", 2), "DEN": ("density", 0),
    "XN": ("nitrogen_factor", 0), "XFA": ("fatty_acid_factor", 0), "NACL": (SALT, 0), "NDB_NO": ("code", 0),
    "FDC_ID": ("code", 1),
}  # fmt: skip

# Nutrient numbers of the USDA databases (NUTR_DEF.txt, and nutrient_nbr in nutrient.csv): target and rank.
USDA_NUMBERS: Mapping[str, tuple[str, int]] = {
    "203": ("PROCNT", 0), "204": ("FAT", 0), "298": ("FAT", 1), "205": ("CHOCDF", 0), "207": ("ASH", 0),
    "208": ("ENERC_KCAL", 0), "958": ("ENERC_KCAL", 1), "957": ("ENERC_KCAL", 2), "268": (ENERGY_KJ, 3),
    "209": ("STARCH", 0), "210": ("SUCS", 0), "211": ("GLUS", 0), "212": ("FRUS", 0), "213": ("LACS", 0),
    "214": ("MALS", 0), "221": ("ALC", 0), "255": ("WATER", 0), "262": ("CAFFN", 0), "269": ("SUGAR", 0),
    "269.3": ("SUGAR", 1), "287": ("GALS", 0), "291": ("FIBTG", 0), "293": ("FIBTG", 1), "295": ("FIBSOL", 0),
    "297": ("FIBINS", 0), "299": ("POLYL", 0), "301": ("CA", 0), "303": ("FE", 0), "304": ("MG", 0), "305": ("P", 0),
    "306": ("K", 0), "307": ("NA", 0), "309": ("ZN", 0), "601": ("CHOLE", 0), "605": ("FATRN", 0), "606": ("FASAT", 0),
    "607": ("F4D0", 0), "608": ("F6D0", 0), "609": ("F8D0", 0), "610": ("F10D0", 0), "611": ("F12D0", 0),
    "612": ("F14D0", 0), "613": ("F16D0", 0), "614": ("F18D0", 0), "645": ("FAMS", 0), "646": ("FAPU", 0),
}  # fmt: skip

# Ids that FoodData Central gives to the same nutrients, for files that come without nutrient.csv.
FDC_IDS: Mapping[str, str] = {
    "1003": "203", "1004": "204", "1085": "298", "1005": "205", "1007": "207", "1008": "208", "2048": "958",
    "2047": "957", "1062": "268", "1009": "209", "1010": "210", "1011": "211", "1012": "212", "1013": "213",
    "1014": "214", "1018": "221", "1051": "255", "1057": "262", "2000": "269", "1063": "269.3", "1075": "287",
    "1079": "291", "2033": "293", "1082": "295", "1084": "297", "1086": "299", "1087": "301", "1089": "303",
    "1090": "304", "1091": "305", "1092": "306", "1093": "307", "1095": "309", "1253": "601", "1257": "605",
    "1258": "606", "1259": "607", "1260": "608", "1261": "609", "1262": "610", "1263": "611", "1264": "612",
    "1265": "613", "1266": "614", "1292": "645", "1293": "646",
}  # fmt: skip

_WORDS: Mapping[str, str] = {
    "WATER": (
        "water; moisture; moisture content; water content; wasser; wassergehalt; feuchte; feuchtigkeit; restfeuchte; "
        "agua; humedad"
    ),
    DRY_MATTER: "dry matter; dry substance; total solids; trockenmasse; trockensubstanz; materia seca; extracto seco",
    ENERGY: (
        "energy; energy value; calorific value; nutritional energy; energie; brennwert; energiegehalt; energia; valor "
        "energetico; valor calorico"
    ),
    "ENERC_KCAL": (
        "calories; kilocalories; energy kcal; kcal; kalorien; kilokalorien; brennwert kcal; calorias; kilocalorias; "
        "energia kcal"
    ),
    ENERGY_KJ: "kilojoule; kilojoules; energy kj; kj; brennwert kj; kilojulios; energia kj",
    "PROCNT": (
        "protein; proteins; total protein; crude protein; protein n x 6 25; eiweiß; eiweiss; eiweißgehalt; "
        "rohprotein; proteine; proteina; proteinas"
    ),
    "FAT": (
        "fat; fats; total fat; fat total; total lipid; total lipid fat; lipids; crude fat; fett; gesamtfett; "
        "fettgehalt; fett gesamt; rohfett; grasa; grasas; grasa total; grasas totales; lipidos; lipidos totales; "
        "materia grasa"
    ),
    CARBOHYDRATE: (
        "carbohydrate; carbohydrates; carbs; kohlenhydrate; kohlenhydrat; hidratos de carbono; carbohidrato; "
        "carbohidratos; glucidos"
    ),
    "CHOCDF": (
        "total carbohydrate; total carbohydrates; carbohydrate total; carbohydrate by difference; carbohydrate with "
        "fibre; total carbohydrate with fibre; carbohydrate by difference including fibre; kohlenhydrate mit "
        "ballaststoffen; gesamtkohlenhydrate; carbohidratos totales; hidratos de carbono totales"
    ),
    "CHOAVLDF": (
        "available carbohydrate; available carbohydrates; carbohydrate available; net carbohydrate; net carbs; "
        "carbohydrate without fibre; digestible carbohydrate; verwertbare kohlenhydrate; kohlenhydrate verwertbar; "
        "kohlenhydrate ohne ballaststoffe; carbohidratos disponibles; hidratos de carbono disponibles"
    ),
    "FIBTG": (
        "fibre; fiber; dietary fibre; dietary fiber; total dietary fibre; total dietary fiber; fibre total dietary; "
        "fiber total dietary; fibre total; total fibre; fiber total; total fiber; ballaststoffe; ballaststoff; "
        "ballaststoffe gesamt; nahrungsfasern; fibra; fibra alimentaria; fibra dietetica; fibra total; fibra dietaria"
    ),
    "FIBSOL": (
        "soluble fibre; soluble fiber; fibre soluble; fiber soluble; soluble dietary fibre; soluble dietary fiber; "
        "lösliche ballaststoffe; ballaststoffe löslich; wasserlösliche ballaststoffe; fibra soluble"
    ),
    "FIBINS": (
        "insoluble fibre; insoluble fiber; fibre insoluble; fiber insoluble; insoluble dietary fibre; insoluble "
        "dietary fiber; unlösliche ballaststoffe; ballaststoffe unlöslich; wasserunlösliche ballaststoffe; fibra "
        "insoluble"
    ),
    "SUGAR": (
        "sugar; sugars; total sugar; total sugars; sugars total; of which sugars; sugars total including nlea; "
        "zucker; gesamtzucker; davon zucker; zucker gesamt; azucar; azucares; azucares totales; de los cuales "
        "azucares; de las cuales azucares"
    ),
    "GLUS": "glucose; dextrose; glucose dextrose; traubenzucker; glucosa; dextrosa",
    "FRUS": "fructose; fruchtzucker; fruktose; fructosa",
    "GALS": "galactose; galaktose; galactosa",
    "SUCS": "sucrose; saccharose; saccharosa; sacarosa; rohrzucker",
    "LACS": "lactose; milchzucker; laktose; lactosa",
    "MALS": "maltose; malzzucker; maltosa",
    "STARCH": "starch; of which starch; total starch; stärke; davon stärke; almidon; de los cuales almidon",
    "DEXTN": "maltodextrin; maltodextrins; dextrins; dextrin; maltodextrine; dextrine; maltodextrina; dextrinas",
    "POLYL": (
        "polyols; of which polyols; sugar alcohols; sugar alcohol; total sugar alcohols; mehrwertige alkohole; "
        "polyole; davon mehrwertige alkohole; zuckeralkohole; polialcoholes; polioles"
    ),
    "OA": "organic acids; total organic acids; organische säuren; acidos organicos",
    "ALC": "alcohol; ethanol; alcohol ethyl; alkohol; äthanol; etanol",
    "ASH": "ash; ash content; crude ash; minerals total; asche; rohasche; mineralstoffe; ceniza; cenizas",
    "FASAT": (
        "saturates; of which saturates; saturated fat; saturated fats; saturated fatty acids; of which saturated; "
        "fatty acids total saturated; of which saturated fatty acids; gesättigte fettsäuren; davon gesättigte "
        "fettsäuren; saturadas; de las cuales saturadas; grasas saturadas; acidos grasos saturados; de los cuales "
        "acidos grasos saturados"
    ),
    "FAMS": (
        "monounsaturates; mono unsaturates; of which mono unsaturates; monounsaturated fat; monounsaturated fatty "
        "acids; fatty acids total monounsaturated; einfach ungesättigte fettsäuren; davon einfach ungesättigte "
        "fettsäuren; monoinsaturadas; grasas monoinsaturadas; acidos grasos monoinsaturados"
    ),
    "FAPU": (
        "polyunsaturates; of which polyunsaturates; polyunsaturated fat; polyunsaturated fatty acids; fatty acids "
        "total polyunsaturated; mehrfach ungesättigte fettsäuren; davon mehrfach ungesättigte fettsäuren; "
        "poliinsaturadas; grasas poliinsaturadas; acidos grasos poliinsaturados"
    ),
    "FATRN": (
        "trans fat; trans fats; trans fatty acids; fatty acids total trans; transfettsäuren; trans fettsäuren; grasas "
        "trans; acidos grasos trans"
    ),
    "F4D0": "butyric acid; butyric acid c4 0; c4 0; 4 0; sfa 4 0; buttersäure; acido butirico",
    "F6D0": "caproic acid; caproic acid c6 0; c6 0; 6 0; sfa 6 0; capronsäure; acido caproico",
    "F8D0": "caprylic acid; caprylic acid c8 0; c8 0; 8 0; sfa 8 0; caprylsäure; acido caprilico",
    "F10D0": "capric acid; capric acid c10 0; c10 0; 10 0; sfa 10 0; caprinsäure; acido caprico",
    "F12D0": "lauric acid; lauric acid c12 0; c12 0; 12 0; sfa 12 0; laurinsäure; acido laurico",
    "F14D0": "myristic acid; myristic acid c14 0; c14 0; 14 0; sfa 14 0; myristinsäure; acido miristico",
    "F16D0": "palmitic acid; palmitic acid c16 0; c16 0; 16 0; sfa 16 0; palmitinsäure; acido palmitico",
    "F18D0": "stearic acid; stearic acid c18 0; c18 0; 18 0; sfa 18 0; stearinsäure; acido estearico",
    "CHOLE": "cholesterol; cholesterin; colesterol",
    "NA": "sodium; sodium na; na; natrium; sodio",
    SALT: "salt; salt equivalent; sodium chloride; salz; kochsalz; speisesalz; sal",
    "K": "potassium; potassium k; kalium; potasio",
    "MG": "magnesium; magnesium mg; magnesio",
    "CA": "calcium; calcium ca; kalzium; calcio",
    "FE": "iron; iron fe; eisen; hierro",
    "P": "phosphorus; phosphorus p; phosphor; fosforo",
    "ZN": "zinc; zinc zn; zink; cinc",
    "CAFFN": "caffeine; koffein; coffein; cafeina",
    "id": "id",
    "name": (
        "name; food; food name; food description; description; product; product name; ingredient; item; article; "
        "lebensmittel; bezeichnung; produkt; produktname; artikel; artikelbezeichnung; zutat; alimento; nombre; "
        "producto; nombre del alimento; denominacion; ingrediente; descripcion"
    ),
    "code": (
        "code; food code; food id; ndb no; ndb number; fdc id; number; no; nr; key; artikelnummer; lebensmittelcode; "
        "schlüssel; kennung; codigo; numero; article number; item number"
    ),
    "group": (
        "group; food group; category; food category; gruppe; lebensmittelgruppe; warengruppe; kategorie; grupo; grupo "
        "de alimentos; categoria"
    ),
    "also": "scientific name; other names; synonyms; wissenschaftlicher name; nombre cientifico",
    "density": "density; specific gravity; dichte; densidad",
    "edible_percent": "edible portion; edible part; edible; essbarer anteil; parte comestible; porcion comestible",
    "refuse_percent": "refuse; refuse pct; refuse percent; waste; abfall; desperdicio",
    "refuse_words": "refuse desc; refuse description; ref desc",
    "nitrogen_factor": "n factor; nitrogen factor; nitrogen conversion factor; stickstofffaktor; factor de nitrogeno",
    "fatty_acid_factor": "fatty acid conversion factor; fatty acid factor; fettsäurefaktor",
    "component": (
        "component; nutrient; nutrient name; constituent; tag; tagname; infoods; parameter; nährstoff; komponente; "
        "nutriente; componente; constituyente; nutrient id; nutrient number; nutr no"
    ),
    "value": (
        "value; amount; content; quantity; mean; wert; gehalt; menge; mittelwert; valor; contenido; cantidad; media; "
        "nutr val"
    ),
    "unit": "unit; units; einheit; unidad; unit name",
    "n": "n; samples; number of samples; data points; num data pts; proben; muestras",
    "sd": "sd; standard deviation; standardabweichung; desviacion estandar; std dev",
    "se": "se; standard error; std error; standardfehler; error estandar",
}


def phrase(text: str) -> str:
    """What two spellings of the same words have in common."""
    return " ".join(split(text))


def _phrases() -> Iterator[tuple[str, str]]:
    for target, words in _WORDS.items():
        for word in words.split("; "):
            yield phrase(word), target
            if folded(word) != word.casefold():  # umlauts written out
                yield phrase(spelled_out(word)), target


PHRASES: Mapping[str, str] = MappingProxyType(dict(_phrases()))
TARGETS: frozenset[str] = frozenset((*COMPONENTS, *_WORDS))
