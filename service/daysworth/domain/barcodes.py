"""Hold what a barcode on a pack can tell: its trade item number, its date and the maker's code."""

from dataclasses import dataclass

from daysworth.domain.label_dates import LabelKind


@dataclass(frozen=True, slots=True, kw_only=True)
class PackFacts:
    """What was read from a GS1 number or element string; None: it does not say.

    `gtin` has 14 digits, padded with zeros, and a right check digit. `printed` is a label date as
    it is written here; `pack_code` is the maker's own code of the run it was packed in.
    """

    gtin: str | None = None
    label_kind: LabelKind | None = None
    printed: str | None = None
    pack_code: str | None = None
