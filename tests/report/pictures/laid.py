"""What a picture is judged by: boxes of its texts, its leaders, its signs, as matplotlib lays them."""

from __future__ import annotations

import itertools

import numpy as np
import shapely
from matplotlib.text import Text

LABELS = ("label", "contour-number")


def by_gid(figure, gid):
    return list(figure.findobj(lambda a: a.get_gid() == gid))


def axes(figure, gid):
    (found,) = [a for a in figure.axes if a.get_gid() == gid]
    return found


def texts(figure, *gids):
    return [t for t in figure.findobj(Text) if t.get_text() and (not gids or t.get_gid() in gids)]


def extent(figure, text):
    """Box of a text in dots. The renderer's box has leading above and below: the ink is 0.8 of it."""
    box = text.get_window_extent(figure.canvas.get_renderer())
    lift = 0.1 * box.height
    return shapely.box(box.x0, box.y0 + lift, box.x1, box.y1 - lift) if box.width else shapely.box(0, 0, 0, 0)


def covered(figure):
    """Pairs of texts that lie on one another."""
    placed = [(t.get_text(), extent(figure, t)) for t in texts(figure)]
    assert len(placed) > 30
    return [
        (a, b)
        for (a, box_a), (b, box_b) in itertools.combinations(placed, 2)
        if shapely.intersection(box_a, box_b).area > 1.0
    ]


def off_the_page(figure):
    """Texts that reach over its edge."""
    page = shapely.box(*figure.bbox.extents)
    return [t.get_text() for t in texts(figure) if not shapely.contains(page, extent(figure, t))]


def crossed(figure):
    """What leaders run through: texts, other leaders, the aim."""
    boxes = [(t.get_text(), extent(figure, t)) for t in texts(figure)]
    lines = [a for gid in ("leader", "decision-line") for a in by_gid(figure, gid)]
    paths = [shapely.LineString(a.get_transform().transform(np.column_stack(a.get_data()))) for a in lines]
    (aim,) = by_gid(figure, "aim")
    arm = 0.5 * aim.get_markersize() * figure.dpi / 72.0
    at = shapely.Point(aim.get_transform().transform(np.column_stack(aim.get_data()))[0]).buffer(arm)
    found = [(said, path.wkt) for path in paths for said, box in boxes if shapely.intersects(path, box)]
    found += [("leaders", a.wkt, b.wkt) for a, b in itertools.combinations(paths, 2) if a.intersects(b)]
    return found + [("aim", path.wkt) for path in paths if shapely.intersects(path, at)]


def on_signs(sheet, figure):
    """Labels that lie on an aim, the hole, the flight or the start line."""
    on = axes(figure, "map").transData
    dots = figure.dpi / 72.0
    signs = [shapely.Point(on.transform(aim)).buffer(4.0 * dots) for aim in (*sheet.aims, sheet.hole_at)]
    ways = (np.vstack((sheet.flight, sheet.aim)), sheet.start)
    signs += [shapely.LineString(on.transform(way)) for way in ways]
    window = axes(figure, "map").get_window_extent()
    inside = shapely.box(window.x0, window.y0, window.x1, window.y1)
    boxes = [(t.get_text(), extent(figure, t)) for t in texts(figure, *LABELS)]
    return [
        said
        for said, box in boxes
        if shapely.within(box, inside) and any(shapely.intersects(sign, box) for sign in signs)
    ]
