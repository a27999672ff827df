"""Write answers by hand, as the client gets them in JSON."""

from collections.abc import Sequence

from daysworth_client.answers import (
    ClassMealsPart,
    ClassPart,
    CoverageAnswer,
    DietMixPart,
    FoodGainPart,
    HouseholdPart,
    LabelPart,
    LotPart,
    RoundPart,
    RunsOutPart,
    ScenarioPart,
    SetAsidePart,
    SpoilingLotPart,
    SpoilingPart,
    StepPart,
)
from daysworth_client.store_answers import NoticePart, StoreSummary, WaitingPart
from daysworth_client.suitability_answers import (
    EvidencePart,
    FindingPart,
    PackPart,
    WarningPart,
    WarningsAnswer,
)


def an_answer() -> CoverageAnswer:
    """Give a plain answer: two homes, fed for 2.96 and 5 days, held down by an egg allergy."""
    return {
        "question": "coverage",
        "release": "0.0.0",
        "store": "s",
        "store_name": "Elm Row",
        "version": 1,
        "as_of": "2026-11-05",
        "scenario": a_scenario(),
        "household_count": 2,
        "members": 3,
        "members_with_a_need": 3,
        "units_on_hand": 1_234,
        "mean_need_kcal": 2_000.0,
        "person_days": 12.96,
        "person_days_on_paper": 30.9,
        "members_days": 12.96,
        "everyone_fed_days": 2.96,
        "everyone_fed_at_least": False,
        "everyone_fed_days_if_unread_suit": 2.96,
        "labels_to_read": [],
        "everyone_fed_days_if_enough_to_drink": 2.96,
        "next_level_days": 5.0,
        "held_by": [a_class(1, "egg allergy")],
        "households": [a_home("H1", 2.96), a_home("H2", 5.0, members=2)],
        "classes": [a_class(1, "egg allergy"), a_class(2, "no restriction", days=5.0)],
        "water": {
            "stored_l": 100.0,
            "litres_a_day": 11.355,
            "days": 8.806693,
            "days_drinking_only": 17.613386,
            "overdue_l": 0.0,
            "overdue_days": 0.0,
        },
        "before_next_round": a_round([]),
        "set_aside": set_aside(),
        "where_the_days_go": the_steps(30.9, 28.0, 25.5, 20.0, 14.0, 12.96),
        "runs_out_first": [runs_out(1, "egg allergy")],
        "will_spoil": will_spoil(),
        "complete_meals": [meals_of(1, "egg allergy"), meals_of(2, "no restriction", meals=30.0)],
        "diet_mix": a_mix(),
        "cautions": [{"id": "c", "topic": "food", "text": "Read every label.", "source": "a book"}],
    }


def a_scenario() -> ScenarioPart:
    """Give the default scenario."""
    return {
        "heating": False,
        "running_water": False,
        "stock": "shared",
        "places_lost": [],
        "households_away": [],
        "basis": "reference",
        "ration": 1.0,
        "horizon_days": 180,
    }


def a_class(members: int, need: str, *, days: float = 2.96) -> ClassPart:
    """Give one eating class."""
    return {"members": members, "need": need, "days": days, "at_least": False}


def a_home(
    name: str, days: float | None, *, members: int = 1, at_least: bool = False
) -> HouseholdPart:
    """Give one household's days."""
    return {"household": name, "members": members, "days": days, "at_least": at_least}


def a_lot(
    food: str, *, units: int = 1, place: str = "Hall", day: str | None = "2027-02-03"
) -> LotPart:
    """Give one lot on a list."""
    return {"lot": "L1", "food": food, "units": units, "place": place, "last_good_day": day}


def a_round(lots: list[LotPart], *, day: str | None = "2027-03-01") -> RoundPart:
    """Give what passes its date before the next round."""
    units = sum(lot["units"] for lot in lots)
    return {"next_round_day": day, "units": units, "energy_kcal": 0.0, "lots": lots}


def set_aside() -> SetAsidePart:
    """Give a store in which nothing is set aside."""
    return {"past": [], "undated": [], "damaged": [], "quarantined": []}


def the_steps(*person_days: float) -> list[StepPart]:
    """Give the steps from all food on paper to the fair shares, by their person-days."""
    names = ("on_paper", "usable", "in_date", "balanced", "suitable", "fair")
    return [
        {"step": step, "person_days": days, "at_most": False}
        for step, days in zip(names, person_days, strict=True)
    ]


def runs_out(
    members: int, need: str, *, foods: Sequence[FoodGainPart] = (), **without: float
) -> RunsOutPart:
    """Give a group fed for 2.96 days, and its days without the limits that are named."""
    held = {"extras": 2.96, "protein": 2.96, "water": 2.96, "dates": 2.96} | without
    return {
        "members": members,
        "need": need,
        "days": 2.96,
        "days_without": {
            "extras": held["extras"],
            "protein": held["protein"],
            "water": held["water"],
            "dates": held["dates"],
        },
        "foods": list(foods),
    }


def a_gain(food: str, days: float, *, only_if_label_suits: bool = False) -> FoodGainPart:
    """Give a food, and the days that one pack of it adds."""
    return {
        "food": "F2",
        "food_name": food,
        "unit_kcal": 400.0,
        "days": days,
        "only_if_label_suits": only_if_label_suits,
    }


