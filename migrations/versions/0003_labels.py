"""Labels: readings beside one another and who made them, more restrictions, acknowledgements."""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op

revision = "0003_labels"
down_revision = "0002_first_hands"
branch_labels = None
depends_on = None

ONE_THING = (
    "(CASE WHEN allergy IS NULL THEN 0 ELSE 1 END) + (CASE WHEN diet IS NULL THEN 0 ELSE 1 END)"
    " + (CASE WHEN words IS NULL THEN 0 ELSE 1 END)"
    " + (CASE WHEN formula IS NULL THEN 0 ELSE 1 END) = 1"
)
ALLERGY_OR_DIET = "(allergy IS NULL) <> (diet IS NULL)"
KEPT_BEFORE = ("store", "member", "position", "allergy", "diet", "reach", "accepts_may_contain")
ROWS_AT_ONCE = 500

Reading = dict[str, list[str]]
"""The lists of a reading; what else it has is of no matter here."""


def upgrade() -> None:
    """Bring the tables up."""
    _foods_and_members()
    _restrictions_up()
    _acknowledgements()
    op.add_column("lot", sa.Column("read_by", sa.String(), nullable=True))
    _rewrite_readings(is_up=True)


def downgrade() -> None:
    """Take the tables down."""
    _rewrite_readings(is_up=False)
    op.drop_column("lot", "read_by")
    op.drop_table("acknowledgement")
    _restrictions_down()
    op.drop_column("member", "dislikes")
    for name in ("is_choking_hazard", "formula", "regime"):
        op.drop_column("food", name)


def _is_postgresql() -> bool:
    return op.get_bind().dialect.name == "postgresql"


def _foods_and_members() -> None:
    """Add what is known of foods, and what members do not like."""
    op.add_column("food", sa.Column("regime", sa.String(), nullable=True))
    op.add_column("food", sa.Column("formula", sa.String(), nullable=True))
    op.add_column("food", _no_before("is_choking_hazard"))
    op.add_column("member", sa.Column("dislikes", sa.String(), nullable=True))


def _no_before(name: str) -> sa.Column[bool]:
    return sa.Column(name, sa.Boolean(), server_default=sa.false(), nullable=False)


# --- restrictions: SQLite changes no CHECK of a table that is there, so it gets another table ---


def _restrictions_up() -> None:
    added = (
        sa.Column("words", sa.String(), nullable=True),
        sa.Column("formula", sa.String(), nullable=True),
        sa.Column("level", sa.String(), nullable=True),
        _no_before("is_excluding"),
    )
    if not _is_postgresql():
        _restrictions_anew(added, name="one_thing", check=ONE_THING)
        return
    for column in added:
        op.add_column("restriction", column)
    op.drop_constraint(op.f("ck_restriction_allergy_or_diet"), "restriction", type_="check")
    op.create_check_constraint(op.f("ck_restriction_one_thing"), "restriction", ONE_THING)


def _restrictions_down() -> None:
    with _every_store("restriction"):
        op.execute("DELETE FROM restriction WHERE allergy IS NULL AND diet IS NULL")
    if not _is_postgresql():
        _restrictions_anew((), name="allergy_or_diet", check=ALLERGY_OR_DIET)
        return
    op.drop_constraint(op.f("ck_restriction_one_thing"), "restriction", type_="check")
    for name in ("is_excluding", "level", "formula", "words"):
        op.drop_column("restriction", name)
    op.create_check_constraint(
        op.f("ck_restriction_allergy_or_diet"), "restriction", ALLERGY_OR_DIET
    )


