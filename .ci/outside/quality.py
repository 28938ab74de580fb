"""Figures of a chart, from nothing but its points and what the fabric says is worked where.

It shares no code and no idea of a good chart with the layout: whatever made the points is judged alike. A row is judged
by its heads in order; a stitch by its head and the mean of the places it is worked into.
"""

import numpy as np


def point_of(layout):
    """Index of the point of each stitch."""
    return {p["stitch"]: i for i, p in enumerate(layout["energy"]["points"]) if "stitch" in p}


def rows_of(layout):
    """Of every row but foundations: its points in order, stitches only, and whether it is closed."""
    at, rows = point_of(layout), []
    for row in layout["rows"]:
        if row["shape"] == "foundation":
            continue
        points = [at[s] for s in row["order"] if s in at]
        if len(points) > 1:
            rows.append((points, bool(row.get("joined")) and len(points) > 2))
    return rows


def edges_of(layout):
    edges = []
    for points, closed in rows_of(layout):
        ring = points + points[:1] if closed else points
        edges += [(a, b) for a, b in zip(ring, ring[1:]) if a != b]
    return edges


def crossings(layout, x):
    """Proper intersections of the lines from head to head."""
    edges = edges_of(layout)
    if not edges:
        return 0
    e = np.array(edges)
    p, q = x[e[:, 0]], x[e[:, 1]]
    count = 0
    for i in range(len(e) - 1):
        r, s = p[i + 1 :], q[i + 1 :]
        d = q[i] - p[i]
        side = lambda a: d[0] * (a[:, 1] - p[i][1]) - d[1] * (a[:, 0] - p[i][0])
        one, two = side(r), side(s)
        t = s - r
        three = t[:, 0] * (p[i][1] - r[:, 1]) - t[:, 1] * (p[i][0] - r[:, 0])
        four = t[:, 0] * (q[i][1] - r[:, 1]) - t[:, 1] * (q[i][0] - r[:, 0])
        other = ~np.isin(e[i + 1 :], e[i]).any(axis=1)
        count += int(np.sum(other & (one * two < -1e-12) & (three * four < -1e-12)))
    return count
