"""``python -m annotate.cli``."""

from annotate.cli.main import main

main()
