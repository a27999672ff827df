"""Write a store's partners as plain text, 80 columns wide: when each receives, what it takes."""

from collections.abc import Iterator, Sequence

from daysworth_client.figures import count, one_line
from daysworth_client.kit_lines import put_together
from daysworth_client.partner_answers import PartnerPart, WindowPart
from daysworth_client.summary_lines import wrapped


def partners_text(partners: Sequence[PartnerPart]) -> str:
    """Write partners for reading, by name: each window in words with its next dates."""
    if not partners:
        return "No partner is here yet: nobody to give to.\n"
    ordered = sorted(partners, key=lambda one: (one["name"].casefold(), one["id"]))
    return put_together(
        iter([f"{count(len(partners), 'partner')} that take what this store can spare"]),
        *(partner_lines(one) for one in ordered),
    )


def partner_lines(one: PartnerPart) -> Iterator[str]:
    """Write a partner: its windows, then what it takes, then what else there is to know."""
    yield from wrapped(f"{one_line(one['name'])} ({one_line(one['id'])})")
    for window in one["windows"]:
        yield from _window(window)
    if not one["windows"]:
        yield "  It has no window: nothing can be promised to it."
    for rule in sorted(one["rules"], key=lambda each: each["group"] is None):
        yield from _said(rule["words"])
    if one["without_rule"] is not None:
        yield from _said(one["without_rule"])
    if one["asks_read_label"]:
        yield from _said("Takes only what has had its whole label read here")
    for said in (one["contact"], one["notes"], one["law"] or ""):
        if said:
            yield from _said(said)


def _window(window: WindowPart) -> Iterator[str]:
    opening = window["opening"]
    yield from _said(opening["words"])
    yield from wrapped("; ".join(_bounds(window)) + ".", indent="    ")
    visits = "; ".join(one_line(one["words"]) for one in opening["next_visits"])
    yield from wrapped(f"Next: {visits or 'none'}.", indent="    ", hanging="      ")


def _bounds(window: WindowPart) -> Iterator[str]:
    bounds = []
    if window["most_kg"] is not None:
        bounds.append(f"{window['most_kg']:g} kg")
    if window["most_units"] is not None:
        bounds.append(count(window["most_units"], "unit"))
    yield f"At most {' and '.join(bounds)} a visit" if bounds else "As much as there is"
    if window["vehicle_kg"] is not None:
        yield f"our vehicle carries {window['vehicle_kg']:g} kg"
    days = window["notice_days"]
    yield "no notice is needed" if days == 0 else f"promise it {count(days, 'day')} before"
    for said in (window["driver"], window["appointment"], window["contact"]):
        if said:
            yield one_line(said)


def _said(words: str) -> Iterator[str]:
    said = f"{words[:1].upper()}{words[1:].rstrip('.')}."
    yield from wrapped(one_line(said), indent="  ", hanging="    ")
