"""The language that was heard stands beside the one that the maker chose."""

from annotate.library.migrations.beside import run_sql_beside

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    run_sql_beside(__file__)
