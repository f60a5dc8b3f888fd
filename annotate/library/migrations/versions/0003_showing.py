"""How the clips of a lesson are shown."""

from pathlib import Path

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for statement in Path(__file__).with_suffix(".sql").read_text("utf-8").split(";\n"):
        if statement.strip():
            op.execute(statement)
