"""Learned palates, which the server's processes share."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"

# As in migrations 0002 and 0005: rows of the current owner only, none in a guest's transaction.
OWN = "owner_id = nullif(current_setting('secondnose.owner', true), '')::integer"
NO_GUEST = "nullif(current_setting('secondnose.group_tasting', true), '') IS NULL"


def upgrade() -> None:
    op.create_table(
        "palate_document",
        sa.Column("owner_id", sa.Integer, nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("etag", sa.Text, nullable=False),
        sa.Column("until_s", sa.BigInteger, nullable=False),
        sa.Column("packed", sa.LargeBinary),
        sa.PrimaryKeyConstraint("owner_id", "person", name="pk_palate_document"),
        sa.ForeignKeyConstraint(["owner_id"], ["owner.id"], name="fk_palate_document_owner_id"),
    )
    if op.get_bind().dialect.name == "postgresql":
        op.execute("ALTER TABLE palate_document ENABLE ROW LEVEL SECURITY")
        op.execute("ALTER TABLE palate_document FORCE ROW LEVEL SECURITY")
        op.execute(f"CREATE POLICY own_book ON palate_document USING ({OWN}) WITH CHECK ({OWN})")
        op.execute(
            "CREATE POLICY guest_of_table ON palate_document AS RESTRICTIVE "
            f"USING ({NO_GUEST}) WITH CHECK ({NO_GUEST})"
        )


def downgrade() -> None:
    op.drop_table("palate_document")
