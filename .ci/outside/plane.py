"""Layouts of true lengths, held against plane geometry.

Six sc a round lie flat where a stitch is 6/2π as tall as it is wide, twelve dc where it is 12/2π: then rounds are
circles, and their radius and length, the sides of an oval on a chain and the arcs of a strip that widens are known
without any layout. Everything is in widths of a stitch, and may be off by a fiftieth.
"""

import json
import math
import pathlib
import subprocess
import sys

import numpy as np

import quality

OFF = 0.02

HEAD = "US terms.\nCh 1 at the start of a row does not count as a stitch.\nBeg ch 3 counts as dc throughout.\n\n"


def circle_of_sc(rounds):
    text = "Circle of sc\n\n" + HEAD + "Make a magic ring.\nRnd 1 (RS): Ch 1, 6 sc in ring. Join with sl st to first sc.\n"
    text += "Rnd 2: Ch 1, 2 sc in each st around. Join with sl st to first sc.\n"
    for n in range(3, rounds + 1):
        text += f"Rnd {n}: Ch 1, [sc in next {n - 2} sts, 2 sc in next st] 6 times. Join with sl st to first sc.\n"
    return text


def circle_of_dc(rounds):
    text = "Circle of dc\n\n" + HEAD + "Make a magic ring.\nRnd 1 (RS): Ch 3, 11 dc in ring. Join with sl st to top of beg ch-3.\n"
    text += "Rnd 2: Ch 3, dc in same st, 2 dc in each st around. Join with sl st to top of beg ch-3.\n"
    for n in range(3, rounds + 1):
        first = f"dc in next {n - 3} sts, " if n > 3 else ""
        text += f"Rnd {n}: Ch 3, {first}2 dc in next st, [dc in next {n - 2} sts, 2 dc in next st] 11 times. Join with sl st to top of beg ch-3.\n"
    return text


def strip(length, more, rows):
    text = f"Strip\n\n{HEAD}Ch {length + 1}.\n"
    for n in range(1, rows + 1):
        # an increase in the middle of each stretch, so that both ends are alike
        plain = length // more + n - 2
        half, other = plain // 2, plain - plain // 2
        if n == 1:
            text += f"Row 1 (RS): Sc in 2nd ch from hook and in next {half - 1} ch, 2 sc in next ch, sc in next {other} ch, [sc in next {half} ch, 2 sc in next ch, sc in next {other} ch] {more - 1} times. Turn.\n"
        else:
            text += f"Row {n}: Ch 1, [sc in next {half} sts, 2 sc in next st, sc in next {other} sts] {more} times. Turn.\n"
    return text


def layout_of(program, text):
    out = subprocess.run(
        [program, "dump", "-", "--as", "layout", "--view", "true", "--energy"], input=text.encode(), capture_output=True
    )
    if out.returncode:
        sys.exit(out.stdout.decode()[:300] + out.stderr.decode())
    return json.loads(out.stdout)


def heads_of(layout):
    """The heads of every row in working order."""
    x = np.array([p["at"] for p in layout["energy"]["points"]])
    return x, [(x[points], closed) for points, closed in quality.rows_of(layout)]


def length_of(heads, closed):
    ring = np.vstack([heads, heads[:1]]) if closed else heads
    return float(np.hypot(*np.diff(ring, axis=0).T).sum())


def fitted_circle(heads):
    """Centre and radius of the circle nearest to some points (least squares, Kåsa)."""
    a = np.column_stack([2 * heads, np.ones(len(heads))])
    cx, cy, c = np.linalg.lstsq(a, (heads**2).sum(axis=1), rcond=None)[0]
    return np.array([cx, cy]), math.sqrt(c + cx * cx + cy * cy)


class Table:
    def __init__(self):
        self.bad = 0
        print(f"{'true view':34} {'plane':>9} {'layout':>9} {'off':>8}")

    def row(self, what, plane, found):
        off = found / plane - 1
        wrong = abs(off) > OFF
        self.bad += wrong
        print(f"{what:34} {plane:9.3f} {found:9.3f} {100 * off:7.2f} %{'  <- more than 2 %' if wrong else ''}")


def circles(program, table):
    for name, text, each, height in [
        ("sc, 6 a round", circle_of_sc(8), 6, 6 / math.tau),
        ("dc, 12 a round", circle_of_dc(6), 12, 12 / math.tau),
    ]:
        x, rows = heads_of(layout_of(program, text))
        n = len(rows)
        heads, closed = rows[-1]
        # heads are the corners of a polygon on the circle
        table.row(f"{name}: length of round {n}", each * n, length_of(heads, closed))
        table.row(f"{name}: radius of round {n}", n * height, fitted_circle(heads)[1])


def ovals(program, table):
    text = (pathlib.Path(__file__).parents[2] / "tests/shapes/oval-on-7-chains.txt").read_text()
    x, rows = heads_of(layout_of(program, text))
    heads, closed = rows[-1]
    sts, h = len(heads), 6 / math.tau
    # two half circles and two straight sides: what is not turned is straight
    side, radius = (sts - math.tau * len(rows) * h) / 2, len(rows) * h
    axis = np.linalg.svd(heads - heads.mean(axis=0))[2]
    extent = np.ptp((heads - heads.mean(axis=0)) @ axis.T, axis=0)
    table.row("oval on 7 chains: length around", 2 * side + math.tau * radius, length_of(heads, closed))
    table.row("oval on 7 chains: long axis", side + 2 * radius, float(extent[0]))
    table.row("oval on 7 chains: short axis", 2 * radius, float(extent[1]))


def strips(program, table):
    length, more, n = 24, 4, 6
    x, rows = heads_of(layout_of(program, strip(length, more, n)))
    h = 6 / math.tau
    # every row is longer by so many widths than the one a height below it: an arc of that angle
    angle = more / h
    centre = fitted_circle(rows[-1][0])[0]
    for k in (1, n):
        radius = fitted_circle(rows[k - 1][0])[1]
        sts = length + more * k
        table.row(f"strip of an annulus: radius of row {k}", sts / angle, radius)
    heads = rows[-1][0]
    ways = np.unwrap(np.arctan2(*(heads - centre).T[::-1]))
    table.row("strip of an annulus: angle, degrees", math.degrees(angle), math.degrees(np.ptp(ways) * len(heads) / (len(heads) - 1)))
    table.row("strip of an annulus: breadth", (n - 1) * h, fitted_circle(rows[-1][0])[1] - fitted_circle(rows[0][0])[1])


def main():
    table = Table()
    for check in (circles, ovals, strips):
        check(sys.argv[1], table)
    sys.exit(f"{table.bad} measures are off by more than {OFF:.0%}" if table.bad else 0)


if __name__ == "__main__":
    main()
