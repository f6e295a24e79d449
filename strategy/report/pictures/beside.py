"""Pictures drawn in a process of their own while the rest of a plan is still being made.

They are the same files that `write_pictures` would write, which is called behind it as ever: it finds them
there, draws what is left, and says what cannot be drawn.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from strategy.plan.document import Plan
from strategy.plan.jobs.pool import Beside
from strategy.report.pictures.chosen import Pictures, chosen
from strategy.report.pictures.write import FOLDER, Drawing, Made, draw, drawings
from strategy.report.words.lengths import Units
from strategy.writing import sweep


@contextmanager
def drawn_beside(out: Path, pictures: Pictures, units: Units) -> Iterator[Callable[[Plan], None]]:
    """Gives what is to be called with a plan of each hole that is done; see `plan_course`.

    Parameters
    ----------
    out : Path
        The plan folder.
    pictures : Pictures
        Which of them.
    units : Units
        Of the sentences and the pictures.
    """
    folder = out / FOLDER
    beside: Beside[Drawing, str] = Beside(draw)

    def note(*, last: bool = False) -> None:
        made = None
        for done in beside.finished(last=last):
            if done.result == "":  # what failed is tried again, and said, when the plan is there
                made = made or Made(folder)
                made.note(done.job)

    def send(plan: Plan) -> None:
        which = chosen(plan, pictures)
        if not which:
            return
        with contextlib.suppress(OSError):  # said when the plan is there
            folder.mkdir(parents=True, exist_ok=True)
            made = Made(folder)
            for job in drawings(plan, out, which, units=units):
                if not made.has(job):
                    beside.send(job)
            note()

    try:
        with beside.open():
            yield send
            note(last=True)
    finally:
        sweep(folder)
