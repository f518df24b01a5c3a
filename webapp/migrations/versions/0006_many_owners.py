"""Indexes for many owners: names without case, the numbers of a day, and old counters."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

SEQ = "seq/"


def upgrade() -> None:
    op.add_column("owner", sa.Column("folded_name", sa.Text, nullable=False, server_default=""))
    op.create_index("ix_owner_folded_name", "owner", ["folded_name"])
    op.create_table(
        "daily_seq",
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("day", sa.BigInteger, nullable=False),
        sa.Column("seq", sa.BigInteger, nullable=False),
        sa.Column("at_s", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("owner_id", "day", name="pk_daily_seq"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_daily_seq_owner_id"),
    )
    op.create_index("ix_tally_at_s", "tally", ["at_s"])
    _fold_names()
    _move(_daily_of_tally())


def _fold_names() -> None:
    owner = sa.table("owner", sa.column("id"), sa.column("name"), sa.column("folded_name"))
    rows = op.get_bind().execute(sa.select(owner.c.id, owner.c.name)).all()
    for id_, name in rows:
        # Python's folding, because SQLite knows no letters but those of ASCII.
        op.execute(owner.update().where(owner.c.id == id_).values(folded_name=name.casefold()))


def _daily_of_tally() -> list[dict[str, int]]:
    """Return the rows of the new table; those of erased owners are left out."""
    tally, owner = _tally(), sa.table("owner", sa.column("id"))
    bind = op.get_bind()
    known = {*bind.scalars(sa.select(owner.c.id))}
    found = []
    for key, used, at_s in bind.execute(sa.select(tally).where(tally.c.key.startswith(SEQ))):
        owner_id, day = map(int, key.removeprefix(SEQ).split("/"))
        if owner_id in known:
            found.append({"owner_id": owner_id, "day": day, "seq": used, "at_s": at_s})
    return found


def _move(rows: list[dict[str, int]]) -> None:
    if rows:
        op.bulk_insert(_daily(), rows)
    tally = _tally()
    op.execute(tally.delete().where(tally.c.key.startswith(SEQ)))


def _tally() -> sa.TableClause:
    return sa.table("tally", sa.column("key"), sa.column("used"), sa.column("at_s"))


def _daily() -> sa.TableClause:
    return sa.table(
        "daily_seq", sa.column("owner_id"), sa.column("day"), sa.column("seq"), sa.column("at_s")
    )


def downgrade() -> None:
    rows = op.get_bind().execute(sa.select(_daily())).all()
    if rows:
        keyed = [
            {"key": f"{SEQ}{owner_id}/{day}", "used": seq, "at_s": at_s}
            for owner_id, day, seq, at_s in rows
        ]
        op.bulk_insert(_tally(), keyed)
    op.drop_index("ix_tally_at_s", "tally")
    op.drop_table("daily_seq")
    op.drop_index("ix_owner_folded_name", "owner")
    with op.batch_alter_table("owner") as batch:
        batch.drop_column("folded_name")
