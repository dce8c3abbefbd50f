"""`python -m rungbook.cli`, where the console script is not on the path."""

from rungbook.cli import main

main()
