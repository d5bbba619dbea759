"""History, named versions and settings."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "edits",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("job", sa.Text, nullable=False, index=True),
        sa.Column("parent", sa.Integer, sa.ForeignKey("edits.id")),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("digest", sa.Text, nullable=False, index=True),
        sa.Column("text", sa.LargeBinary, nullable=False),
    )
    op.create_table(
        "places",
        sa.Column("job", sa.Text, primary_key=True),
        sa.Column("edit", sa.Integer, sa.ForeignKey("edits.id"), nullable=False),
    )
    op.create_table(
        "versions",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("job", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("edit", sa.Integer, sa.ForeignKey("edits.id"), nullable=False),
        sa.UniqueConstraint("job", "name", name="version_name"),
    )
    op.create_table("settings", sa.Column("key", sa.Text, primary_key=True), sa.Column("value", sa.Text, nullable=False))


def downgrade() -> None:
    for table in ("settings", "versions", "places", "edits"):
        op.drop_table(table)
