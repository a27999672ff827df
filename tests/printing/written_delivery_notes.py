"""Invented delivery notes: a usual one, one with something struck, and a very long one."""

from dataclasses import replace
from datetime import date, datetime, time
from typing import Final

from daysworth.answers.delivery_note import (
    DeliveryAllergens,
    DeliveryLine,
    DeliveryNote,
    StruckLine,
)
from daysworth.domain.label_dates import LabelKind

READ: Final = DeliveryAllergens(
    present=("fish",), may_be_present=("crustacean",), is_read=True, is_all_known=True
)
NOT_READ: Final = DeliveryAllergens(
    present=(), may_be_present=(), is_read=False, is_all_known=False
)
NONE_DECLARED: Final = DeliveryAllergens(
    present=(), may_be_present=(), is_read=True, is_all_known=True
)

SALMON_LINE: Final = DeliveryLine(
    lot="L-2345678901",
    place_name="Church cellar",
    food_name="Salmon, pink, in a tin",
    gtin="09501101530003",
    pack_code="L4 17B",
    units=24,
    net_mass_g=24 * 213.0,
    label_kind=LabelKind.BEST_BY,
    printed="2027-03-14",
    allergens=READ,
)
RICE_LINE: Final = replace(
    SALMON_LINE,
    lot="L-ABCDEFGHJK",
    place_name="Hall shelf",
    food_name="Rice, white, long grain",
    gtin=None,
    pack_code=None,
    units=1,
    net_mass_g=907.0,
    label_kind=LabelKind.USE_BY,
    printed="2027-02",
    allergens=NOT_READ,
)
PEACH_LINE: Final = replace(
    RICE_LINE,
    lot="L-MNPQRSTVWX",
    food_name="Peaches in juice",
    units=6,
    net_mass_g=6 * 415.0,
    allergens=NONE_DECLARED,
)

USUAL: Final = DeliveryNote(
    number="G-23456789AB",
    store_name="Fernhollow (invented)",
    partner_name="Lantern Kitchen (invented)",
    is_nonprofit=True,
    contact="Side door, 4 Mill Row; ring twice",
    appointment="Ref. 8812",
    driver="the hall's van",
    opens_at=datetime.combine(date(2026, 12, 8), time(9)),
    timezone="Europe/Berlin",
    minutes=120,
    has_gone=False,
    printed_on=date(2026, 12, 7),
    locale="en-GB",
    lines=(SALMON_LINE, RICE_LINE, PEACH_LINE),
    struck=(),
)

STRUCK: Final = replace(
    USUAL,
    is_nonprofit=False,
    lines=(SALMON_LINE,),
    struck=(
        StruckLine(line=RICE_LINE, why="it was set aside"),
        StruckLine(line=PEACH_LINE, why="the partner takes it with at least 90 days left"),
    ),
)

GONE: Final = replace(
    USUAL, has_gone=True, struck=(StruckLine(line=SALMON_LINE, why="it was set aside"),)
)

LONG_NAME: Final = "Chickpeas and other pulses cooked with a great many herbs, " * 2

LONG: Final = replace(
    USUAL,
    lines=tuple(
        replace(SALMON_LINE, lot=f"L-{number:010}", food_name=name, units=number + 1)
        for number in range(60)
        for name in [LONG_NAME[:120] if number % 7 == 0 else f"Food number {number}"]
    ),
)
