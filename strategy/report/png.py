"""A figure as a PNG file: written under a temporary name, then renamed."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def write_png(figure: Figure, path: Path, dpi: int) -> None:
    """Write a figure that has an Agg canvas; its folder exists."""
    from PIL import Image  # matplotlib draws PNG with it too; this way takes half the time

    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        canvas: Any = figure.canvas
        canvas.draw()
        image = Image.frombuffer("RGBA", canvas.get_width_height(), canvas.buffer_rgba(), "raw", "RGBA", 0, 1)
        image.convert("RGB").save(part, "png", compress_level=3, dpi=(dpi, dpi))
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
