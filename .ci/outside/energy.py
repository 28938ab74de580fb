"""The energy of a layout, reckoned again and searched by scipy.

1. The energy written by `dump --as layout --energy` is reckoned again from the points and the parts of each term.
2. scipy's least_squares starts from the layout with noise of 0.3 sc and tries to lower that energy: it must not find a
   layout that is better by more than a hundredth and crosses no more rows.
"""

import json
import math
import pathlib
import subprocess
import sys

import numpy as np
from scipy.optimize import least_squares
from scipy.sparse import csr_matrix, diags

import quality

# of itself
SHARE = 0.01
# an energy so small a stitch is that of a layout that has nothing to wish for
NOTHING = 1e-4
NOISE, SEEDS, STEPS = 0.3, 20, 60


class Energy:
    def __init__(self, document):
        self.points = np.array([p["at"] for p in document["points"]])
        terms = document["terms"]
        self.total = document["total"]
        self.told = np.array([t["residual"] for t in terms])
        self.names = [t["want"] for t in terms]
        self.plus = np.array([t["plus"] for t in terms])
        weights = [t["weights"] for t in terms]
        self.short, self.long, self.beyond = (np.array([w[k] for w in weights]) for k in ("short", "long", "beyond"))
        self.limit = np.array([w.get("limit", math.inf) for w in weights])
        self.both = np.array([w.get("both", False) for w in weights])
        rows, cols, values, of_term, factor, measure = [], [], [], [], [], []
        for i, term in enumerate(terms):
            for part in term["parts"]:
                p = len(of_term)
                of_term.append(i)
                factor.append(part["factor"])
                measure.append(part["measure"])
                for node, a, b in part["of"]:
                    rows += [2 * p, 2 * p, 2 * p + 1, 2 * p + 1]
                    cols += [2 * node, 2 * node + 1, 2 * node, 2 * node + 1]
                    values += [a, -b, b, a]
        parts = len(of_term)
        self.vectors = csr_matrix((values, (rows, cols)), shape=(2 * parts, 2 * len(self.points)))
        self.of_term = np.array(of_term)
        self.factor = np.array(factor)
        self.measure = np.array(measure)
        self.angular = np.zeros(len(terms), bool)
        self.angular[self.of_term[self.measure == "angle"]] = True
        self.sum = csr_matrix((np.ones(parts), (self.of_term, np.arange(parts))), shape=(len(terms), parts))

    def measures(self, x):
        v = (self.vectors @ x).reshape(-1, 2)
        length = np.maximum(np.hypot(v[:, 0], v[:, 1]), 1e-9)
        m = self.measure
        value = np.select(
            [m == "length", m == "angle", m == "x"], [length, np.arctan2(v[:, 1], v[:, 0]), v[:, 0]], v[:, 1]
        )
        one = np.ones(len(m))
        gx = np.select([m == "length", m == "angle", m == "x"], [v[:, 0] / length, -v[:, 1] / length**2, one], 0 * one)
        gy = np.select([m == "length", m == "angle", m == "x"], [v[:, 1] / length, v[:, 0] / length**2, 0 * one], one)
        return value, gx, gy

    def residuals(self, x):
        value = self.sum @ (self.factor * self.measures(x)[0]) + self.plus
        return np.where(self.angular, value - 2 * np.pi * np.round(value / (2 * np.pi)), value)

    def weighed(self, r):
        """The weighted residuals and their slopes."""
        low = np.where(self.both, -self.limit, -math.inf)
        high = self.limit
        inner = np.clip(r, low, high)
        slope = np.where(inner < 0, self.short, self.long)
        out = (r < low) | (r > high)
        rest = np.where(out, self.beyond * (r - inner), 0.0)
        return slope * inner + rest, np.where(out, self.beyond, slope)

    def values(self, x):
        return self.weighed(self.residuals(x))[0]

    def jacobian(self, x):
        slope = self.weighed(self.residuals(x))[1]
        _, gx, gy = self.measures(x)
        g = np.empty(2 * len(gx))
        g[0::2], g[1::2] = self.factor * gx, self.factor * gy
        by_vector = diags(g) @ self.vectors
        pairs = csr_matrix(
            (np.ones(2 * len(gx)), (np.repeat(self.of_term, 2), np.arange(2 * len(gx)))),
            shape=(len(slope), 2 * len(gx)),
        )
        return diags(slope) @ (pairs @ by_vector)


def check(name, layout, noisy=True):
    """Faults of one layout, and a line that says what was found."""
    if not layout["energy"]["terms"]:
        # set on a board of squares, and relaxed nowhere
        return [], f"{name:30} no terms"
    energy = Energy(layout["energy"])
    x = energy.points.ravel()
    faults = []
    off = np.abs(energy.residuals(x) - energy.told)
    for i in np.flatnonzero(off > 1e-5):
        faults.append(f"{name}: term {i} ({energy.names[i]}) is {energy.told[i]} written, {off[i]} away")
    total = float(np.sum(energy.values(x) ** 2))
    if abs(total - energy.total) > 1e-4 * max(1.0, total):
        faults.append(f"{name}: energy {energy.total} written, {total} reckoned")
    if not noisy:
        return faults, f"{name:28} {len(energy.told):6} terms, energy {total:9.4f}"
    crossings = quality.crossings(layout, energy.points)
    dice = np.random.default_rng(1)
    best, lower = total, 0
    for _ in range(SEEDS):
        start = x + dice.normal(0.0, NOISE, x.shape)
        found = least_squares(
            energy.values, start, jac=lambda y: energy.jacobian(y).toarray(), method="lm", max_nfev=STEPS
        )
        reached = 2 * found.cost
        if reached < total and quality.crossings(layout, found.x.reshape(-1, 2)) <= crossings:
            lower += 1
            best = min(best, reached)
    share = (total - best) / max(total, 1e-12)
    line = f"{name:28} {len(layout['stitches']):5} stitches, {len(energy.told):6} terms, energy {total:9.4f}, best of {SEEDS} {best:9.4f}: {100 * share:5.2f} % lower ({lower} were lower)"
    if share > SHARE and total - best > NOTHING * len(layout["stitches"]):
        faults.append(f"{name}: scipy finds {best:.4f} where the layout has {total:.4f}")
    return faults, line


# small fabrics of each kind, which scipy is let loose on; all others are only reckoned again
SEARCHED = [
    "acorn",
    "branch-of-6-near-the-end",
    "leaf",
    "branch-at-the-end",
    "branch-of-5",
    "dc-triangle",
    "fans-with-chains",
    "flower-with-petals",
    "mesh",
    "mushroom-cap",
    "oval-on-5-chains",
    "star",
    "tube-laid-flat",
    "u-rows-of-dc",
]


def main():
    program, folders = sys.argv[1], sys.argv[2:]
    bad = []
    for path in sorted(p for f in folders for p in pathlib.Path(f).glob("*.txt")):
        out = subprocess.run([program, "dump", path, "--as", "layout", "--energy"], capture_output=True, check=True)
        faults, line = check(path.stem, json.loads(out.stdout), path.stem in SEARCHED)
        print(line, flush=True)
        bad += faults
    for fault in bad:
        print(fault, file=sys.stderr)
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
