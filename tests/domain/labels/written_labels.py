"""Labels in the manner of real ones, and what each says; all of them are invented.

Each has why beside it. `contained` is what fires, `possible` what a precaution names, `in_doubt`
what a word may stand for; what is not named must not be found.
"""

from typing import NamedTuple


class Label(NamedTuple):
    """A label's text and the substances it is a sign of, by their values."""

    why: str
    text: str
    contained: str = ""
    possible: str = ""
    in_doubt: str = ""


LABELS = [
    Label(
        "US cracker: a compound flour, oil not said to be highly refined, statement repeats wheat",
        "INGREDIENTS: ENRICHED FLOUR (WHEAT FLOUR, NIACIN, REDUCED IRON, FOLIC ACID), SOYBEAN OIL, "
        "SALT, MALTED BARLEY FLOUR. CONTAINS: WHEAT.",
        contained="wheat gluten",
        in_doubt="soy",
    ),
    Label(
        "US peanut butter: butter after peanut is no milk; the oil is of rape",
        "Ingredients: Roasted peanuts, sugar, hydrogenated rapeseed oil, salt. Contains peanuts.",
        contained="peanut",
    ),
    Label(
        "US soup: the list goes on after 'contains less than 2% of'",
        "Ingredients: Water, carrots, celery, cooked chicken meat, egg noodles (semolina wheat, "
        "eggs), contains less than 2% of: salt, soy protein isolate, whey, xanthan gum.",
        contained="celery meat egg wheat gluten soy milk",
    ),
    Label(
        "US chocolate bar: cocoa butter is no milk, cocoa liquor no alcohol, dark chocolate may be",
        "Dark chocolate (cocoa liquor, sugar, cocoa butter, sunflower lecithin). May contain milk, "
        "almonds and hazelnuts.",
        possible="milk tree_nut",
        in_doubt="milk",
    ),
    Label(
        "EU biscuit: sweet whey, barley malt, lecithins with their source after them",
        "Ingredients: Wheat flour, sugar, palm oil, sweet whey powder (from milk), barley malt "
        "extract, emulsifier: lecithins (soya). May contain traces of nuts and sesame.",
        contained="wheat gluten milk soy",
        possible="tree_nut sesame",
    ),
    Label(
        "British pickle: malt vinegar is of barley, a spirit vinegar is no alcohol",
        "INGREDIENTS: Onions, Malt Vinegar (from Barley), Spirit Vinegar, Sugar, Salt, "
        "Preservative (Sulphur Dioxide).",
        contained="gluten sulphite",
    ),
    Label(
        "British pointer to bold letters: it names gluten and is no sign of it",
        "Ingredients: Rice, Salt, Turmeric. Allergy advice: for allergens, including cereals "
        "containing gluten, see ingredients in bold.",
    ),
    Label(
        "plant drink: a shield before milk, its own nut fires",
        "Ingredients: almond milk (water, almonds), calcium carbonate, sea salt, locust bean gum.",
        contained="tree_nut",
    ),
    Label(
        "coconut curry: coconut milk and cream are coconut alone; shrimp paste is crustacean",
        "Ingredients: coconut milk, coconut cream, shrimp paste, lemongrass, fish sauce, chilli.",
        contained="coconut crustacean fish",
    ),
    Label(
        "oats with a claim of their own: oats and nothing of wheat",
        "Ingredients: gluten-free oats, sunflower oil, raisins.",
        contained="oats",
    ),
    Label(
        "gluten-free wheat starch is wheat still (21 CFR 101.91)",
        "Gluten free bread. Ingredients: water, gluten-free wheat starch, maize starch, yeast.",
        contained="wheat gluten",
        in_doubt="wheat gluten",
    ),
    Label(
        "non-dairy may hold caseinate, and here it does",
        "NON-DAIRY CREAMER. Ingredients: corn syrup, palm oil, sodium caseinate (a milk "
        "derivative), mono- and diglycerides, artificial color.",
        contained="milk",
        in_doubt="milk animal_derived",
    ),
    Label(
        "lactose-free milk is milk",
        "Ingredients: lactose-free skim milk, lactase enzyme, vitamin A palmitate.",
        contained="milk",
        in_doubt="animal_enzyme",
    ),
    Label(
        "alternatives count each; 'may contain one or more of' within a list is no precaution",
        "Ingredients: potatoes, vegetable oil (may contain one or more of the following: corn, "
        "cottonseed, peanut and/or sesame oil), salt.",
        contained="peanut sesame",
    ),
    Label(
        "a precaution of a shared line, over two lines of print",
        "Ingredients: rice flour, sugar.\nMade on a line that also handles milk,\nsoy and eggs.",
        possible="milk soy egg",
    ),
    Label(
        "a precaution stops where a recipe begins, without any sign between",
        "May contain nuts Ingredients: sugar, wheat flour, butter",
        contained="wheat gluten milk",
        possible="tree_nut",
    ),
    Label(
        "a precaution that runs into a recipe keeps its first entry only",
        "May contain sesame, sugar, salt, egg powder",
        contained="egg",
        possible="sesame",
    ),
    Label(
        "a facility free of nuts is a claim and no presence",
        "Ingredients: sunflower seeds, salt. Made in a nut-free facility.",
    ),
    Label(
        "a facility that does not handle peanuts is a claim; one that handles soy is a precaution",
        "Ingredients: dates. Packed in a facility that does not handle peanuts. Packed on "
        "equipment that also handles soy.",
        possible="soy",
    ),
    Label(
        "no guarantee is a precaution, whatever 'free' stands in it",
        "Ingredients: maize. We cannot guarantee that this food is nut free or milk free.",
        possible="tree_nut milk",
    ),
    Label(
        "not suitable for people with an allergy",
        "Ingredients: maize, salt. Not suitable for nut allergy sufferers.",
        possible="tree_nut",
    ),
    Label(
        "words before 'may be present'",
        "Ingredients: maize, salt. Traces of peanuts and milk may be present.",
        possible="peanut milk",
    ),
    Label(
        "a denial within a list takes what is beside it and nothing over a comma",
        "Ingredients: tomatoes, no added salt, milk, cream.",
        contained="milk",
    ),
    Label(
        "a sentence that begins with free from takes all of its list, and no more",
        "Free from milk, egg and nuts. Ingredients: rice, soy sauce.",
        contained="soy",
        in_doubt="wheat gluten",
    ),
    Label(
        "contains no, with a list",
        "Contains no milk, egg or fish. Ingredients: peanuts, salt.",
        contained="peanut",
    ),
    Label(
        "a claim does not undo an ingredient",
        "Dairy-free! Ingredients: sugar, butter, milk powder.",
        contained="milk",
    ),
    Label(
        "open hyphens: soy- and milk-free denies both",
        "Soy- and milk-free. Ingredients: rice, salt.",
    ),
    Label(
        "tree nuts (coconut) is coconut and no tree nut (FDA edition 5)",
        "Ingredients: dates, coconut. Contains: tree nuts (coconut).",
        contained="coconut",
    ),
    Label(
        "the same brackets with another nut are a tree nut",
        "Ingredients: dates. Contains: tree nuts (coconut, almond).",
        contained="coconut tree_nut",
    ),
    Label(
        "names of plants that hold a firing word",
        "Ingredients: butternut squash, butter beans, eggplant, water chestnuts, crab apples, "
        "oyster mushrooms, buckwheat, nutmeg, cream of tartar, horseradish, kidney beans.",
    ),
    Label(
        "cheese pizza: names of cheeses, calf rennet in parmesan, pork of pepperoni may be",
        "Crust (wheat flour, water, yeast), mozzarella (milk, cultures, salt, enzymes), parmesan, "
        "pepperoni (beef, salt).",
        contained="wheat gluten milk animal_enzyme meat",
        in_doubt="animal_enzyme pork",
    ),
    Label(
        "sweets: gelatine, carmine by number, shellac by its number, beeswax",
        "Ingredients: glucose syrup, sugar, gelatine, colour (E120), glazing agents (E904, E901).",
        contained="gelatine insect honey",
    ),
    Label(
        "additive numbers without E after their class",
        "Ingredients: dried apricots, preservative (220), emulsifier 471, flavour enhancer 635.",
        contained="sulphite",
        in_doubt="animal_derived",
    ),
    Label(
        "additive numbers of other forms",
        "Ingredients: apples, E 223, INS 228, E-1105.",
        contained="sulphite egg",
    ),
    Label(
        "tinned meat: pork, a broth of chicken, starch that is open",
        "Ingredients: pork, ham, water, chicken broth, modified starch, salt, sodium nitrite.",
        contained="pork meat",
    ),
    Label(
        "refried beans with lard",
        "Ingredients: pinto beans, lard, onion, chili pepper, spices.",
        contained="pork meat",
    ),
    Label(
        "Worcestershire has anchovies, and may have malt vinegar and soy",
        "Ingredients: tomato juice, Worcestershire sauce, lemon juice, celery salt.",
        contained="fish celery",
        in_doubt="gluten soy",
    ),
    Label(
        "wine vinegar, brandy, rum, cooking wine",
        "Ingredients: cream, brandy, red wine vinegar, cooking wine, salt.",
        contained="milk alcohol grape_juice",
        in_doubt="alcohol",
    ),
    Label(
        "hummus, tahini, halva",
        "Ingredients: chickpeas, tahini, lemon juice, garlic; may contain mustard",
        contained="sesame",
        possible="mustard",
    ),
    Label(
        "EU exemptions are still signs; the law decides later",
        "Ingredients: glucose syrup (from wheat), water, fully refined soya oil.",
        contained="wheat gluten soy",
    ),
    Label(
        "peanut oil fires; highly refined peanut oil as well, with its exemption",
        "Ingredients: potatoes, highly refined peanut oil, salt.",
        contained="peanut",
    ),
    Label(
        "a seafood mix, in species",
        "Ingredients: squid, mussels, prawns, cod, surimi (pollock, egg white, wheat starch).",
        contained="mollusc crustacean fish egg wheat gluten",
        in_doubt="egg crustacean soy wheat gluten",
    ),
    Label(
        "lupin and mustard flour in an EU bread mix",
        "Ingredients: maize starch, lupin flour, mustard flour, psyllium.",
        contained="lupin mustard",
    ),
    Label(
        "brewer's yeast and yeast extract",
        "Ingredients: brewer's yeast, vegetables, yeast extract, salt.",
        contained="gluten",
        in_doubt="gluten",
    ),
    Label(
        "a flat text without stops: openers part it",
        "INGREDIENTS PEANUTS SALT CONTAINS PEANUTS MAY CONTAIN TREE NUTS",
        contained="peanut",
        possible="tree_nut",
    ),
    Label(
        "a word broken over a line",
        "Ingredients: corn, hydro-\nlysed wheat protein, pea-\nnuts, sulphur di-\noxide.",
        contained="wheat gluten peanut sulphite",
    ),
    Label(
        "a phrase over two lines is one phrase",
        "Ingredients: sugar, cocoa\nbutter, peanut\nbutter, cream of\ntartar.",
        contained="peanut",
    ),
    Label(
        "one entry a line: almond and milk are two",
        "Ingredients\nalmond\nmilk\nsugar",
        contained="tree_nut milk",
    ),
    Label(
        "statement with a colon and a line break", "Rice, salt\nContains:\nmilk", contained="milk"
    ),
    Label(
        "precaution in the same sentence as a statement",
        "Contains wheat, may contain soy and milk.",
        contained="wheat gluten",
        possible="soy milk",
    ),
    Label(
        "statement that follows a precaution without a stop",
        "May contain milk contains egg",
        contained="egg",
        possible="milk",
    ),
    Label(
        "allergens by name as a statement",
        "Ingredients: seasoned rice. Allergens: fish, sesame.",
        contained="fish sesame",
    ),
    Label(
        "infant cereal: maltodextrin is open, fish oil is fish",
        "Ingredients: rice flour, maltodextrin, fish oil, L-cysteine, vitamin D3.",
        contained="fish",
        in_doubt="animal_derived",
    ),
    Label(
        "kosher and halal words are no ingredients",
        "Ingredients: beef, kosher salt, halal gelatin.",
        contained="meat gelatine",
    ),
    Label(
        "black pudding: blood and pork and oats",
        "Ingredients: black pudding (pork blood, oatmeal, pork fat), pepper.",
        contained="blood pork meat oats",
    ),
    Label(
        "egg by its parts",
        "Ingredients: sugar, albumen, lysozyme, mayonnaise.",
        contained="egg",
    ),
    Label(
        "soy by its foods; miso and soy sauce may hold grain",
        "Ingredients: tofu, tempeh, edamame, miso, tamari.",
        contained="soy",
        in_doubt="gluten wheat",
    ),
    Label(
        "flours without wheat",
        "Ingredients: rice flour, buckwheat flour, chickpea flour, corn flour, tapioca starch.",
    ),
    Label("plain flour may be wheat", "Ingredients: flour, water, salt.", in_doubt="wheat gluten"),
    Label(
        "Canadian two languages: the French words fire as well",
        "Ingredients: sugar, milk. Contient: lait, blé.",
        contained="milk wheat gluten",
    ),
    Label(
        "sorbet and lactic acid: no milk",
        "Ingredients: water, raspberry, lactic acid, calcium lactate, sodium stearoyl lactylate.",
        in_doubt="animal_derived",
    ),
    Label(
        "nuts may mean peanuts as well",
        "Ingredients: dates, mixed nuts.",
        contained="tree_nut",
        in_doubt="peanut",
    ),
    Label(
        "shea and coconut are no tree nuts, marzipan and praline are",
        "Ingredients: shea butter, coconut oil, chestnut puree, marzipan, praline.",
        contained="coconut tree_nut",
    ),
    Label(
        "alcohol-free and sugar alcohol are no alcohol",
        "Ingredients: sugar alcohol (xylitol), alcohol-free vanilla flavor, ginger ale.",
    ),
]
