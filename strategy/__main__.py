"""`python -m strategy` is `course-strategy`."""

from strategy.cli import main

main(prog_name="course-strategy")
