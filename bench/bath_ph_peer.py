#!/usr/bin/python3
"""pH of the baths that bench_bath wrote, solved again by SciPy from the equations of
docs/methods/bath-ph.md and the parameters of data/bath/pitzer.csv: the peer that the core is timed
and checked against. Prints "NAME VALUE" lines; ends with 1 when a pH differs by 1e-6 or more.

usage: bath_ph_peer.py BATHS.csv PITZER.csv

The equations stand here as they are printed (sums over all pairs and triples, as matrices), the
constants and molar masses are those of the core, and nothing of the core's code is used. SciPy's
root finder balances the charges with the activity coefficients held; these are taken anew until
they no longer move the pH. Times are processor time, as in bench_bath.
Sources (keys of docs/sources.md): harvie-1984, pitzer-1991, bates-guggenheim, malmberg-maryott,
kell-1975; constants as in src/core/bath/mdr_equil.h.
"""
import csv
import statistics
import sys
import time

import numpy as np
from scipy.optimize import brentq

ROUNDS = 3
MOST_DIFFERENCE_PH = 1e-6
LN10 = np.log(10.0)
KELVIN = 273.15
TR_K = 298.15

NA, H, CL, SO4, HSO4, OH, CO3, HCO3, ACE, FOR, H2CIT, HCIT, CIT, HO2, CO2 = range(15)
CHARGE = np.array([1, 1, -1, -2, -1, -1, -2, -1, -1, -1, -1, -2, -3, -1, 0], float)
N = len(CHARGE)
SIZE = np.abs(CHARGE)

# g/mol [ciaaw]; then mol of each total in one mol
TOTALS = ("na", "cl", "so4", "carbonate", "acetate", "formate", "citrate", "peroxide")
SUBSTANCES = {
    "na2co3": (105.988, {"na": 2, "carbonate": 1}),
    "naoh": (39.997, {"na": 1}),
    "nahco3": (84.007, {"na": 1, "carbonate": 1}),
    "nacl": (58.443, {"na": 1, "cl": 1}),
    "na2so4": (142.04, {"na": 2, "so4": 1}),
    "acetic": (60.052, {"acetate": 1}),
    "formic": (46.025, {"formate": 1}),
    "citric": (192.124, {"citrate": 1}),
    "h2o2": (34.0147, {"peroxide": 1}),
}


def read_pitzer(path):
    """Rows kind, ion1..3, p0..p5 of the table, without its comments and its head."""
    with open(path, encoding="utf-8") as lines:
        rows = [line for line in lines if not line.startswith("#")]
    return [[float(cell) for cell in row] for row in list(csv.reader(rows))[1:]]


