"""Invitations and guests of led tastings; a guest's transaction sees one led tasting only."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

# Set for one transaction by webapp.db.engine, null unless a guest makes the request.
GUEST_OF = "nullif(current_setting('secondnose.group_tasting', true), '')"
IS_OF_TABLE = f"fields::json ->> 'group_tasting' = {GUEST_OF}"
READABLE = (
    f"kind = 'bottle' OR (kind = 'group_tasting' AND id = {GUEST_OF})"
    f" OR (kind IN ('glass', 'guest', 'sheet') AND {IS_OF_TABLE})"
)
WRITABLE = f"kind IN ('guest', 'sheet') AND {IS_OF_TABLE}"
REVISIONS = "kind IN ('guest', 'sheet')"
# Table -> what a guest's transaction may read, and write.
GUEST_POLICIES = {
    "record": (READABLE, WRITABLE),
    "revision": (REVISIONS, REVISIONS),
    "device": ("false", "false"),
    "photo_bytes": ("false", "false"),
}


def upgrade() -> None:
    op.add_column(
        "owner", sa.Column("guest_seq", sa.BigInteger, nullable=False, server_default="0")
    )
    op.create_table(
        "group_invitation",
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("group_tasting", sa.Text, nullable=False),
        sa.Column("code", sa.Text, nullable=False),
        sa.Column("nonce", sa.Text, nullable=False),
        sa.Column("made_at", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("owner_id", "group_tasting", name="pk_group_invitation"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_group_invitation_owner_id"),
        sa.UniqueConstraint("code", name="uq_group_invitation_code"),
    )
    op.create_table(
        "group_invitation_secret",
        sa.Column("secret_hash", sa.Text, nullable=False),
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("group_tasting", sa.Text, nullable=False),
        sa.Column("made_at", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("secret_hash", name="pk_group_invitation_secret"),
        sa.ForeignKeyConstraint(
            ["owner_id"], ["owner.id"], name="fk_group_invitation_secret_owner_id"
        ),
    )
    op.create_index("ix_group_invitation_secret_owner_id", "group_invitation_secret", ["owner_id"])
    _create_tokens()
    if op.get_bind().dialect.name == "postgresql":
        _restrict_guests()


def _create_tokens() -> None:
    op.create_table(
        "group_guest_token",
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("group_tasting", sa.Text, nullable=False),
        sa.Column("guest", sa.Text, nullable=False),
        sa.Column("token_hash", sa.Text, nullable=False),
        sa.Column("key_hash", sa.Text, nullable=False),
        sa.Column("nonce", sa.Text, nullable=False),
        sa.Column("writes", sa.BigInteger, nullable=False),
        sa.Column("made_at", sa.BigInteger, nullable=False),
        sa.Column("until", sa.BigInteger, nullable=False),
        sa.Column("ended_as", sa.Text),
        sa.PrimaryKeyConstraint("owner_id", "group_tasting", "guest", name="pk_group_guest_token"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_group_guest_token_owner_id"),
        sa.UniqueConstraint("token_hash", name="uq_group_guest_token_token_hash"),
    )


def _restrict_guests() -> None:
    """Add policies that restrict those of migration 0002 further, in a guest's transaction only."""
    for name, (readable, writable) in GUEST_POLICIES.items():
        op.execute(
            f"CREATE POLICY guest_of_table ON {name} AS RESTRICTIVE "
            f"USING ({GUEST_OF} IS NULL OR {readable}) "
            f"WITH CHECK ({GUEST_OF} IS NULL OR {writable})"
        )


def downgrade() -> None:
    if op.get_bind().dialect.name == "postgresql":
        for name in GUEST_POLICIES:
            op.execute(f"DROP POLICY guest_of_table ON {name}")
    for name in ("group_guest_token", "group_invitation_secret", "group_invitation"):
        op.drop_table(name)
    with op.batch_alter_table("owner") as batch:
        batch.drop_column("guest_seq")
