"""Composing F from the values on the lattice, and beyond it; kernels that call no other."""

from __future__ import annotations

import math
from typing import Any

from strategy.compiled import njit
from strategy.decide.kernels.arguments import Blend, Mesh


@njit(cache=True, nogil=True, fastmath={"contract", "reassoc", "nsz"}, error_model="numpy")
def compose(
    field: Any, cells: Any, packed: Any, nx: int, base: Any, chance: Any, mesh: Mesh, value: Any, blend: Blend
) -> None:
    """Write F(x), the chance-weighted mean of V over lies, into some cells of the field.

    Parameters
    ----------
    cells : int32 (M,)
        Flat indices of playable cells.
    base : float32 (ny * nx,)
        The published field: it rules nearer the hole than the blend, and is left behind beyond it. It may be
        `field` itself: a cell is composed from itself and from node-lies alone.
    chance : float64 (11, 9)
    mesh : Mesh
        The lattice of the node-lies solved.
    value : float64 (N,)
    blend : Blend
        Where the region is blended into `base`.
    """
    node_of, x0, y0, spacing = mesh.node_of, mesh.x0, mesh.y0, mesh.spacing
    hx, hy, inner, outer = blend.hole_x, blend.hole_y, blend.inner, blend.outer
    for m in range(cells.shape[0]):
        at = cells[m]
        x, y = at % nx + 0.5, at // nx + 0.5
        far = (math.sqrt((x - hx) ** 2 + (y - hy) ** 2) - inner) / (outer - inner)
        if far <= 0.0:
            field[at] = base[at]
            continue
        gx, gy = (x - x0) / spacing, (y - y0) / spacing
        i, j = int(gx), int(gy)
        fx, fy = gx - i, gy - j
        code = packed[at] & 15
        total, known = 0.0, 0.0
        for lie in range(chance.shape[1]):
            share = chance[code, lie]
            if share <= 0.0:
                continue
            a, b = node_of[lie, j, i], node_of[lie, j, i + 1]
            c, d = node_of[lie, j + 1, i], node_of[lie, j + 1, i + 1]
            if a < 0 or b < 0 or c < 0 or d < 0:
                continue
            low = value[a] * (1.0 - fx) + value[b] * fx
            high = value[c] * (1.0 - fx) + value[d] * fx
            total += share * (low * (1.0 - fy) + high * fy)
            known += share
        if known < 0.999:
            field[at] = base[at]
            continue
        w = min(far, 1.0)
        w = w * w * (3.0 - 2.0 * w)
        field[at] = w * total + (1.0 - w) * base[at]


@njit(cache=True, nogil=True, fastmath={"contract", "reassoc", "nsz"}, error_model="numpy")
def extend(field: Any, base: Any, beyond: Any, twins: Any) -> None:
    """Strokes to go beyond the lattice: the published ones, dearer by what its nearest ground is dearer by.

    Never cheaper than published, so that no ball is aimed out there for a table that knows neither the wind
    nor the hole.
    """
    for m in range(beyond.shape[0]):
        at, twin = beyond[m], twins[m]
        field[at] = base[at] + max(field[twin] - base[twin], 0.0)
