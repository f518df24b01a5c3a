"""Bind sign-ins to a browser's key and pairings to a sign-in; add account events and erased."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    op.add_column("sign_in", sa.Column("key_hash", sa.Text))
    op.add_column("sign_in", sa.Column("confirmed_at", sa.BigInteger))
    op.add_column("sign_in", sa.Column("events_seen", sa.Integer))
    op.add_column("pairing", sa.Column("sign_in_id", sa.Text))
    # The token of a sign-in without a key may be known to a server on another port of the host.
    op.execute(
        "UPDATE sign_in SET ended_at = last_seen, ended_as = 'upgrade' WHERE ended_at IS NULL"
    )
    # Offers last ten minutes, and the sign-in that made these is unknown.
    op.execute("DELETE FROM pairing")
    op.create_table(
        "account_event",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("sign_in_id", sa.Text),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("at_s", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_account_event"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_account_event_owner_id"),
    )
    op.create_index("ix_account_event_owner_id", "account_event", ["owner_id"])
    op.create_table(
        "erased",
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("at_s", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_erased"),
    )


def downgrade() -> None:
    op.drop_table("erased")
    op.drop_table("account_event")
    with op.batch_alter_table("pairing") as batch:
        batch.drop_column("sign_in_id")
    with op.batch_alter_table("sign_in") as batch:
        for name in ("events_seen", "confirmed_at", "key_hash"):
            batch.drop_column(name)
