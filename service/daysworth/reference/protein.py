"""Publish the protein allowances that needs are counted from, each row with its source.

Institute of Medicine, Dietary Reference Intakes for Energy, Carbohydrate, Fiber, Fat, Fatty Acids,
Cholesterol, Protein, and Amino Acids (2005): grams a day by age and sex; an adequate intake (AI)
under six months, recommended dietary allowances (RDA) from then on.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from daysworth.reference.life_stages import (
    AgeSpan,
    one_of,
    refuse_broken_spans,
    row_at,
    span_of_months,
    stated,
)
from daysworth.reference.rows import number, read_table

Maternity = Literal["pregnancy", "lactation"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProteinAllowance:
    """Protein in grams a day; `condition` is none, pregnancy or lactation, `kind` AI or RDA."""

    condition: str
    sex: str
    span: AgeSpan
    protein_g: float
    kind: str
    source: str


@cache
def protein_allowances() -> tuple[ProteinAllowance, ...]:
    """Read every allowance. Raises ReferenceDataError for a broken table."""
    filename = "protein_dri.csv"
    rows = read_table(filename, _protein_allowance)
    refuse_broken_spans(filename, (((row.condition, row.sex), row.span) for row in rows))
    return rows


def protein_allowance(months: int, *, sex: str) -> ProteinAllowance:
    """Find the allowance at an age in completed months, pregnancy and lactation aside.

    Raises LookupError for a sex other than "female" and "male".
    """
    rows = (row for row in protein_allowances() if (row.condition, row.sex) == ("none", sex))
    return row_at(rows, months=months)


def maternal_protein_g(condition: Maternity) -> float:
    """Give the allowance in pregnancy or lactation, grams a day, the same at every age."""
    return next(row.protein_g for row in protein_allowances() if row.condition == condition)


def _protein_allowance(row: Mapping[str, str]) -> ProteinAllowance:
    return ProteinAllowance(
        condition=one_of(row["condition"], "none", "pregnancy", "lactation"),
        sex=one_of(row["sex"], "female", "male"),
        span=span_of_months(row["from_months"], row["below_months"]),
        protein_g=number(row["protein_g"], most=200),
        kind=one_of(row["kind"], "AI", "RDA"),
        source=stated(row["source"]),
    )
