"""The same graphs laid out by general programs: Graphviz's neato and sfdp.

A stitch is a point; an edge holds it to its neighbours of the row, one width long, another to what it is worked into, as
long as it is tall. Their points and ours are judged by `quality.py`, which shares nothing with the layout. They must not
be better in any figure, and must be worse in spacing, kinks and crossings taken together.
"""

import json
import pathlib
import re
import subprocess
import sys
import time

import numpy as np

import quality

FIGURES = ["spacing", "kink", "lean", "low", "tall", "crossings"]
# within these the eye finds no fault: what is less is no better
GOOD = {"spacing": 0.06, "kink": 18.0, "lean": 13.0, "low": 0.05, "tall": 0.4, "crossings": 0}


def bounds_of(name):
    """What is good for a shape: where a height has a bound of its own, that one."""
    bounds = dict(GOOD)
    for line in (pathlib.Path(__file__).parents[2] / "tests/shapes/limits.tsv").read_text().splitlines():
        if line.startswith(f"{name}\tstretch_p95\t"):
            bounds["tall"] = float(line.split("\t")[2]) - 1
    return bounds


def graph_of(layout):
    """Edges and the lengths they want: along rows and chains, and from stitches down to what they stand on."""
    edges = {}
    for a, b in quality.edges_of(layout):
        edges[min(a, b), max(a, b)] = 1.0
    at = quality.point_of(layout)
    for row in layout["rows"]:
        runs = [row["order"]] if row["shape"] == "foundation" else []
        for run in runs + [s.get("chain", []) for s in row.get("strands", [])]:
            for a, b in zip(run, run[1:]):
                if a in at and b in at:
                    edges.setdefault((min(at[a], at[b]), max(at[a], at[b])), 1.0)
    for head, feet, height in quality.posts_of(layout):
        for foot in feet:
            if foot != head:
                edges.setdefault((min(head, foot), max(head, foot)), height)
    return edges


def drawn_by(program, points, edges):
    text = "graph g {\n" + "".join(f"{i};\n" for i in range(points))
    text += "".join(f"{a} -- {b} [len={length:.3f}];\n" for (a, b), length in edges.items()) + "}\n"
    if program == "sfdp":
        text = text.replace("graph g {", "graph g {\nK=1;")
    start = time.time()
    out = subprocess.run([program, "-Tplain", "-Gstart=1"], input=text.encode(), capture_output=True, check=True, timeout=300)
    taken = time.time() - start
    x = np.zeros((points, 2))
    for node, px, py in re.findall(r"^node (\d+) (\S+) (\S+)", out.stdout.decode(), re.M):
        x[int(node)] = float(px), float(py)
    # sfdp knows no lengths: it is given the scale that suits it best
    asked = np.array(list(edges.values()))
    pairs = np.array(list(edges))
    found = np.hypot(*(x[pairs[:, 0]] - x[pairs[:, 1]]).T)
    return x * (asked.sum() / max(found.sum(), 1e-9)), taken


def main():
    program, bad = sys.argv[1], []
    print(f"{'graph':28} {'by':8} {'ms':>8} " + " ".join(f"{f:>9}" for f in FIGURES))
    for name in sys.argv[2:]:
        path = pathlib.Path(name).with_suffix(".txt")
        start = time.time()
        out = subprocess.run([program, "dump", path, "--as", "layout", "--energy"], capture_output=True, check=True)
        taken = time.time() - start
        layout = json.loads(out.stdout)
        ours = np.array([p["at"] for p in layout["energy"]["points"]])
        edges = graph_of(layout)
        results = [("fanwise", ours, taken)]
        results += [(by, *drawn_by(by, len(ours), edges)) for by in ("neato", "sfdp")]
        told, good = {}, bounds_of(path.stem)
        for by, x, ms in results:
            told[by] = quality.figures(layout, x)
            print(f"{path.stem:28} {by:8} {1e3 * ms:8.0f} " + " ".join(f"{told[by][f]:9.3f}" for f in FIGURES), flush=True)
        for by in ("neato", "sfdp"):
            for f in FIGURES:
                if max(told[by][f], good[f]) < told["fanwise"][f]:
                    bad.append(f"{path.stem}: {by} is better in {f}: {told[by][f]:.3f}, ours {told['fanwise'][f]:.3f}")
            summed = lambda t: t["spacing"] / 0.06 + t["kink"] / 18 + t["crossings"]
            if summed(told[by]) <= summed(told["fanwise"]) and summed(told["fanwise"]) > 0:
                bad.append(f"{path.stem}: {by} is not worse in spacing, kinks and crossings taken together")
    for fault in bad:
        print(fault, file=sys.stderr)
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
