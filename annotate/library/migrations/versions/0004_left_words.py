"""Doubtful words that the maker leaves: by their place in time instead of by the line, which hearing again replaces."""

from annotate.library.migrations.beside import run_sql_beside

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    run_sql_beside(__file__)
