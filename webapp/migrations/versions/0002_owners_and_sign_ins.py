"""Add passphrase and permanent id of owners, sign-ins, pairings and counters."""

import hashlib

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

OWNED = ("device", "record", "revision", "photo_bytes")
# Set for one transaction by webapp.db; without it, no row can be read or written.
ACTING = "nullif(current_setting('secondnose.owner', true), '')::integer"


def upgrade() -> None:
    _widen_owner()
    op.create_table(
        "sign_in",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("token_hash", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("address", sa.Text, nullable=False),
        sa.Column("device", sa.Text),
        sa.Column("made_at", sa.BigInteger, nullable=False),
        sa.Column("last_seen", sa.BigInteger, nullable=False),
        sa.Column("ended_at", sa.BigInteger),
        sa.Column("ended_as", sa.Text),
        sa.PrimaryKeyConstraint("id", name="pk_sign_in"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_sign_in_owner_id"),
        sa.UniqueConstraint("token_hash", name="uq_sign_in_token_hash"),
    )
    op.create_index("ix_sign_in_owner_id", "sign_in", ["owner_id"])
    op.create_table(
        "pairing",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("secret_hash", sa.Text, nullable=False),
        sa.Column("until", sa.BigInteger, nullable=False),
        sa.Column("code", sa.Text),
        sa.Column("claim_hash", sa.Text),
        sa.Column("name", sa.Text),
        sa.Column("allowed", sa.Boolean(create_constraint=False), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_pairing"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_pairing_owner_id"),
        sa.UniqueConstraint("secret_hash", name="uq_pairing_secret_hash"),
        sa.UniqueConstraint("claim_hash", name="uq_pairing_claim_hash"),
    )
    op.create_index("ix_pairing_owner_id", "pairing", ["owner_id"])
    op.create_table(
        "tally",
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("used", sa.Integer, nullable=False),
        sa.Column("at_s", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_tally"),
    )
    if op.get_bind().dialect.name == "postgresql":
        _second_wall()


def _widen_owner() -> None:
    op.add_column("owner", sa.Column("uid", sa.Text))
    op.add_column("owner", sa.Column("passphrase", sa.Text))
    connection = op.get_bind()
    for id_, name in connection.execute(sa.text("SELECT id, name FROM owner")).all():
        uid = hashlib.sha256(f"secondnose owner {name}".encode()).hexdigest()[:20]
        told = {"uid": uid, "id": id_}
        connection.execute(sa.text("UPDATE owner SET uid = :uid WHERE id = :id"), told)
    with op.batch_alter_table("owner") as batch:
        batch.alter_column("uid", existing_type=sa.Text, nullable=False)
        batch.create_unique_constraint("uq_owner_uid", ["uid"])


def _second_wall() -> None:
    """Enable row-level security, also for the tables' owner: without an owner, no row is found."""
    for name in OWNED:
        op.execute(f"ALTER TABLE {name} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE {name} FORCE ROW LEVEL SECURITY")
        op.execute(
            f"CREATE POLICY own_book ON {name} "
            f"USING (owner_id = {ACTING}) WITH CHECK (owner_id = {ACTING})"
        )


def downgrade() -> None:
    if op.get_bind().dialect.name == "postgresql":
        for name in OWNED:
            op.execute(f"DROP POLICY own_book ON {name}")
            op.execute(f"ALTER TABLE {name} NO FORCE ROW LEVEL SECURITY")
            op.execute(f"ALTER TABLE {name} DISABLE ROW LEVEL SECURITY")
    for name in ("tally", "pairing", "sign_in"):
        op.drop_table(name)
    with op.batch_alter_table("owner") as batch:
        batch.drop_constraint("uq_owner_uid", type_="unique")
        batch.drop_column("passphrase")
        batch.drop_column("uid")
