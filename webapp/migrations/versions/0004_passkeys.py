"""Passkeys as a second way in, their challenges, and which sign-in was started with one."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    op.add_column("sign_in", sa.Column("passkey", sa.Text))
    op.create_table(
        "passkey",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("credential_id", sa.Text, nullable=False),
        sa.Column("public_key", sa.Text, nullable=False),
        sa.Column("sign_count", sa.BigInteger, nullable=False),
        sa.Column("user_handle", sa.Text, nullable=False),
        sa.Column("host", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("key_hash", sa.Text, nullable=False),
        sa.Column("made_at", sa.BigInteger, nullable=False),
        sa.Column("last_used", sa.BigInteger),
        sa.PrimaryKeyConstraint("id", name="pk_passkey"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_passkey_owner_id"),
        sa.UniqueConstraint("credential_id", name="uq_passkey_credential_id"),
    )
    op.create_index("ix_passkey_owner_id", "passkey", ["owner_id"])
    op.create_table(
        "passkey_challenge",
        sa.Column("challenge_hash", sa.Text, nullable=False),
        sa.Column("owner_id", sa.Integer),
        sa.Column("sign_in_id", sa.Text),
        sa.Column("user_handle", sa.Text),
        sa.Column("key_hash", sa.Text, nullable=False),
        sa.Column("address", sa.Text, nullable=False),
        sa.Column("until", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("challenge_hash", name="pk_passkey_challenge"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_passkey_challenge_owner_id"),
    )
    op.create_index("ix_passkey_challenge_owner_id", "passkey_challenge", ["owner_id"])


def downgrade() -> None:
    op.drop_table("passkey_challenge")
    op.drop_table("passkey")
    with op.batch_alter_table("sign_in") as batch:
        batch.drop_column("passkey")
