"""Write partners and promises as a store would, for claims about how they are told."""

from daysworth_client.partner_answers import (
    AcceptanceRulePart,
    PartnerPart,
    PromiseInListPart,
    PromiseTotalsPart,
    WindowPart,
)


def a_partner(id_: str, name: str, *, has_window: bool = True) -> PartnerPart:
    """Give a partner that receives on Tuesdays, as much as 20 kg and 40 units."""
    return {
        "id": id_,
        "etag": '"r1"',
        "name": name,
        "is_nonprofit": True,
        "law": None,
        "contact": "The side door",
        "notes": "",
        "asks_read_label": True,
        "rules": [
            _rule(None, "everything else: with at least 14 days left"),
            _rule("sweets", "sweets: none of it"),
        ],
        "without_rule": None,
        "windows": [_window()] if has_window else [],
    }


def _rule(group: str | None, words: str) -> AcceptanceRulePart:
    return {
        "group": group,
        "words": words,
        "takes": group is None,
        "least_days_left": 14 if group is None else 0,
        "most_kg_per_visit": None,
        "most_units_per_visit": None,
    }


def _window() -> WindowPart:
    opens_at, words = "2026-12-01T09:00", "Tuesday 1 December 2026, 09:00 to 11:00"
    return {
        "id": "tuesdays",
        "opening": {
            "words": "every Tuesday at 09:00, for 2 hours (America/Chicago)",
            "starts_at": "2026-11-03T09:00",
            "timezone": "America/Chicago",
            "rule": "FREQ=WEEKLY;BYDAY=TU",
            "choice": None,
            "also_at": [],
            "except_at": [],
            "minutes": 120,
            "open_months": list(range(1, 13)),
            "next_visits": [{"opens_at": opens_at, "words": words}],
        },
        "most_kg": 20.0,
        "most_units": 40,
        "vehicle_kg": 12.5,
        "notice_days": 1,
        "driver": "Whoever is on the rota",
        "appointment": "",
        "contact": "",
    }


def a_promise(id_: str, *, state: str = "open", went: int | None = None) -> PromiseInListPart:
    """Give a promise of ten units of 400 g."""
    return {
        "id": id_,
        "etag": '"r1"',
        "state": state,
        "state_words": "it waits for its day" if went is None else "some of it went",
        "partner": "P-1",
        "partner_name": "Millrace Kitchen",
        "window": "tuesdays",
        "opens_at": "2026-12-01T09:00",
        "visit_on": "2026-12-01",
        "words": "Tuesday 1 December 2026, 09:00 to 11:00",
        "promised": _totals(10),
        "went": None if went is None else _totals(went),
    }


def _totals(units: int) -> PromiseTotalsPart:
    return {"units": units, "mass_g": units * 400.0, "energy_kcal": units * 350.0}
