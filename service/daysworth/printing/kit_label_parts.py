"""Write the parts of a kit's label: those that always stand on it, and those there is room for.

Where there is too little room, parts are left out in the order of `Rank`. The name, the day to eat
it by, for how many, the opener, the allergens and the QR code have no rank: they always stay.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from functools import cache
from typing import Final

from daysworth.printing.kit_label import ContentLine, KitLabel
from daysworth.printing.label_letters import TURN_BACK
from daysworth.printing.label_paragraphs import Paragraph, Run
from daysworth.reference.cautions import caution_rows
from daysworth.wording.catalogue import Catalogue

_NEVER_HEAT: Final = "never_heat_unopened"
_SMALL: Final = 0.8
_UNBROKEN: Final = "\u00a0"
"""The space at which no line is broken."""


class Rank(IntEnum):
    """What is left out of a label, first to last: what matters least to whoever eats from it.

    Cautions are left out one by one, from the last. The steps of serving are the last to go.
    """

    FIGURES = 1
    WARES = 2
    CAUTION = 3
    CONTENTS = 4
    WAIVED = 5
    WARMING = 6
    STEPS = 7


class Column(IntEnum):
    """Where a part stands on a label that is wide enough for two columns."""

    LEFT = 0
    RIGHT = 1
    WHOLE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Paragraphs that stand together and are left out together, by their rank.

    `scale` is the size of their letters, as a share of what the steps of serving have.
    """

    rank: Rank
    column: Column
    paragraphs: tuple[Paragraph, ...]
    scale: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What is never left out, in words."""

    name: str
    pull_by: str
    day: str
    serves: str
    opener: str
    is_opener_needed: bool
    allergens: tuple[Paragraph, ...]
    kit_id: str


def head_of(label: KitLabel, *, words: Catalogue, is_run_in: bool) -> Head:
    """Write what is never left out; run in, the sentences on allergens are one paragraph."""
    allergens = tuple(_allergens(label, words=words))
    return Head(
        name=label.name,
        pull_by=words.say("kit-label-pull-by"),
        day=words.day(label.pull_by_day),
        serves=_serves(label, words=words),
        opener=words.say("kit-label-needs-opener" if label.needs_opener else "kit-label-no-opener"),
        is_opener_needed=label.needs_opener,
        allergens=_run_in(allergens) if is_run_in else allergens,
        kit_id=label.kit_id,
    )


def parts_of(label: KitLabel, *, words: Catalogue, is_run_in: bool) -> tuple[Part, ...]:
    """Write what there may be room for, in the order it stands; run in, lists are sentences."""
    found = (
        *_contents(label, words=words, is_run_in=is_run_in),
        *_steps(label, words=words),
        _warming(label, words=words),
        *_waived(label, words=words),
        *_cautions(label, words=words),
        _figures(label, words=words),
    )
    return tuple(part for part in found if part.paragraphs)


def order_of_keeping(parts: tuple[Part, ...]) -> tuple[int, ...]:
    """Give the indices of parts, what is kept longest first; of one rank, the first first."""
    return tuple(sorted(range(len(parts)), key=lambda index: (-parts[index].rank, index)))


def more_at_code(words: Catalogue) -> Paragraph:
    """Write that something was left out, and where it is."""
    return Paragraph(runs=(Run(words.say("kit-label-more"), is_bold=True),))


def _serves(label: KitLabel, *, words: Catalogue) -> str:
    if label.parcel_number is None:
        return words.say("kit-label-serves", persons=label.persons)
    # A number that is a name is not grouped by thousands.
    parcel = str(label.parcel_number)
    return words.say("kit-label-serves-parcel", persons=label.persons, parcel=parcel)


def _allergens(label: KitLabel, *, words: Catalogue) -> Iterator[Paragraph]:
    if label.allergens:
        yield _led(words.say("kit-label-contains"), _listed(label.allergens) + ".", is_bold=True)
    if label.may_contain:
        yield _led(words.say("kit-label-may-contain"), _listed(label.may_contain) + ".")
    is_any_known = bool(label.allergens or label.may_contain)
    if label.not_known:
        key = "kit-label-others-not-known" if is_any_known else "kit-label-not-known"
        yield Paragraph(runs=(Run(words.say(key), is_bold=True),))
    elif not is_any_known:
        # Silence is never said to be safety: that nothing was found is all that is known.
        yield Paragraph(runs=(Run(words.say("kit-label-none-found")),))


def _run_in(paragraphs: tuple[Paragraph, ...]) -> tuple[Paragraph, ...]:
    return (Paragraph(runs=tuple(run for paragraph in paragraphs for run in paragraph.runs)),)


def _contents(label: KitLabel, *, words: Catalogue, is_run_in: bool) -> Iterator[Part]:
    lines = tuple(_content(line, words=words) for line in label.contents)
    heading = words.say("kit-label-contents")
    if is_run_in:
        paragraphs: tuple[Paragraph, ...] = (_led(heading, _listed(lines, by="; ")),)
    else:
        paragraphs = (
            Paragraph(runs=(Run(heading, is_bold=True),)),
            *(Paragraph(runs=(Run(line),), mark="•") for line in lines),
        )
    if lines:
        yield Part(rank=Rank.CONTENTS, column=Column.LEFT, paragraphs=paragraphs)
    if label.wares:
        # A number and its ware stay on one line.
        listed = _listed(tuple(ware.replace(" ", _UNBROKEN) for ware in label.wares))
        wares = _led(words.say("kit-label-wares"), listed)
        yield Part(rank=Rank.WARES, column=Column.LEFT, paragraphs=(wares,))


def _steps(label: KitLabel, *, words: Catalogue) -> Iterator[Part]:
    if not label.steps:
        return
    heading = Paragraph(runs=(Run(words.say("kit-label-steps"), is_bold=True),))
    steps = (
        Paragraph(runs=(Run(step),), mark=words.say("kit-label-step", number=number))
        for number, step in enumerate(label.steps, start=1)
    )
    yield Part(rank=Rank.STEPS, column=Column.RIGHT, paragraphs=(heading, *steps))


def _warming(label: KitLabel, *, words: Catalogue) -> Part:
    never = Run(_never_heat(), is_bold=True)
    if label.may_be_warmed is None:
        runs: tuple[Run, ...] = (Run(words.say("kit-label-no-warming")), never)
    else:
        lead = Run(words.say("kit-label-warming"), is_bold=True)
        runs = (lead, Run(label.may_be_warmed + TURN_BACK), never)
    paragraphs = (Paragraph(runs=runs),)
    return Part(rank=Rank.WARMING, column=Column.RIGHT, paragraphs=paragraphs)


def _waived(label: KitLabel, *, words: Catalogue) -> Iterator[Part]:
    if label.waived:
        waived = _led(words.say("kit-label-waived"), _listed(label.waived, by="; "))
        yield Part(rank=Rank.WAIVED, column=Column.WHOLE, paragraphs=(waived,))


def _cautions(label: KitLabel, *, words: Catalogue) -> Iterator[Part]:
    # The caution on unopened tins stands with what may be warmed.
    cautions = [caution for caution in label.cautions if caution != _never_heat()]
    for number, caution in enumerate(cautions):
        heading = words.say("kit-label-cautions")
        said = Paragraph(runs=(Run(caution),)) if number else _led(heading, caution)
        yield Part(rank=Rank.CAUTION, column=Column.WHOLE, paragraphs=(said,), scale=_SMALL)


def _figures(label: KitLabel, *, words: Catalogue) -> Part:
    packed = words.say(
        "kit-label-packed", day=words.day(label.packed_on), mass=_mass(label.mass_g, words=words)
    )
    figures = words.say(
        "kit-label-figures",
        energy=round(label.energy_kcal_each),
        protein=round(label.protein_g_each),
    )
    paragraphs = (Paragraph(runs=(Run(packed), Run(figures))),)
    return Part(rank=Rank.FIGURES, column=Column.WHOLE, paragraphs=paragraphs, scale=_SMALL)


def _content(line: ContentLine, *, words: Catalogue) -> str:
    size = _mass(line.unit_mass_g, words=words)
    food = line.name + TURN_BACK
    return words.say("kit-label-content", units=line.units, food=food, size=size)


def _mass(mass_g: float, *, words: Catalogue) -> str:
    if round(mass_g) < 1000:
        said = words.say("size-g", grams=round(mass_g))
    else:
        said = words.say("size-kg", kilograms=round(mass_g / 1000, 2))
    return said.replace(" ", _UNBROKEN)


def _led(lead: str, text: str, *, is_bold: bool = False) -> Paragraph:
    return Paragraph(runs=(Run(lead, is_bold=True), Run(text, is_bold=is_bold)))


def _listed(items: tuple[str, ...], *, by: str = ", ") -> str:
    return by.join(item + TURN_BACK for item in items)


@cache
def _never_heat() -> str:
    return next(row.text for row in caution_rows() if row.id == _NEVER_HEAT)
