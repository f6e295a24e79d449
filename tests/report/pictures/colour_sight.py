"""How a picture looks to people who do not tell all colours apart.

G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A physiologically-based model for simulation of color
vision deficiency", IEEE Transactions on Visualization and Computer Graphics 15 (2009), 1291-1298, table 1,
severity 1.0. The matrices stand here from memory, to six decimals; that the rows of each add up to 1, so that
grey stays grey, is a check on a slip. They are applied to linear RGB (IEC 61966-2-1).

    python -m tests.report.pictures.colour_sight PICTURE.png ...

writes PICTURE-<sight>.png beside each, to be looked at.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

SIGHTS = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def seen(rgb, sight):
    """Colours (..., 3) from 0 to 1 in sRGB as they are seen."""
    rgb = np.asarray(rgb, dtype=float)
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    mixed = np.clip(linear @ np.array(SIGHTS[sight]).T, 0.0, 1.0)
    return np.where(mixed <= 0.0031308, 12.92 * mixed, 1.055 * mixed ** (1.0 / 2.4) - 0.055)


def lightness(rgb):
    """CIE 1976 L* of sRGB colours (..., 3), white 100."""
    rgb = np.asarray(rgb, dtype=float)
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    y = linear @ [0.2126, 0.7152, 0.0722]
    return np.where(y > (6 / 29) ** 3, 116.0 * np.cbrt(y) - 16.0, y * (29 / 3) ** 3)


def main(files):
    from PIL import Image

    for file in map(Path, files):
        picture = np.asarray(Image.open(file).convert("RGB")) / 255.0
        for sight in SIGHTS:
            out = file.with_name(f"{file.stem}-{sight}.png")
            Image.fromarray(np.round(255.0 * seen(picture, sight)).astype(np.uint8)).save(out)
            print(out)


if __name__ == "__main__":
    main(sys.argv[1:])
