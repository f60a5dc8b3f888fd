"""How the clips of a lesson are shown."""

from annotate.library.migrations.beside import run_sql_beside

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    run_sql_beside(__file__)
