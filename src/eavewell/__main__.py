"""`python -m eavewell` is the command line."""

from eavewell.cli import main

main()
