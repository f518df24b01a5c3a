"""When a guest's phone last asked, so that the leader sees which phones are silent."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    op.add_column("group_guest_token", sa.Column("seen_at", sa.BigInteger))


def downgrade() -> None:
    with op.batch_alter_table("group_guest_token") as batch:
        batch.drop_column("seen_at")
