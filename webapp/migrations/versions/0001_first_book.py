"""Create the first schema: owners, devices, records, revisions and pictures."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "safe",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("epoch", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_safe"),
        sa.CheckConstraint("id = 1", name="ck_safe_one_row"),
    )
    op.create_table(
        "owner",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("seq", sa.BigInteger, nullable=False),
        sa.Column("max_clock_ms", sa.BigInteger, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_owner"),
        sa.UniqueConstraint("name", name="uq_owner_name"),
    )
    _owned(
        "device",
        ["id"],
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("last_seen", sa.Text, nullable=False),
        sa.Column("tokens", sa.Text, nullable=False),
    )
    _owned(
        "record",
        ["kind", "id"],
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("seq", sa.BigInteger, nullable=False),
        sa.Column("fields", sa.Text, nullable=False),
        sa.Column("clocks", sa.Text, nullable=False),
        sa.Column("deleted", sa.Boolean(create_constraint=False), nullable=False),
        sa.Column("deleted_clock", sa.Text),
        sa.UniqueConstraint("owner_id", "seq", name="uq_record_owner_id_seq"),
    )
    _owned(
        "revision",
        ["kind", "record_id", "field", "clock", "digest"],
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("record_id", sa.Text, nullable=False),
        sa.Column("field", sa.Text, nullable=False),
        sa.Column("clock", sa.Text, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("value", sa.Text, nullable=False),
        sa.Column("overruled_at", sa.BigInteger),
    )
    _owned(
        "photo_bytes",
        ["id"],
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("media_type", sa.Text, nullable=False),
        sa.Column("width_px", sa.Integer, nullable=False),
        sa.Column("height_px", sa.Integer, nullable=False),
        sa.Column("bytes", sa.BigInteger, nullable=False),
        sa.Column("kept_at", sa.Text, nullable=False),
    )


def _owned(name: str, key: list[str], *columns: sa.schema.SchemaItem) -> None:
    op.create_table(
        name,
        sa.Column("owner_id", sa.Integer, nullable=False),
        *columns,
        sa.PrimaryKeyConstraint("owner_id", *key, name=f"pk_{name}"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name=f"fk_{name}_owner_id"),
    )


def downgrade() -> None:
    for name in ("photo_bytes", "revision", "record", "device", "owner", "safe"):
        op.drop_table(name)
