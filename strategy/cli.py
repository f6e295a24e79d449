"""The command line. A command parses, calls one library function, prints; it computes nothing itself.

Heavy imports (numba, scipy, matplotlib, pyproj, shapely, pydantic) stay inside the commands, so that
`course-strategy --help` answers at once; tests/test_house.py holds this.
"""

from __future__ import annotations

from typing import Any

import click

from strategy import __version__
from strategy.errors import StrategyError


class Commands(click.Group):
    """A group in which a fault the user can mend is printed plainly: no traceback, exit code 2."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; a `StrategyError` becomes its message on standard error."""
        try:
            return super().invoke(ctx)
        except StrategyError as fault:
            click.echo(str(fault), err=True)
            ctx.exit(2)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="course-strategy")
def main() -> None:
    """Plan a course before the first round: for every shot one committed answer."""
