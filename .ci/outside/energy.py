"""Holds layouts to two checks that share no code with them.

    .ci/outside/run [FOLDER ...]

1. The energy written by `dump --as layout --energy` is reckoned again from the points and the parts of each term.
2. scipy's least_squares starts from the layout and tries to lower that energy: it must not find much.
"""

import json
import math
import pathlib
import subprocess
import sys

import numpy as np
from scipy.optimize import least_squares
from scipy.sparse import lil_matrix

# the energy may fall by this much of itself, or by this much a stitch: averaging over symmetries and the snap grid cost a little
SHARE, A_STITCH = 0.05, 0.002
# larger fabrics take scipy too long
MOST_TERMS = 9000


def dump(program, path):
    out = subprocess.run([program, "dump", path, "--as", "layout", "--energy"], capture_output=True, text=True, check=True)
    return json.loads(out.stdout)


def residual(term, x):
    value = term["plus"]
    angular = term["parts"][0]["measure"] == "angle"
    for part in term["parts"]:
        vx = vy = 0.0
        for node, a, b in part["of"]:
            px, py = x[2 * node], x[2 * node + 1]
            vx += a * px - b * py
            vy += a * py + b * px
        measure = part["measure"]
        if measure == "length":
            value += part["factor"] * math.hypot(vx, vy)
        elif measure == "angle":
            value += part["factor"] * math.atan2(vy, vx)
        else:
            value += part["factor"] * (vx if measure == "x" else vy)
    if angular:
        value -= 2 * math.pi * round(value / (2 * math.pi))
    return value


def weighed(term, value):
    w = term["weights"]
    limit = w.get("limit", math.inf)
    if value < 0:
        return w["short"] * value
    if value <= limit:
        return w["long"] * value
    return w["long"] * limit + w["beyond"] * (value - limit)


def check(program, path):
    layout = dump(program, path)
    energy = layout["energy"]
    x = np.array([c for p in energy["points"] for c in p["at"]])
    faults = []
    for i, term in enumerate(energy["terms"]):
        again = residual(term, x)
        if abs(again - term["residual"]) > 1e-5:
            faults.append(f"term {i} ({term['want']}): {term['residual']} written, {again} reckoned")
    total = sum(weighed(t, residual(t, x)) ** 2 for t in energy["terms"])
    if abs(total - energy["total"]) > 1e-4 * max(1.0, total):
        faults.append(f"energy {energy['total']} written, {total} reckoned")
    terms, stitches = energy["terms"], len(layout["stitches"])
    if len(terms) > MOST_TERMS:
        print(f"{path}: {len(terms)} terms, energy {total:.3f}; too many for scipy")
        return faults
    pattern = lil_matrix((len(terms), len(x)), dtype=int)
    for i, term in enumerate(terms):
        for part in term["parts"]:
            for node, _, _ in part["of"]:
                pattern[i, 2 * node] = pattern[i, 2 * node + 1] = 1
    found = least_squares(
        lambda y: np.array([weighed(t, residual(t, y)) for t in terms]), x, jac_sparsity=pattern, max_nfev=30
    )
    best = 2 * found.cost
    moved = np.abs(found.x - x).max()
    print(f"{path}: {stitches} stitches, {len(terms)} terms, energy {total:.4f}, scipy {best:.4f}, moved by {moved:.3f}")
    if total - best > max(SHARE * total, A_STITCH * stitches):
        faults.append(f"scipy finds {best:.4f} where the layout has {total:.4f}")
    return faults


def main():
    program, folders = sys.argv[1], sys.argv[2:]
    bad = 0
    for path in sorted(p for f in folders for p in pathlib.Path(f).glob("*.txt")):
        for fault in check(program, str(path)):
            print(f"{path}: {fault}", file=sys.stderr)
            bad += 1
    sys.exit(1 if bad else 0)


main()
