#!/usr/bin/python3
"""Doses of the sets of dyes that bench_recipe wrote, found again by SciPy: by bounded least squares, the
peer that the search is timed and checked against, and by non-negative least squares of the K/S curves, which
is quicker and answers another question (the curve, not the colour). Prints "NAME VALUE" lines; ends with 1 when
the core's answer is worse by more than 1e-4 for a set with an objective below 2.

usage: recipe_peer.py PROBLEM.csv

The model stands here as docs/methods/recipe-model.md has it, in NumPy: K/S by SciPy's monotone cubic,
Kubelka and Munk, surface, X, Y, Z, CIELAB, CMC(2:1). least_squares (trf, bounded) gets the residuals
under each light and starts from three places; the best counts. Times are processor time.
"""
import csv
import sys
import time

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import least_squares, nnls

NEAR = 2.0
MOST_WORSE = 1e-4
TIE_WEIGHT = 0.01
STARTS = (0.02, 0.1, 0.5)  # of the limit
MIDDLE = 0.3  # of the limit: where a dye is taken to be straight


class Ladder:
    """One dye: K/S over depth, straight on beyond the last knot."""

    def __init__(self, depth, ks, limit):
        self.cubic = PchipInterpolator(depth, ks, axis=0)
        self.last, self.limit = depth[-1], limit
        self.end, self.slope = self.cubic(self.last), self.cubic.derivative()(self.last)

    def ks(self, depth):
        """K/S that it adds."""
        if depth <= self.last:
            return self.cubic(depth)
        return self.end + self.slope * (depth - self.last)