def a_mix() -> DietMixPart:
    """Give what the food is made of, every figure known."""
    return {
        "energy_kcal": 26_000.0,
        "protein_share": 0.142,
        "protein_share_planned": [0.1, 0.12],
        "fat_share": 0.241,
        "fat_share_planned": 0.17,
        "planned_source": "a handbook",
        "sodium_mg_per_person_day": 3_120.4,
        "sodium_mg_limit": 2_300.0,
        "sodium_limit_source": "a book of limits",
        "energy_without_fat_figure_share": 0.0,
        "energy_without_sodium_figure_share": 0.0,
    }


def will_spoil(
    *lots: SpoilingLotPart, person_days: float = 0.0, at_least: bool = False
) -> SpoilingPart:
    """Give what spoils uneaten."""
    return {
        "energy_kcal": person_days * 2_000.0,
        "person_days": person_days,
        "at_least": at_least,
        "lots": list(lots),
    }


def spoiled(
    food: str, *, units: float = 1.0, place: str = "Hall", day: str = "2026-12-03"
) -> SpoilingLotPart:
    """Give a lot of which some spoils."""
    return {
        "lot": "L5",
        "food": food,
        "units": units,
        "place": place,
        "last_good_day": day,
        "energy_kcal": 1.0,
        "kept_by": None,
    }


def meals_of(
    members: int, need: str, *, meals: float = 9.0, scarcest: str | None = "protein"
) -> ClassMealsPart:
    """Give the complete meals of one group."""
    return {"members": members, "need": need, "person_meals": meals, "scarcest": scarcest}


def a_waiting_lot(words: str, *, units: int = 1, place: str = "Hall") -> WaitingPart:
    """Give one lot that nobody has yet said what it is."""
    return {"lot": "L9", "words": words, "units": units, "place": place}


def a_summary(*waiting: WaitingPart) -> StoreSummary:
    """Give a store's summary: the plain answer, and what waits."""
    return {"coverage": an_answer(), "waiting": list(waiting)}


def a_notice() -> NoticePart:
    """Give the notice of one week, with letters beyond ASCII in all its words."""
    return {
        "id": "elm-row-2026-W48",
        "week": "2026-W48",
        "from_day": "2026-11-23",
        "to_day": "2026-11-29",
        "store": "elm-row",
        "store_name": "Ulmenstraße Süd",
        "version": 7,
        "as_of": "2026-11-24",
        "made_at": "2026-11-24T06:00:00+00:00",
        "subject": "Ulmenstraße Süd: 9 days for everyone",
        "text": "Everyone is fed for 9 days.\n\nDue in Küche 2: 4 × beans.\n",
        "html": "<!doctype html><p>Everyone is fed for 9 days.</p><p>Küche 2: 4 × beans.</p>",
    }


def a_label(food: str, *, days: float, units: int = 6) -> LabelPart:
    """Give one label to read first."""
    return {
        "food": "F1",
        "food_name": food,
        "units": units,
        "energy_kcal": 900.0,
        "was_read": False,
        "everyone_fed_days_if_it_suits": days,
        "lots": [],
    }


def warnings_of(*warnings: WarningPart) -> WarningsAnswer:
    """Give a household's warnings: one that must not have peanuts."""
    return {
        "store": "s",
        "store_name": "Elm Row",
        "version": 1,
        "as_of": "2026-11-05",
        "household": "H1",
        "needs": ["peanut allergy"],
        "must_not_contain": ["peanut"],
        "notes": [],
        "unsuitable": sum(one["verdict"] == "unsuitable" for one in warnings),
        "unknown": sum(one["verdict"] == "unknown" for one in warnings),
        "to_be_read": sum(not one["was_read"] for one in warnings),
        "suitable": [{"food": "F7", "food_name": "Rice", "units": 12}],
        "ask_care_team": [],
        "warnings": list(warnings),
        "cautions": [{"id": "c", "topic": "food", "text": "Read every label.", "source": "a book"}],
    }


def a_warning(
    food: str, *findings: FindingPart, verdict: str = "unsuitable", was_read: bool = True
) -> WarningPart:
    """Give one warning: six packs in the hall, nothing to give instead."""
    return {
        "warning": "0" * 32,
        "verdict": verdict,
        "food": "F1",
        "food_name": food,
        "units": 6,
        "was_read": was_read,
        "findings": list(findings),
        "lots": [a_pack(food)],
        "instead": None,
        "acknowledged": None,
    }


def a_finding(
    words: str, *evidence: EvidencePart, verdict: str = "unsuitable", binds_home: bool = True
) -> FindingPart:
    """Give one finding on a peanut allergy, for two members."""
    return {
        "need": "peanut allergy",
        "verdict": verdict,
        "words": words,
        "binds_home": binds_home,
        "members": ["a", "b"],
        "evidence": list(evidence),
    }


def a_pack(food: str, *, place: str = "Hall") -> PackPart:
    """Give one lot of six packs."""
    return {
        "lot": "L1",
        "food": "F1",
        "food_name": food,
        "place": place,
        "units": 6,
        "last_good_day": "2027-02-03",
    }
