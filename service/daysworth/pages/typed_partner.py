"""Read the forms that say who a partner is, and what it takes of a food group."""

import re
import unicodedata
from dataclasses import dataclass, field, replace
from typing import Final, Self

from pydantic import ValidationError
from starlette.datastructures import FormData

from daysworth.api.schemas.partners import AcceptanceRuleIn, NewPartnerIn
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.partners import AcceptanceRule, Partner
from daysworth.pages.typed_box import CHECKED, Faults, whole_number
from daysworth.pages.typed_window import free_id, kilograms, note

GROUPS: Final = tuple(str(one) for one in FoodGroup)
TAKES: Final = ("before", "past", "none")
"""How far a rule goes: until so many days before a date, until so many after it, or not at all."""

_USUAL_RULE: Final = {
    "group": "",
    "takes": "before",
    "days": "0",
    "visit_kg": "",
    "visit_units": "",
}

_LONGEST: Final = 201
_LONGEST_ID: Final = 40
_BETWEEN: Final = re.compile("[^a-z0-9]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedPartner:
    """What was typed of a partner."""

    name: str = ""
    contact: str = ""
    notes: str = ""
    is_nonprofit: bool = False
    asks_read_label: bool = False

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form."""
        return cls(
            name=str(form.get("name", "")).strip()[:_LONGEST],
            contact=str(form.get("contact", "")).strip()[:_LONGEST],
            notes=str(form.get("notes", "")).strip()[:_LONGEST],
            is_nonprofit=form.get("is_nonprofit") == CHECKED,
            asks_read_label=form.get("asks_read_label") == CHECKED,
        )

    @classmethod
    def as_kept(cls, partner: Partner) -> Self:
        """Fill the form from what is kept."""
        return cls(
            name=partner.name,
            contact=partner.contact,
            notes=partner.notes,
            is_nonprofit=partner.is_nonprofit,
            asks_read_label=partner.asks_read_label,
        )

    def read(self, faults: Faults, *, taken: frozenset[str]) -> Partner | None:
        """Understand the form as a new partner, under an id made of its name; None: it cannot be.

        `taken` are the ids that partners have already.
        """
        said = {
            "id": free_id(_slug(self.name), taken),
            "name": self.name,
            "contact": self.contact,
            "notes": self.notes,
            "is_nonprofit": self.is_nonprofit,
            "asks_read_label": self.asks_read_label,
        }
        if not self.name:
            faults["name"] = "fault-partner-name"
        try:
            asked = NewPartnerIn.model_validate(said)
        except ValidationError as refused:
            note(refused, faults, of="a partner")
            return None
        return asked.partner(PartnerId(asked.id))

    def put_on(self, partner: Partner, faults: Faults) -> Partner | None:
        """Change what the form says of a partner that is kept; None: it cannot be."""
        read = self.read(faults, taken=frozenset())
        if read is None:
            return None
        return replace(read, id=partner.id, rules=partner.rules, windows=partner.windows)


def _slug(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode()
    return _BETWEEN.sub("-", plain)[:_LONGEST_ID].strip("-") or "partner"


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedRule:
    """What was typed of a rule; `group` empty: of every group with no rule of its own."""

    texts: dict[str, str] = field(default_factory=lambda: dict(_USUAL_RULE))

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form."""
        return cls(texts={name: str(form.get(name, "")).strip()[:40] for name in _USUAL_RULE})

    def __str__(self) -> str:
        """Write all that was said, so that a form's key is not used for two things."""
        return f"rule {sorted(self.texts.items())}"

    def read(self, faults: Faults) -> AcceptanceRule | None:
        """Understand the form; None: what cannot be is noted."""
        group, takes = self.texts["group"], self.texts["takes"]
        if group and group not in GROUPS:
            faults["group"] = "fault-rule-group"
        if takes not in TAKES:
            faults["takes"] = "fault-rule-takes"
        days = whole_number(self.texts["days"] or "0")
        if days is None:
            faults["days"] = "fault-whole-number"
        said: dict[str, object] = {
            "group": group or None,
            "takes": takes != "none",
            "least_days_left": -(days or 0) if takes == "past" else days,
        }
        if self.texts["visit_kg"]:
            said["most_kg_per_visit"] = kilograms(self.texts["visit_kg"])
            if said["most_kg_per_visit"] is None:
                faults["visit_kg"] = "fault-kilograms"
        if self.texts["visit_units"]:
            said["most_units_per_visit"] = whole_number(self.texts["visit_units"])
            if said["most_units_per_visit"] is None:
                faults["visit_units"] = "fault-whole-number"
        return None if faults else _rule(said, faults)


_FIELDS: Final = {
    "least_days_left": "days",
    "most_kg_per_visit": "visit_kg",
    "most_units_per_visit": "visit_units",
}


def _rule(said: dict[str, object], faults: Faults) -> AcceptanceRule | None:
    try:
        return AcceptanceRuleIn.model_validate(said).rule()
    except ValidationError as refused:
        found: Faults = {}
        note(refused, found, of="a rule")
        faults.update({_FIELDS.get(name, name): what for name, what in found.items()})
        return None
