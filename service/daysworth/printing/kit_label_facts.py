"""Gather what stands on the label of a kit from the answer on that kit."""

from typing import Final

from daysworth.answers.kit import KitAnswer
from daysworth.domain.errors import StockRefused
from daysworth.printing.kit_label import ContentLine, KitLabel

CAUTIONS: Final = (
    "when_in_doubt",
    "opened_two_hours",
    "never_heat_unopened",
    "read_every_label",
    "allergic_reaction",
    "choking_hazards",
    "silence_is_not_safety",
)
"""The cautions on a label, the most important first: our judgement. Those of a diet would tell of
whoever it is for."""


def label_of(kit: KitAnswer, *, site: str) -> KitLabel:
    """Give the label of a kit; `site` is where its page is reached.

    Raises StockRefused where something in it is undated: the label would not say until when.
    """
    if kit.pull_by_day is None:
        raise StockRefused(
            f"something in kit {kit.kit!r} has no date, so no label can say until when it is good: "
            "date its lot, or unpack it"
        )
    texts = {one.id: one.text for one in kit.cautions}
    return KitLabel(
        kit_id=kit.kit,
        name=kit.name,
        persons=kit.persons,
        parcel_number=kit.parcel_number,
        pull_by_day=kit.pull_by_day,
        packed_on=kit.packed_on,
        contents=tuple(
            ContentLine(units=one.units, name=one.food_name, unit_mass_g=one.unit_mass_g)
            for one in kit.contents
        ),
        steps=tuple(kit.steps),
        may_be_warmed=kit.may_be_warmed,
        allergens=tuple(kit.allergens.present),
        may_contain=tuple(kit.allergens.may_be_present),
        not_known=bool(kit.allergens.not_known) or not kit.allergens.is_read,
        needs_opener=kit.needs_opener,
        energy_kcal_each=kit.energy_kcal_per_person,
        protein_g_each=kit.protein_g_per_person,
        mass_g=kit.mass_g,
        waived=tuple(f"{one.title}: {one.why}" for one in kit.waivers),
        wares=tuple(f"{one.units} {one.name}" for one in kit.wares),
        cautions=tuple(texts[id_] for id_ in CAUTIONS if id_ in texts),
        address=f"{site}/stores/{kit.store}/kits/{kit.kit}",
    )
