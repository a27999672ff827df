"""Write kits and records of rounds as a store would, for claims about how they are told."""

from daysworth_client.kit_answers import KitInListPart
from daysworth_client.round_answers import OutcomeTotalPart, RoundRecordPart, RoundsAnswer


def a_kit(
    id_: str,
    pull_by_day: str | None,
    *,
    name: str = "Beef stew and crackers",
    place: str = "hall",
    parcel_number: int | None = None,
    changed_since_packing: bool = False,
) -> KitInListPart:
    """Give a closed kit for 4, of two kilograms."""
    return {
        "id": id_,
        "etag": '"r1"',
        "name": name,
        "state": "closed",
        "place": place,
        "place_name": f"The {place}",
        "persons": 4,
        "household": None,
        "parcel_number": parcel_number,
        "pattern": None,
        "packed_on": "2026-10-01",
        "ended_at": None,
        "pull_by_day": pull_by_day,
        "mass_g": 2_000.0,
        "energy_kcal": 2_400.0,
        "needs_opener": True,
        "changed_since_packing": changed_since_packing,
    }


def _total(units: int) -> OutcomeTotalPart:
    return {"units": units, "mass_g": units * 400.0, "energy_kcal": units * 350.0}


def a_record(round_on: str, share: float | None) -> RoundRecordPart:
    """Give a round's record, of which this share of the mass was thrown away."""
    nothing = share is None
    return {
        "round_on": round_on,
        "pulled": _total(0 if nothing else 100),
        "eaten": _total(0 if nothing else 60),
        "given": _total(0 if nothing else 30),
        "discarded": _total(0 if nothing else 10),
        "unpacked": _total(4),
        "discarded_share": share,
        "round_before_on": None,
        "discarded_share_before": None,
        "discarded_share_change": None,
        "words": "40 kg pulled",
    }


def some_rounds(*records: RoundRecordPart) -> RoundsAnswer:
    """Give the rounds of a store with these records."""
    return {
        "store": "s",
        "version": 7,
        "as_of": "2026-11-25",
        "rounds_rule": "FREQ=YEARLY;BYMONTH=3,9;BYMONTHDAY=1",
        "latest_on": "2026-09-01",
        "coming": ["2027-03-01", "2027-09-01", "2028-03-01"],
        "records": list(records),
    }
