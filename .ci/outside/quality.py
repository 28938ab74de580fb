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


# heights as drawn, in widths of an sc
HEIGHTS = {"sl st": 0.25, "sc": 1.0, "hdc": 1.5, "dc": 2.0, "tr": 3.0, "dtr": 4.0}


def posts_of(layout):
    """Head, feet and height of every stitch whose height is known and that stands on points."""
    at = point_of(layout)
    points = layout["energy"]["points"]
    rings, spaces = ({p[k]: i for i, p in enumerate(points) if k in p} for k in ("ring", "space"))
    ways = (("top", at), ("chain", at), ("underside", at), ("bump", at), ("ring", rings), ("space", spaces))
    posts = []
    for stitch in layout["stitches"]:
        height = HEIGHTS.get(stitch["legs"][0]["stem"]) if stitch["legs"] else None
        if stitch["id"] not in at or height is None:
            continue
        feet = [w[place[k]] for place in stitch["into"] for k, w in ways if k in place and place[k] in w]
        if feet:
            posts.append((at[stitch["id"]], feet, height))
    return posts


def grounds_of(layout):
    """Of every point that is a stitch's: the row, or the branch of a row, that it stands on."""
    of = {s: row["index"] for row in layout["rows"] for s in row["order"]}
    for row in layout["rows"]:
        for k, strand in enumerate(row.get("strands", [])):
            of |= {s: (row["index"], k) for s in strand.get("chain", []) + strand["order"]}
    at, ground = point_of(layout), {}
    for stitch in layout["stitches"]:
        for place in stitch["into"][:1]:
            for key in ("top", "chain", "underside", "bump"):
                if key in place and stitch["id"] in at:
                    ground[at[stitch["id"]]] = of.get(place[key])
    return ground


def wrap(angle):
    return (angle + np.pi) % (2 * np.pi) - np.pi


def way(v):
    return np.arctan2(v[1], v[0])


def worst(values, share):
    return float(np.percentile(values, share)) if len(values) else 0.0


class Line:
    """A row as points in order: what stands beside what, and on what."""

    def __init__(self, layout, row, posts, ground):
        at = point_of(layout)
        chains = {s for space in layout["spaces"] for s in space["ids"]}
        slips = {s["id"] for s in layout["stitches"] if s["kind"] == "sl st"}
        self.run = [at[s] for s in row["order"] if s in at]
        self.closed = bool(row.get("joined")) and len(self.run) > 3
        # a chain space after it
        self.spaced = {at[a] for a, b in zip(row["order"], row["order"][1:]) if a in at and b in chains}
        if row["order"][-1] in chains:
            self.spaced.add(self.run[-1])
        self.low = {at[s] for s in slips if s in at}
        self.posts, self.ground = posts, ground

    def windows(self, n):
        count = len(self.run) if self.closed else max(len(self.run) - n + 1, 0)
        return [[self.run[(i + k) % len(self.run)] for k in range(n)] for i in range(count)]

    def alike(self, points):
        """One height, one ground, no space between."""
        heights = {self.posts[p][1] if p in self.posts else None for p in points}
        grounds = {self.ground.get(p) for p in points}
        return len(heights) == 1 and len(grounds) == 1 and len(set(points)) == len(points) and not self.spaced & set(points[:-1])

    def spread(self, x):
        steps = [np.hypot(*(x[b] - x[a])) for a, b in self.windows(2) if self.alike([a, b]) and not {a, b} & self.low]
        return float(np.std(steps) / max(np.mean(steps), 1e-9)) if len(steps) > 2 else 0.0

    def kinks(self, x):
        for four in self.windows(4):
            if self.alike(four):
                ways = [way(x[b] - x[a]) for a, b in zip(four, four[1:])]
                yield abs(wrap(wrap(ways[2] - ways[1]) - wrap(ways[1] - ways[0])))

    def leans(self, x):
        """Off square on the line from the stitch before to the stitch after; those in one place as one."""
        groups = []
        for p in self.run:
            feet = self.posts[p][0] if p in self.posts else None
            if groups and feet is not None and groups[-1][0] == feet:
                groups[-1][1].append(p)
            else:
                groups.append((feet, [p]))
        for (_, before), (feet, here), (_, after) in zip(groups, groups[1:], groups[2:]):
            if feet is None or not self.alike([before[-1], *here, after[0]]) or set(here) & self.low:
                continue
            rise = np.mean([x[p] for p in here], axis=0) - x[feet].mean(axis=0)
            yield abs(abs(wrap(way(rise) - way(x[after[0]] - x[before[-1]]))) - np.pi / 2)


def figures(layout, x):
    """Worst row's spread of spacing, 95th percentiles of kinks and leans in degrees and of heights short of and beyond
    those of the table, and crossings."""
    kinds = layout["energy"]["points"]
    chains = {s["id"] for s in layout["stitches"] if s["kind"] == "ch"}
    posts = {head: (feet, height) for head, feet, height in posts_of(layout)}
    ground = grounds_of(layout)
    spread, kinks, leans, heights = 0.0, [], [], []
    for row in layout["rows"]:
        if row["shape"] == "foundation" or len(row["order"]) < 2:
            continue
        line = Line(layout, row, posts, ground)
        spread = max(spread, line.spread(x))
        kinks += line.kinks(x)
        leans += line.leans(x)
    for head, (feet, height) in posts.items():
        # where in a ring or a space it stands no point tells; an oval is half as thick as half a stitch
        if height > 0.25 and all("stitch" in kinds[f] for f in feet):
            more = 0.25 if kinds[feet[0]]["stitch"] in chains else 0.0
            heights.append(np.hypot(*(x[head] - x[feet].mean(axis=0))) / (height + more))
    return {
        "spacing": spread,
        "kink": np.degrees(worst(kinks, 95)),
        "lean": np.degrees(worst(leans, 95)),
        "low": 1 - worst(heights, 5) if heights else 0.0,
        "tall": worst(heights, 95) - 1 if heights else 0.0,
        "crossings": crossings(layout, x),
    }