class Pitzer:
    """Activity coefficients at one temperature."""

    def __init__(self, rows, temp_c):
        t = temp_c + KELVIN
        terms = np.array([1.0, 1 / t - 1 / TR_K, np.log(t / TR_K), t - TR_K, t**2 - TR_K**2,
                          1 / t**2 - 1 / TR_K**2])
        self.b0, self.b1, self.c, self.pair = (np.zeros((N, N)) for _ in range(4))
        self.triple = np.zeros((N, N, N))
        for kind, i, j, k, *p in rows:
            i, j, k = int(i), int(j), int(k)
            value = float(np.dot(p, terms))
            if kind < 3:
                table = (self.b0, self.b1, self.c)[int(kind)]
                table[i, j] = table[j, i] = value
            elif kind in (3, 5):  # theta and lambda enter alike: 2 m_j value
                self.pair[i, j] = self.pair[j, i] = value
            else:  # psi and zeta: m_j m_k value, in every order
                for a, b, c in ((i, j, k), (i, k, j), (j, i, k), (j, k, i), (k, i, j), (k, j, i)):
                    self.triple[a, b, c] = value
        charged = np.where(SIZE > 0, SIZE, 1.0)
        self.c /= 2.0 * np.sqrt(np.outer(charged, charged))
        density = (999.83952 + 16.945176 * temp_c - 7.9870401e-3 * temp_c**2
                   - 46.170461e-6 * temp_c**3 + 105.56302e-9 * temp_c**4
                   - 280.54253e-12 * temp_c**5) / (1 + 16.879850e-3 * temp_c) / 1000.0
        permittivity = 87.740 - 0.40008 * temp_c + 9.398e-4 * temp_c**2 - 1.410e-6 * temp_c**3
        self.a_phi = 1.824829e6 * np.sqrt(density) / (permittivity * t) ** 1.5 * LN10 / 3.0

    def mixing(self, ionic):
        """E-theta of each pair of like sign and its derivative by ionic strength."""
        zz = np.outer(CHARGE, CHARGE)
        like = zz > 0
        x = 6.0 * np.where(like, zz, 1.0) * self.a_phi * np.sqrt(ionic)
        j, j1 = j_and_slope(x)
        own, own1 = np.diag(j), np.diag(x * j1)
        e = zz / (4 * ionic) * (j - 0.5 * own[:, None] - 0.5 * own[None, :])
        e1 = -e / ionic + zz / (8 * ionic**2) * (x * j1 - 0.5 * own1[:, None] - 0.5 * own1[None, :])
        return np.where(like, e, 0.0), np.where(like, e1, 0.0)

    def ln_gamma(self, m):
        """ln gamma of each and ln of the activity of water; m in mol/kg."""
        ionic = 0.5 * np.dot(m, CHARGE**2)
        root = np.sqrt(ionic)
        z = np.dot(m, SIZE)
        x = 2.0 * root
        ex = np.exp(-x)
        g = 2 * (1 - (1 + x) * ex) / x**2
        g1 = -2 * (1 - (1 + x + x**2 / 2) * ex) / x**2
        e, e1 = self.mixing(ionic)
        mm = np.outer(m, m)
        # every sum over pairs below runs over both orders, hence the halves
        f = -self.a_phi * (root / (1 + 1.2 * root) + 2 / 1.2 * np.log(1 + 1.2 * root))
        f += 0.5 * np.sum(mm * self.b1) * g1 / ionic + 0.5 * np.sum(mm * e1)
        cc = 0.5 * np.sum(mm * self.c)
        triples = self.triple @ m
        ln = (CHARGE**2 * f + SIZE * cc + (2 * (self.b0 + self.b1 * g) + z * self.c) @ m
              + 2 * (self.pair + e) @ m + 0.5 * triples @ m)
        osmotic = -self.a_phi * ionic * root / (1 + 1.2 * root)
        osmotic += 0.5 * np.sum(mm * (self.b0 + self.b1 * ex + z * self.c))
        osmotic += 0.5 * np.sum(mm * (self.pair + e + ionic * e1))
        osmotic += m @ triples @ m / 6
        ln_water = -0.0180153 * (np.sum(m) + 2 * osmotic)
        convention = -3 * self.a_phi * root / (1 + 1.5 * root)
        return ln + CHARGE * (ln[CL] - convention), ln_water


def j_and_slope(x):
    """J(x) = x / (4 + C1 x^-C2 exp(-C3 x^C4)) and J'(x)."""
    c1, c2, c3, c4 = 4.581, 0.7237, 0.0120, 0.528
    tail = c1 * x**-c2 * np.exp(-c3 * x**c4)
    slope = tail * (-c2 / x - c3 * c4 * x ** (c4 - 1))
    return x / (4 + tail), 1 / (4 + tail) - x * slope / (4 + tail) ** 2


def constants(temp_c):
    """Dissociation constants at this temperature."""
    t = temp_c + KELVIN
    lg = np.log10(t)
    log_k = {
        "water": 293.29227 + 0.1360833 * t - 10576.913 / t - 123.73158 * lg - 6.996455e-5 * t**2,
        "carbonic1": -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * lg - 1684915 / t**2,
        "carbonic2": -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * lg - 563713.9 / t**2,
        "bisulphate": 5.3585 - 0.0183412 * t - 557.2461 / t,
        "acetic": -(1170.48 / t - 3.1649 + 0.013399 * t),
        "formic": -(1342.85 / t - 5.2743 + 0.0151682 * t),
        "citric1": -(1255.6 / t - 4.5635 + 0.011673 * t),
        "citric2": -(1585.2 / t - 5.4460 + 0.016399 * t),
        "citric3": -(1814.9 / t - 6.3664 + 0.022389 * t),
        "peroxide": -11.65 - 34.3e3 / (8.314462618 * LN10) * (1 / t - 1 / 298.15),
    }
    return {name: 10.0**value for name, value in log_k.items()}


