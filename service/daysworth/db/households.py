"""Keep households and their members: who they are is here and in no snapshot."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Row, delete, func, insert, select, update

from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.people_kept import (
    Kept,
    member_from,
    member_values,
    restriction_from,
    restriction_values,
)
from daysworth.db.tables import HOUSEHOLD, MEMBER, RESTRICTION, STORE
from daysworth.db.transactions import Reading, Writing, new_id
from daysworth.domain.errors import Fault, FieldsRefused, NotAsItWas, NotThere, StockRefused
from daysworth.domain.identifiers import HouseholdId, MemberId
from daysworth.domain.people import Member
from daysworth.domain.restrictions import Restriction

MOST_MEMBERS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptMember:
    """A member as kept: the facts that plans need, and what the household calls them."""

    facts: Member
    name: str | None
    revision: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptHousehold:
    """A household as it is kept. Volunteers who pack see its parcel number and nothing else."""

    id: HouseholdId
    name: str
    parcel_number: int
    pets: int
    revision: int
    members: tuple[KeptMember, ...]


def new_member_id() -> MemberId:
    """Make an id for a member."""
    return MemberId(new_id("M"))


def check_birth(writing: Writing, member: KeptMember, *, where: str = "") -> None:
    """Raise FieldsRefused where a member is not born yet, by the store's own calendar.

    `where` says which member it is, where there is more than one.
    """
    if member.facts.born_on is not None and member.facts.born_on > writing.today:
        raise FieldsRefused((Fault(f"{where}born_on", "is after today"),))


def add_household(
    writing: Writing, *, name: str, pets: int, members: Sequence[KeptMember]
) -> KeptHousehold:
    """Add a household with its members, and give it the next parcel number."""
    given = (
        update(STORE)
        .where(STORE.c.id == writing.store)
        .values(last_parcel_number=STORE.c.last_parcel_number + 1)
    )
    number = writing.connection.execute(given.returning(STORE.c.last_parcel_number)).scalar_one()
    household = HouseholdId(new_id("H"))
    values = {"id": household, "name": name, "parcel_number": number, "pets": pets}
    writing.connection.execute(insert(HOUSEHOLD).values(store=writing.store, revision=1, **values))
    for position, member in enumerate(members):
        _insert(writing, household, member=member, position=position)
    return read_household(writing, household)


def read_household(reading: Reading | Writing, household: HouseholdId) -> KeptHousehold:
    """Read a household with its members. Raises NotThere."""
    chosen = select(HOUSEHOLD).where(
        HOUSEHOLD.c.store == reading.store, HOUSEHOLD.c.id == household
    )
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise NotThere(f"there is no household {household!r} in this store")
    return _households(reading, [row])[0]


def list_households(reading: Reading, *, after: str, limit: int) -> Page[KeptHousehold]:
    """List households by id, those after a given one."""
    chosen = select(HOUSEHOLD).where(HOUSEHOLD.c.store == reading.store, HOUSEHOLD.c.id > after)
    rows = reading.connection.execute(chosen.order_by(HOUSEHOLD.c.id).limit(limit + 1)).all()
    found = _households(reading, rows)
    return page_of(found, keys=[one.id for one in found], limit=limit)


def household_names(reading: Reading) -> dict[HouseholdId, tuple[int, str]]:
    """Give each household's parcel number and name: nothing of who is in it."""
    chosen = select(HOUSEHOLD.c.id, HOUSEHOLD.c.parcel_number, HOUSEHOLD.c.name)
    rows = reading.connection.execute(chosen.where(HOUSEHOLD.c.store == reading.store))
    return {HouseholdId(row.id): (row.parcel_number, row.name) for row in rows}


def list_parcels(reading: Reading, *, after: int, limit: int) -> Page[KeptHousehold]:
    """List households by parcel number, those after a given one."""
    chosen = select(HOUSEHOLD).where(
        HOUSEHOLD.c.store == reading.store, HOUSEHOLD.c.parcel_number > after
    )
    rows = reading.connection.execute(
        chosen.order_by(HOUSEHOLD.c.parcel_number).limit(limit + 1)
    ).all()
    keys = [str(row.parcel_number) for row in rows]
    return page_of(_households(reading, rows), keys=keys, limit=limit)


def change_household(
    writing: Writing, household: HouseholdId, *, name: str, pets: int, if_revision: int
) -> KeptHousehold:
    """Change a household's name and pets. Raises NotThere, NotAsItWas."""
    check_household(read_household(writing, household), if_revision)
    _raise_revision(writing, household, name=name, pets=pets)
    return read_household(writing, household)


def add_member(writing: Writing, household: HouseholdId, *, member: KeptMember) -> KeptMember:
    """Add a member to a household. Raises NotThere, StockRefused where it is full."""
    kept = read_household(writing, household)
    if len(kept.members) >= MOST_MEMBERS:
        raise StockRefused(f"a household has at most {MOST_MEMBERS} members")
    last = select(func.max(MEMBER.c.position)).where(
        MEMBER.c.store == writing.store, MEMBER.c.household == household
    )
    position = (writing.connection.execute(last).scalar() or 0) + 1
    _insert(writing, household, member=member, position=position)
    _raise_revision(writing, household)
    return member


