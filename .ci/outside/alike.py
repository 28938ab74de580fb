"""Are pictures of one drawing alike? Structural similarity over the tiles that hold ink.

    python alike.py FOLDER

FOLDER holds NAME.svg, and of each NAME.own.png (the program's own painter), NAME.chromium.png, NAME.librsvg.png,
NAME.pdf.png. Every picture is held against the program's own: at least 0.90 in every tile and 0.98 on the mean.

Source of the measure: Wang, Bovik, Sheikh, Simoncelli, "Image quality assessment: from error visibility to structural
similarity", IEEE TIP 13 (2004); constants 0.01 and 0.03, a Gaussian window of 1.5 pixels.
"""

import sys
from pathlib import Path

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

TILE = 64
LEAST, MEAN = 0.90, 0.98
# edges fall on parts of pixels, and every painter shades them in its own way
SOFT = 1.0


def grey(path):
    picture = Image.open(path).convert("RGBA")
    paper = Image.new("RGBA", picture.size, "white")
    return np.asarray(Image.alpha_composite(paper, picture).convert("L"), dtype=float)


def similarity(a, b):
    a, b = gaussian_filter(a, SOFT), gaussian_filter(b, SOFT)
    c1, c2 = (0.01 * 255) ** 2, (0.03 * 255) ** 2
    blur = lambda x: gaussian_filter(x, 1.5)
    ma, mb = blur(a), blur(b)
    va, vb, cov = blur(a * a) - ma * ma, blur(b * b) - mb * mb, blur(a * b) - ma * mb
    return ((2 * ma * mb + c1) * (2 * cov + c2)) / ((ma * ma + mb * mb + c1) * (va + vb + c2))


def tiles(own, other):
    values = similarity(own, other)
    found = []
    for y in range(0, own.shape[0], TILE):
        for x in range(0, own.shape[1], TILE):
            ink = np.minimum(own, other)[y : y + TILE, x : x + TILE] < 128
            # a tile that only a sliver of ink reaches says little
            if ink.sum() >= 12:
                found.append((values[y : y + TILE, x : x + TILE].mean(), x, y))
    return found


def main(folder):
    faults, all_means = [], {}
    for svg in sorted(Path(folder).glob("*.svg")):
        own = grey(svg.with_suffix(".own.png"))
        for other in ("chromium", "librsvg", "pdf"):
            path = svg.with_suffix(f".{other}.png")
            if not path.exists():
                faults.append(f"{svg.stem}: {other} made no picture")
                continue
            picture = grey(path)
            # a browser's picture is whole pixels of its own, which are two or three of these
            if max(abs(picture.shape[0] - own.shape[0]), abs(picture.shape[1] - own.shape[1])) > 3:
                faults.append(f"{svg.stem}: {other} has {picture.shape}, not {own.shape}")
                continue
            height, width = (min(a, b) for a, b in zip(own.shape, picture.shape))
            found = tiles(own[:height, :width], picture[:height, :width])
            least, mean = min(found), sum(f[0] for f in found) / len(found)
            all_means.setdefault(other, []).append(mean)
            print(f"{svg.stem:24} {other:9} mean {mean:.4f}  least {least[0]:.4f} at {least[1]},{least[2]}")
            if least[0] < LEAST or mean < MEAN:
                faults.append(f"{svg.stem}: {other} differs, mean {mean:.4f}, least {least[0]:.4f}")
    for other, means in all_means.items():
        print(f"{'all':24} {other:9} mean {sum(means) / len(means):.4f} of {len(means)}")
    if faults:
        sys.exit("\n".join(faults))


main(sys.argv[1])
