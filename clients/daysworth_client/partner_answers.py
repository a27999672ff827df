"""Name the parts of what a store tells of its partners, its promises, and what was given."""

from typing import TypedDict


class NextVisitPart(TypedDict):
    """One opening of a window to come; `opens_at` names it when something is promised for it."""

    opens_at: str
    words: str


class PlainChoicePart(TypedDict):
    """A rule as a plain choice; `nths` are 1 to 5, -1 the last of a month."""

    kind: str
    every: int
    weekdays: list[str]
    nths: list[int]
    month_days: list[int]


class OpeningPart(TypedDict):
    """When a window opens, in words and as a rule, and its next five visits."""

    words: str
    starts_at: str
    timezone: str
    rule: str | None
    choice: PlainChoicePart | None
    also_at: list[str]
    except_at: list[str]
    minutes: int
    open_months: list[int]
    next_visits: list[NextVisitPart]


class WindowPart(TypedDict):
    """A partner's window. Kilograms or units None: no bound."""

    id: str
    opening: OpeningPart
    most_kg: float | None
    most_units: int | None
    vehicle_kg: float | None
    notice_days: int
    driver: str
    appointment: str
    contact: str


class AcceptanceRulePart(TypedDict):
    """What a partner takes of a food group; `group` None: all without one."""

    group: str | None
    words: str
    takes: bool
    least_days_left: int
    most_kg_per_visit: float | None
    most_units_per_visit: int | None


class PartnerPart(TypedDict):
    """A partner, with all there is to know before something goes there."""

    id: str
    etag: str
    name: str
    is_nonprofit: bool
    law: str | None
    contact: str
    notes: str
    asks_read_label: bool
    rules: list[AcceptanceRulePart]
    without_rule: str | None
    windows: list[WindowPart]


class PromiseTotalsPart(TypedDict):
    """So many units, with their net grams and their kcal."""

    units: int
    mass_g: float
    energy_kcal: float


class PromiseInListPart(TypedDict):
    """A promise in a list; `went` None: it waits for its day."""

    id: str
    etag: str
    state: str
    state_words: str
    partner: str
    partner_name: str
    window: str
    opens_at: str
    visit_on: str
    words: str
    promised: PromiseTotalsPart
    went: PromiseTotalsPart | None


class PromiseLinePart(TypedDict):
    """Units of a lot that are promised; `went` None: it waits. `why` says why not all went."""

    lot: str
    food: str
    food_name: str
    units: int
    mass_g: float
    energy_kcal: float
    label_kind: str
    printed: str | None
    last_good_day: str | None
    went: int | None
    why: str | None


class PromisePlacePart(TypedDict):
    """What is taken from one place, by food and date; the places stand in walking order."""

    place: str
    place_name: str
    lines: list[PromiseLinePart]


class PromisePart(TypedDict):
    """A promise with its contents, place by place."""

    summary: PromiseInListPart
    driver: str
    appointment: str
    contact: str
    law: str | None
    made_at: str
    made_by: str
    ended_at: str | None
    ended_by: str | None
    handed_on: str | None
    why: str | None
    contents: list[PromisePlacePart]


class GivenFiguresPart(TypedDict):
    """What went: units, net grams, kcal, and its mass as meals by the published conversion."""

    units: int
    mass_g: float
    energy_kcal: float
    meals: float


class GivenMonthPart(TypedDict):
    """What went in one month, YYYY-MM, in how many hand-offs, or at how many rounds."""

    month: str
    times: int
    went: GivenFiguresPart


class GivenPartnerPart(TypedDict):
    """What went to one partner, month by month; one that is no longer there is told too."""

    partner: str
    partner_name: str
    hand_offs: int
    went: GivenFiguresPart
    months: list[GivenMonthPart]


class GivenAtRoundsPart(TypedDict):
    """What was given away at rounds, month by month, to whoever was named there."""

    rounds: int
    went: GivenFiguresPart
    months: list[GivenMonthPart]


class GivenAnswer(TypedDict):
    """What was given away from one day to another, both included."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    from_on: str
    to_on: str
    meals_words: str
    hand_offs: int
    to_partners: GivenFiguresPart
    months: list[GivenMonthPart]
    partners: list[GivenPartnerPart]
    at_rounds: GivenAtRoundsPart


class PartnersPagePart(TypedDict):
    """A page of the list of partners; `next` leads on to another."""

    items: list[PartnerPart]
    next: str | None


class PromisesPagePart(TypedDict):
    """A page of the list of promises; `next` leads on to another."""

    items: list[PromiseInListPart]
    next: str | None
