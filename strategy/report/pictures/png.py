"""A figure as a PNG file."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

from strategy.writing import write_bytes

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def write_png(figure: Figure, path: Path, dpi: int) -> None:
    """Write a figure that has an Agg canvas; see `strategy.writing.replacing`."""
    from PIL import Image  # matplotlib draws PNG with it too; this way takes half the time

    canvas: Any = figure.canvas
    canvas.draw()
    image = Image.frombuffer("RGBA", canvas.get_width_height(), canvas.buffer_rgba(), "raw", "RGBA", 0, 1)
    data = io.BytesIO()
    image.convert("RGB").save(data, "png", compress_level=3, dpi=(dpi, dpi))
    write_bytes(path, data.getvalue())