def read_member(
    reading: Reading | Writing, household: HouseholdId, *, member: MemberId
) -> KeptMember:
    """Read a member of a household. Raises NotThere."""
    for kept in read_household(reading, household).members:
        if kept.facts.id == member:
            return kept
    raise NotThere(f"there is no member {member!r} in this household")


def change_member(
    writing: Writing, household: HouseholdId, *, member: KeptMember, if_revision: int
) -> KeptMember:
    """Put a member's new facts for the old ones. Raises NotThere, NotAsItWas."""
    id_ = member.facts.id
    kept = read_member(writing, household, member=id_)
    if kept.revision != if_revision:
        raise NotAsItWas(f"member {id_!r} was changed since you looked: look again")
    values = {**member_values(member.facts), "name": member.name, "revision": if_revision + 1}
    writing.connection.execute(
        update(MEMBER).where(MEMBER.c.store == writing.store, MEMBER.c.id == id_).values(values)
    )
    writing.connection.execute(
        delete(RESTRICTION).where(RESTRICTION.c.store == writing.store, RESTRICTION.c.member == id_)
    )
    _insert_restrictions(writing, member.facts)
    _raise_revision(writing, household)
    return read_member(writing, household, member=id_)


def remove_member(
    writing: Writing, household: HouseholdId, *, member: MemberId, if_revision: int
) -> None:
    """Take a member out of a household. Raises NotThere, NotAsItWas, StockRefused for the last."""
    kept = read_member(writing, household, member=member)
    if kept.revision != if_revision:
        raise NotAsItWas(f"member {member!r} was changed since you looked: look again")
    if len(read_household(writing, household).members) == 1:
        raise StockRefused("this is the last member: remove the household instead")
    writing.connection.execute(
        delete(MEMBER).where(MEMBER.c.store == writing.store, MEMBER.c.id == member)
    )
    _raise_revision(writing, household)


def check_household(kept: KeptHousehold, if_revision: int) -> None:
    """Raise NotAsItWas where a household is not at the revision that the asker saw."""
    if kept.revision != if_revision:
        raise NotAsItWas(f"household {kept.id!r} was changed since you looked: look again")


def _raise_revision(writing: Writing, household: HouseholdId, **values: str | int) -> None:
    writing.connection.execute(
        update(HOUSEHOLD)
        .where(HOUSEHOLD.c.store == writing.store, HOUSEHOLD.c.id == household)
        .values(revision=HOUSEHOLD.c.revision + 1, **values)
    )


def _insert(writing: Writing, household: HouseholdId, *, member: KeptMember, position: int) -> None:
    values = {**member_values(member.facts), "name": member.name, "position": position}
    writing.connection.execute(
        insert(MEMBER).values(store=writing.store, household=household, revision=1, **values)
    )
    _insert_restrictions(writing, member.facts)


def _insert_restrictions(writing: Writing, member: Member) -> None:
    rows = [
        {"store": writing.store, "member": member.id, **values}
        for values in restriction_values(member.restrictions)
    ]
    if rows:
        writing.connection.execute(insert(RESTRICTION), rows)


def _households(
    reading: Reading | Writing, rows: Sequence[Row[tuple[Kept, ...]]]
) -> list[KeptHousehold]:
    members = members_of(reading, [row.id for row in rows])
    return [
        KeptHousehold(
            id=HouseholdId(row.id),
            name=row.name,
            parcel_number=row.parcel_number,
            pets=row.pets,
            revision=row.revision,
            members=tuple(members[row.id]),
        )
        for row in rows
    ]


def members_of(
    reading: Reading | Writing, households: Iterable[str]
) -> dict[str, list[KeptMember]]:
    """Give the members of some households, by household, in their order."""
    chosen = (
        select(MEMBER)
        .where(MEMBER.c.store == reading.store, MEMBER.c.household.in_(list(households)))
        .order_by(MEMBER.c.position)
    )
    rows = reading.connection.execute(chosen).all()
    restrictions = _restrictions(reading, [row.id for row in rows])
    found: dict[str, list[KeptMember]] = defaultdict(list)
    for row in rows:
        facts = member_from(row, restrictions[row.id])
        found[row.household].append(KeptMember(facts=facts, name=row.name, revision=row.revision))
    return found


def _restrictions(
    reading: Reading | Writing, members: Iterable[str]
) -> dict[str, list[Restriction]]:
    chosen = (
        select(RESTRICTION)
        .where(RESTRICTION.c.store == reading.store, RESTRICTION.c.member.in_(list(members)))
        .order_by(RESTRICTION.c.position)
    )
    found: dict[str, list[Restriction]] = defaultdict(list)
    for row in reading.connection.execute(chosen):
        found[row.member].append(restriction_from(row))
    return found