def _restrictions_anew(added: Sequence[sa.Column[bool]], *, name: str, check: str) -> None:
    op.create_table(
        "restriction_anew",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("member", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("allergy", sa.String(), nullable=True),
        sa.Column("diet", sa.String(), nullable=True),
        sa.Column("reach", sa.String(), nullable=True),
        sa.Column("accepts_may_contain", sa.Boolean(), nullable=False),
        *added,
        sa.CheckConstraint(check, name=op.f(f"ck_restriction_{name}")),
        sa.ForeignKeyConstraint(
            ["store", "member"],
            ["member.store", "member.id"],
            name="fk_restriction_store_member",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("store", "member", "position", name="pk_restriction"),
    )
    columns = ", ".join(KEPT_BEFORE)
    op.execute(f"INSERT INTO restriction_anew ({columns}) SELECT {columns} FROM restriction")
    op.drop_table("restriction")
    op.rename_table("restriction_anew", "restriction")


# --- acknowledgements ---


def _acknowledgements() -> None:
    op.create_table(
        "acknowledgement",
        sa.Column("store", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("household", sa.String(), nullable=False),
        sa.Column("warning", sa.String(), nullable=False),
        sa.Column("food", sa.String(), nullable=True),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("credential", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["store", "household"],
            ["household.store", "household.id"],
            name="fk_acknowledgement_store_household",
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["store"], ["store.id"], name="fk_acknowledgement_store"),
        sa.PrimaryKeyConstraint("store", "id", name="pk_acknowledgement"),
        sa.UniqueConstraint(
            "store", "household", "warning", name="uq_acknowledgement_store_household_warning"
        ),
    )
    if _is_postgresql():
        op.execute("ALTER TABLE acknowledgement ENABLE ROW LEVEL SECURITY")
        op.execute("ALTER TABLE acknowledgement FORCE ROW LEVEL SECURITY")
        op.execute(
            "CREATE POLICY of_its_store ON acknowledgement"
            " USING (store = current_setting('daysworth.store', true))"
        )


# --- readings: one, and what it was free from; or those that stand ---


@contextmanager
def _every_store(table: str) -> Iterator[None]:
    """Let a block see every store's rows, which row security hides from the tables' owner too."""
    if _is_postgresql():
        op.execute(f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY")
    yield
    if _is_postgresql():
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")


def _rewrite_readings(*, is_up: bool) -> None:
    changed = sa.text("UPDATE lot SET reading = :reading WHERE store = :store AND id = :id")
    with _every_store("lot"):
        for some in _lots_read(is_up=is_up):
            op.get_bind().execute(changed, some)


def _lots_read(*, is_up: bool) -> Iterator[list[dict[str, str]]]:
    rows = op.get_bind().execute(
        sa.text("SELECT store, id, reading, read_by FROM lot WHERE reading IS NOT NULL")
    )
    changed = [
        {
            "store": row.store,
            "id": row.id,
            "reading": _in_a_list(row.reading) if is_up else _as_one(row.reading, row.read_by),
        }
        for row in rows
    ]
    for first in range(0, len(changed), ROWS_AT_ONCE):
        yield changed[first : first + ROWS_AT_ONCE]


def _in_a_list(kept: str) -> str:
    """Write an old reading as the one that stands; what it was free from is a claim from now on.

    An old one could say both that it has a thing and that it is free from it: it has it.
    """
    reading: Reading = json.loads(kept)
    found = {*reading.get("contains", ()), *reading.get("may_contain", ())}
    reading["free_from"] = [one for one in reading.get("free_from", ()) if one not in found]
    said = {name: sorted(words) for name, words in reading.items() if words}
    return json.dumps([said], sort_keys=True, separators=(",", ":"))


def _as_one(kept: str, read_by: str | None) -> str:
    """Write the readings that stand as one old reading, the strictest of all.

    There, to be free from a thing is proof. A claim is none: only what was looked for in a whole
    label goes into it, and what an old reading, which nobody signs, had in it.
    """
    readings: list[Reading] = json.loads(kept)
    signed = json.loads(read_by) if read_by is not None else [None] * len(readings)
    contains = {word for one in readings for word in one.get("contains", ())}
    may_contain = {word for one in readings for word in one.get("may_contain", ())}
    proven = [
        set(one.get("not_declared", ()) if one.get("is_whole") else ())
        | set(() if by else one.get("free_from", ()))
        for one, by in zip(readings, signed, strict=True)
    ]
    free_from = set.intersection(*proven) - contains - may_contain
    written = {"contains": contains, "may_contain": may_contain, "free_from": free_from}
    return json.dumps({name: sorted(words) for name, words in written.items()})