def lab_of(xyz, white):
    """CIELAB."""
    t = xyz / white
    f = np.where(t > 216 / 24389, np.cbrt(t), 841 / 108 * t + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def cmc_parts(standard, sample):
    """The three weighted parts of CMC(2:1)."""
    l1, a1, b1 = standard
    c1, c2 = np.hypot(a1, b1), np.hypot(sample[1], sample[2])
    h1 = np.degrees(np.arctan2(b1, a1)) % 360
    s_l = 0.511 if l1 < 16 else 0.040975 * l1 / (1 + 0.01765 * l1)
    s_c = 0.0638 * c1 / (1 + 0.0131 * c1) + 0.638
    f = np.sqrt(c1**4 / (c1**4 + 1900))
    if 164 <= h1 <= 345:
        t = 0.56 + abs(0.2 * np.cos(np.radians(h1 + 168)))
    else:
        t = 0.36 + abs(0.4 * np.cos(np.radians(h1 + 35)))
    d_l, d_c = sample[0] - l1, c2 - c1
    q = 0.5 * (c1 * c2 + a1 * sample[1] + b1 * sample[2])
    d_h = (a1 * sample[2] - sample[1] * b1) / np.sqrt(max(q, 1e-12))
    return np.array([d_l / (2 * s_l), d_c / s_c, d_h / (s_c * (f * t + 1 - f))])


class Problem:
    """What bench_recipe wrote."""

    def __init__(self, path):
        self.weights, self.ladders, self.sets = [], [], []
        depth, ks, standard = None, [], None
        with open(path, encoding="utf-8") as lines:
            for kind, *cells in csv.reader(lines):
                v = np.array([float(c) for c in cells])
                if kind == "weights":
                    self.weights.append(v)
                elif kind == "cloth":
                    self.cloth = v
                elif kind == "surface":
                    self.k1, self.k2 = v
                elif kind == "knots":
                    depth, ks = v, []
                elif kind == "ks":
                    ks.append(v)
                elif kind == "limit":
                    self.ladders.append(Ladder(depth, np.array(ks), v[0]))
                elif kind == "standard":
                    standard = v
                elif kind == "set":
                    self.sets.append((standard, v[0], v[1:].astype(int)))
        self.lights = [np.array(self.weights[i:i + 3]) for i in range(0, len(self.weights), 3)]
        self.whites = [w.sum(axis=1) for w in self.lights]

    def labs(self, curve):
        """CIELAB under every light."""
        return [lab_of(w @ curve, white) for w, white in zip(self.lights, self.whites)]

    def curve(self, dyes, doses):
        """Reflectance as measured."""
        ks = self.cloth + sum(self.ladders[d].ks(c) for d, c in zip(dyes, doses))
        r = 1 / (1 + ks + np.sqrt(ks * (ks + 2)))
        return self.k1 + (1 - self.k1) * (1 - self.k2) * r / (1 - self.k2 * r)

    def solve(self, standard, dyes):
        """Least F of this set."""
        wanted = self.labs(standard)
        others = len(self.lights) - 1
        scale = [1.0] + [np.sqrt(TIE_WEIGHT / others)] * others

        def residuals(doses):
            got = self.labs(self.curve(dyes, doses))
            return np.concatenate([s * cmc_parts(w, g) for s, w, g in zip(scale, wanted, got)])

        limit = np.array([self.ladders[d].limit for d in dyes])
        return min(np.sqrt(2 * least_squares(residuals, part * limit, bounds=(0, limit),
                                             xtol=1e-10, ftol=1e-12, gtol=1e-10).cost)
                   for part in STARTS)

    def solve_linear(self, standard, dyes):
        """The doses whose K/S curve comes nearest, each dye's K/S taken as proportional to its depth."""
        inner = (standard - self.k1) / ((1 - self.k1) * (1 - self.k2) + self.k2 * (standard - self.k1))
        inner = np.clip(inner, 1e-4, 1 - 1e-9)
        wanted = (1 - inner) ** 2 / (2 * inner) - self.cloth
        columns = np.array([self.ladders[d].ks(MIDDLE * self.ladders[d].limit) / (MIDDLE * self.ladders[d].limit)
                            for d in dyes]).T
        doses, _ = nnls(columns, wanted)
        return np.minimum(doses, [self.ladders[d].limit for d in dyes])

    def objective(self, standard, dyes, doses):
        """F, as the search has it."""
        wanted, got = self.labs(standard), self.labs(self.curve(dyes, doses))
        others = len(self.lights) - 1
        scale = [1.0] + [np.sqrt(TIE_WEIGHT / others)] * others
        return np.linalg.norm(np.concatenate([s * cmc_parts(w, g) for s, w, g in zip(scale, wanted, got)]))


def main(path):
    """Solves every set."""
    problem = Problem(path)
    if len(problem.sets) < 50:
        sys.exit(f"recipe_peer: {path} holds {len(problem.sets)} sets, too few to tell")
    begun = time.process_time()
    found = [problem.solve(standard, dyes) for standard, _, dyes in problem.sets]
    seconds = time.process_time() - begun
    begun = time.process_time()
    straight = [problem.solve_linear(standard, dyes) for standard, _, dyes in problem.sets]
    linear_s = time.process_time() - begun
    off = sorted(problem.objective(standard, dyes, doses) - f
                 for (standard, f, dyes), doses in zip(problem.sets, straight) if f < NEAR)
    core = [f for _, f, _ in problem.sets]
    near = [c - f for c, f in zip(core, found) if f < NEAR]
    print(f"recipe_peer_sets {len(found)}")
    print(f"recipe_peer_ms_per_set {1e3 * seconds / len(found):.1f}")
    print(f"recipe_nnls_us_per_set {1e6 * linear_s / len(found):.1f}")
    print(f"recipe_nnls_off {off[len(off) // 2]:.2f}")
    print(f"recipe_peer_near {len(near)}")
    print(f"recipe_peer_core_worse {sum(d > MOST_WORSE for d in near)}")
    print(f"recipe_peer_peer_worse {sum(d < -MOST_WORSE for d in near)}")
    print(f"recipe_peer_most_worse {max(near):.2g}")
    return 1 if max(near) > MOST_WORSE else 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: recipe_peer.py PROBLEM.csv")
    sys.exit(main(sys.argv[1]))
