"""`python -m strategy` is `course-strategy`."""

from strategy.cli.main import main

main(prog_name="course-strategy")