def forms(a, total, gamma, ln_water, k):
    """mol/kg of each ion at this activity of H+, coefficients held."""
    water = np.exp(ln_water)
    m = np.zeros(N)
    m[NA], m[CL] = total["na"], total["cl"]
    m[H] = a / gamma[H]
    m[OH] = k["water"] * water / (a * gamma[OH])

    def share(amount, ratios):  # ratios: of each form to the one with a proton less
        parts = np.cumprod([1.0] + ratios)
        return amount * parts / parts.sum()

    m[SO4], m[HSO4] = share(total["so4"], [a * gamma[SO4] / (k["bisulphate"] * gamma[HSO4])])
    m[CO3], m[HCO3], m[CO2] = share(
        total["carbonate"], [a * gamma[CO3] / (k["carbonic2"] * gamma[HCO3]),
                             a * gamma[HCO3] / (k["carbonic1"] * gamma[CO2] * water)])
    m[ACE] = share(total["acetate"], [a * gamma[ACE] / k["acetic"]])[0]
    m[FOR] = share(total["formate"], [a * gamma[FOR] / k["formic"]])[0]
    m[CIT], m[HCIT], m[H2CIT], _ = share(
        total["citrate"], [a * gamma[CIT] / (k["citric3"] * gamma[HCIT]),
                           a * gamma[HCIT] / (k["citric2"] * gamma[H2CIT]),
                           a * gamma[H2CIT] / k["citric1"]])
    m[HO2] = share(total["peroxide"], [a * gamma[HO2] / k["peroxide"]])[0]
    return m


def ph_of(rows, temp_c, total):
    """pH of a bath of these totals, mol/kg."""
    pitzer, k = Pitzer(rows, temp_c), constants(temp_c)
    gamma, ln_water = np.ones(N), 0.0
    ln_a = 0.0
    for _ in range(100):
        def charge(x, gamma=gamma, ln_water=ln_water):
            return float(np.dot(CHARGE, forms(np.exp(x), total, gamma, ln_water, k)))

        before, ln_a = ln_a, brentq(charge, -18 * LN10, 3 * LN10, xtol=1e-13, rtol=1e-14)
        if abs(ln_a - before) < 1e-11:
            return -ln_a / LN10
        ln, ln_water = pitzer.ln_gamma(forms(np.exp(ln_a), total, gamma, ln_water, k))
        gamma = np.exp(ln)
    raise ArithmeticError(f"no pH found at {temp_c} degC for {total}")


def main(baths_path, pitzer_path):
    """Solves all baths, ROUNDS times."""
    rows = read_pitzer(pitzer_path)
    with open(baths_path, encoding="utf-8") as lines:
        baths = [{name: float(cell) for name, cell in row.items()} for row in csv.DictReader(lines)]
    if len(baths) < 100:
        sys.exit(f"bath_ph_peer: {baths_path} holds {len(baths)} baths, too few to tell")
    asked = []
    for bath in baths:
        total = dict.fromkeys(TOTALS, 0.0)
        for name, (molar, parts) in SUBSTANCES.items():
            for part, mol in parts.items():
                total[part] += mol * bath[name] / molar
        asked.append((bath["temp_c"], total))
    rates = []
    for _ in range(ROUNDS):
        begun = time.process_time()
        found = [ph_of(rows, temp_c, total) for temp_c, total in asked]
        rates.append(len(asked) / (time.process_time() - begun))
    differences = [abs(ph - bath["ph"]) for ph, bath in zip(found, baths)]
    worst = float(np.max(differences))  # not a number stays one
    print(f"peer_baths {len(baths)}")
    print(f"peer_per_s {statistics.median(rates):.1f}")
    print(f"peer_least_per_s {min(rates):.1f}")
    print(f"peer_most_per_s {max(rates):.1f}")
    print(f"peer_most_difference_ph {worst:.2e}")
    print(f"peer_least_ph {min(found):.2f}")
    print(f"peer_most_ph {max(found):.2f}")
    if not worst < MOST_DIFFERENCE_PH:
        bath = baths[differences.index(worst)]
        sys.exit(f"bath_ph_peer: the core and SciPy differ by {worst:.3g} pH on {bath}")


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("usage: bath_ph_peer.py BATHS.csv PITZER.csv")
    main(sys.argv[1], sys.argv[2])
