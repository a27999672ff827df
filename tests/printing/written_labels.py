"""Invented labels of kits: a usual one, one of very much, and one of very little."""

from dataclasses import replace
from datetime import date
from typing import Final

from daysworth.domain.cautions import Topic, cautions_on
from daysworth.printing.kit_label import ContentLine, KitLabel

CAUTIONS: Final = tuple(row.text for row in cautions_on([Topic.FOOD, Topic.FIRE, Topic.ALLERGY]))

USUAL: Final = KitLabel(
    kit_id="kit-17",
    name="Chickpea and rice supper",
    persons=4,
    parcel_number=12,
    pull_by_day=date(2027, 3, 1),
    packed_on=date(2026, 9, 3),
    contents=(
        ContentLine(units=2, name="Chickpeas in water", unit_mass_g=400),
        ContentLine(units=2, name="Cooked rice, pouch", unit_mass_g=250),
        ContentLine(units=1, name="Peaches in juice", unit_mass_g=1_020),
    ),
    steps=(
        "Open the rice pouches along the top and shake the rice loose.",
        "Open the chickpeas and drain them.",
        "Mix both in the largest pouch, and share out on four plates.",
    ),
    may_be_warmed="The rice, in its open pouch, stood in hot water for five minutes.",
    allergens=("wheat", "milk"),
    may_contain=("soya",),
    not_known=False,
    needs_opener=True,
    energy_kcal_each=642.3,
    protein_g_each=23.7,
    mass_g=3_180,
    waived=("No heating: this kit is for a cold evening",),
    wares=("4 forks", "4 plates"),
    cautions=CAUTIONS,
    address="https://elm-row.example/kits/17",
)

LITTLE: Final = replace(
    USUAL,
    kit_id="kit-18",
    name="Oats",
    persons=1,
    parcel_number=None,
    contents=USUAL.contents[:1],
    steps=("Eat it.",),
    may_be_warmed=None,
    allergens=(),
    may_contain=(),
    not_known=True,
    needs_opener=False,
    waived=(),
    wares=(),
    cautions=CAUTIONS[:1],
)

MUCH: Final = replace(
    USUAL,
    kit_id="a-kit-with-an-id-of-the-greatest-length-that-an-id-may-ever-have",
    name="Supper of red beans, sweetcorn and flatbread, with a tin of mixed fruit, for a great many"
    " people who like their food mild",
    persons=24,
    parcel_number=4_217,
    contents=tuple(
        ContentLine(units=n, name=f"Food {n} of a long name, in brine", unit_mass_g=100 * n)
        for n in range(1, 31)
    ),
    steps=tuple(
        f"Take pack {n}, open it, drain it well, and mix it with what was opened before it in the "
        "big bowl; stir until nobody can tell one from another." * 2
        for n in range(1, 13)
    ),
    allergens=(
        "cereals containing gluten (wheat, rye, barley, oats)",
        *("crustaceans", "eggs", "fish", "peanuts", "soya", "milk", "celery", "mustard", "sesame"),
        *("tree nuts (almond, hazelnut)", "sulphur dioxide and sulphites", "lupin", "molluscs"),
    ),
    may_contain=("buckwheat", "coconut"),
    not_known=True,
    waived=tuple(f"Rule {n}: the store has its own reason for this" for n in range(10)),
)
