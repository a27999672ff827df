"""Write the paragraphs of a delivery note from what it says."""

from collections.abc import Iterator
from datetime import timedelta

from daysworth.answers.delivery_note import (
    DeliveryAllergens,
    DeliveryLine,
    DeliveryNote,
    StruckLine,
)
from daysworth.printing.label_letters import TURN_BACK
from daysworth.printing.label_paragraphs import Paragraph, Run
from daysworth.wording.catalogue import Catalogue

_UNBROKEN = "\u00a0"


def plain(text: str, *, is_bold: bool = False) -> Paragraph:
    """Make a paragraph of one weight."""
    return Paragraph(runs=(Run(text, is_bold=is_bold),))


def facts(note: DeliveryNote, *, words: Catalogue) -> tuple[Paragraph, ...]:
    """Write from whom to whom the note goes, and when."""
    said = (
        ("delivery-from", note.store_name),
        ("delivery-to", note.partner_name),
        ("delivery-visit", _visit(note, words=words)),
        ("delivery-contact", note.contact or words.say("delivery-no-contact")),
        ("delivery-appointment", note.appointment),
        ("delivery-driver", note.driver),
    )
    found = [
        Paragraph(runs=(Run(f"{words.say(key)}:", is_bold=True), Run(text + TURN_BACK)))
        for key, text in said
        if text
    ]
    if note.has_gone:
        found.append(plain(words.say("delivery-has-gone")))
    return tuple(found)


def _visit(note: DeliveryNote, *, words: Catalogue) -> str:
    day, begins = words.day(note.opens_at.date()), words.clock(note.opens_at)
    if note.minutes is None or note.timezone is None:
        return words.say("delivery-visit-then", day=day, begins=begins)
    ends = words.clock(note.opens_at + timedelta(minutes=note.minutes))
    return words.say("delivery-visit-when", day=day, begins=begins, ends=ends, zone=note.timezone)


def warning(note: DeliveryNote, *, words: Catalogue) -> tuple[Paragraph, ...]:
    """Write what may not go any more, or what the partner is to be told; empty: all of it goes."""
    if not note.struck:
        return ()
    title = "delivery-told-title" if note.has_gone else "delivery-struck-title"
    found = [plain(words.say(title), is_bold=True)]
    found.extend(_struck(one, words=words) for one in note.struck)
    if not note.has_gone:
        found.append(plain(words.say("delivery-struck-after", day=printed_day(note, words=words))))
    return tuple(found)


def printed_day(note: DeliveryNote, *, words: Catalogue) -> str:
    """Write the day on which a note was printed, on one line."""
    return words.day(note.printed_on).replace(" ", _UNBROKEN)


def _struck(one: StruckLine, *, words: Catalogue) -> Paragraph:
    line = one.line
    said = words.say(
        "delivery-struck-line",
        units=line.units,
        food=line.food_name + TURN_BACK,
        lot=line.lot,
        place=line.place_name + TURN_BACK,
        why=one.why,
    )
    return Paragraph(runs=(Run(said),), mark="•")


def numbers(line: DeliveryLine, *, words: Catalogue) -> tuple[Paragraph, ...]:
    """Write the number of a trade item and the batch, as far as they are known."""
    found = []
    if line.gtin is not None:
        found.append(plain(words.say("delivery-gtin", gtin=line.gtin)))
    else:
        found.append(plain(words.say("delivery-no-gtin")))
    if line.pack_code is not None:
        found.append(plain(words.say("delivery-batch", batch=line.pack_code)))
    return tuple(found)


def label_date(line: DeliveryLine, *, words: Catalogue) -> Paragraph:
    """Write what kind of date stands on the label, and which."""
    day = "" if line.printed is None else words.printed(line.printed)
    return plain(words.say(f"delivery-date-{line.label_kind}", day=day))


def beneath(line: DeliveryLine, *, words: Catalogue) -> tuple[Paragraph, ...]:
    """Write what stands beneath a line: its allergens, and how it was stored."""
    place = line.place_name + TURN_BACK
    return (
        Paragraph(runs=tuple(_allergens(line.allergens, words=words))),
        plain(words.say("delivery-stored", place=place, lot=line.lot)),
    )


def _allergens(found: DeliveryAllergens, *, words: Catalogue) -> Iterator[Run]:
    if found.present:
        key = "delivery-contains" if found.is_read else "delivery-by-kind"
        yield Run(words.say(key), is_bold=True)
        yield Run(_listed(found.present), is_bold=True)
    if found.may_be_present:
        yield Run(words.say("delivery-may-contain"), is_bold=True)
        yield Run(_listed(found.may_be_present))
    if not found.is_read:
        yield Run(words.say("delivery-not-read"))
    elif not found.is_all_known:
        yield Run(words.say("delivery-others-not-known"))
    elif not found.present and not found.may_be_present:
        yield Run(words.say("delivery-none-declared"))


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names) + "."


def total(note: DeliveryNote, *, words: Catalogue) -> Paragraph:
    """Write how much it is in all."""
    said = words.say(
        "delivery-total",
        lines=len(note.lines),
        units=note.units,
        kilograms=kilograms(note.net_mass_g, words=words),
    )
    return plain(said, is_bold=True)


def kilograms(mass_g: float, *, words: Catalogue) -> str:
    """Write grams as kilograms, to ten grams."""
    said = words.say("delivery-kilograms", kilograms=mass_g / 1000)
    return said.replace(" ", _UNBROKEN)


def law(note: DeliveryNote, *, words: Catalogue) -> tuple[Paragraph, ...]:
    """Write what the law says of who gives, and to whom."""
    found = [plain(note.law)]
    if note.is_nonprofit is False:
        found.insert(0, plain(words.say("delivery-not-nonprofit"), is_bold=True))
    return tuple(found)
