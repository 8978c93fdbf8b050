"""The adjustment of speed.mjs in numpy and scipy: same prior, same sites, same places among the scatters, same tolerance.

Reads the problem from standard input and writes times and differences as JSON. At this size one dense LAPACK Cholesky inverse
(dpotrf, dpotri) is faster than scipy's banded and sparse solvers with one right side for each site, so it is what is used.
"""
import json
import sys
import time

import numpy as np
import scipy
from scipy.linalg.lapack import dpotrf, dpotri
from scipy.special import log_ndtr, ndtr

FIRST_SHARE, LEAST_SHARE, SWINGING, GOING_ON, MOST_SWEEPS = 1.0, 0.05, 0.8, 1.05, 60
MOST_FEW, MOST_ROUNDS, CLOSER = 6, 12, 0.3


def rows_matrix(rows, size):
    matrix = np.zeros((len(rows), size))
    for at, row in enumerate(rows):
        np.add.at(matrix[at], row["index"], row["coefficient"])
    return matrix


class Group:
    """Sites of several forms each that come from the same classes: the frets, and the lines' own bows."""

    def __init__(self, given, size):
        self.forms = np.stack([rows_matrix(rows, size) for rows in given["sites"]])
        self.flat = self.forms.reshape(-1, size)
        self.lines = self.forms.shape[1]
        self.base, self.least, self.beyond = 1 / given["baseSd"] ** 2, 1 / given["widest"] ** 2, given["beyond"]

    def start(self, classes):
        return np.repeat((classes[0]["precision"] - self.base * np.eye(self.lines))[None], len(self.forms), axis=0), np.zeros(self.forms.shape[:2])

    def information(self, lam):
        return self.flat.T @ np.einsum("kij,kjn->kin", lam, self.forms).reshape(-1, self.flat.shape[1])

    def marginals(self, covariance, mean):
        return np.einsum("kin,kjn->kij", (self.flat @ covariance).reshape(self.forms.shape), self.forms), self.forms @ mean


class Problem:
    def __init__(self, given):
        self.size = given["size"]
        terms = [(rows_matrix([t["row"] for t in given["prior"] if t["of"] == of], self.size), np.array([t["weight"] for t in given["prior"] if t["of"] == of])) for of in ("fixed", "roughness")]
        self.fixed, self.rough = [m.T @ (w[:, None] * m) for m, w in terms]
        self.rough_rank = given["roughRank"]
        rows = given["equations"]
        exact = np.array([r["low"] == r["high"] for r in rows])
        all_rows = rows_matrix([r["row"] for r in rows], self.size)
        low, high, s = (np.array([r[k] for r in rows]) for k in ("low", "high", "s"))
        self.rows, self.low, self.high, self.s = all_rows[~exact], low[~exact], high[~exact], s[~exact]
        read, value, u = all_rows[exact], low[exact], s[exact]
        self.fixed_with_read = self.fixed + read.T @ (read / u[:, None] ** 2)
        self.right = read.T @ (value / u**2)
        self.read_constant = -0.5 * np.sum(np.log(2 * np.pi * u**2) + (value / u) ** 2)
        self.groups = [Group(group, self.size) for group in given["groups"]]
        factor, _ = dpotrf(self.fixed + self.rough, lower=1)
        self.log_prior = 2 * np.sum(np.log(np.diag(factor)))


def interval_moments(low, high, s, precision, shift):
    """Truncated normal by the closed forms, mirrored into the lower tail; widths here are of the order of the deviation."""
    variance = 1 / precision
    total = variance + s * s
    sd = np.sqrt(total)
    mean = shift / precision
    a, b = (low - mean) / sd, (high - mean) / sd
    flip = a + b > 0
    a, b = np.where(flip, -b, a), np.where(flip, -a, b)
    log_a, log_b = log_ndtr(a), log_ndtr(b)
    log_z = log_b + np.log1p(-np.exp(np.minimum(log_a - log_b, -1e-12)))
    phi_a = np.exp(-0.5 * a * a - 0.5 * np.log(2 * np.pi) - log_z)
    phi_b = np.exp(-0.5 * b * b - 0.5 * np.log(2 * np.pi) - log_z)
    m = phi_a - phi_b
    v = np.maximum(1 + np.where(phi_a > 0, a * phi_a, 0) - np.where(phi_b > 0, b * phi_b, 0) - m * m, 1e-12)
    gain = variance / total
    y = np.where(flip, -m, m) * sd
    return log_z, mean + gain * y, gain * s * s + gain * gain * v * total


def class_moments(classes, base, precision, shift):
    weights, means, covariances = [], [], []
    eye = np.eye(precision.shape[1])
    for one in classes:
        total = precision + one["precision"] - base * eye
        right = shift + one["pull"]
        covariance = np.linalg.inv(total)
        mean = np.einsum("kij,kj->ki", covariance, right)
        weights.append(one["constant"] + 0.5 * (np.sum(right * mean, axis=1) - np.linalg.slogdet(total)[1]))
        means.append(mean)
        covariances.append(covariance)
    weights, means, covariances = np.stack(weights), np.stack(means), np.stack(covariances)
    top = weights.max(axis=0)
    shares = np.exp(weights - top)
    total = shares.sum(axis=0)
    shares /= total
    mean = np.einsum("ck,cki->ki", shares, means)
    apart = means - mean
    covariance = np.einsum("ck,ckij->kij", shares, covariances + apart[:, :, :, None] * apart[:, :, None, :])
    return top + np.log(total) - 0.5 * eye.shape[0] * np.log(base / (2 * np.pi)), mean, covariance


def kept_proper(after, mean, precision, shift, group, classes):
    """As keepProper.ts: base and site stay a distribution that a fret could have."""
    size, base = mean.shape[1], group.base
    centres = np.stack([one["mean"] for one in classes])
    pull = np.einsum("kij,kj->ki", precision, mean) - base * mean - shift
    values, vectors = np.linalg.eigh(after - precision + base * np.eye(size))
    along_pull, along_mean = np.einsum("kij,ki->kj", vectors, pull), np.einsum("kij,ki->kj", vectors, mean)
    along_centres = np.einsum("kij,ci->ckj", vectors, centres)
    limit = np.where(along_pull > 0, along_centres.max(axis=0) + group.beyond, along_centres.min(axis=0) - group.beyond)
    raised = np.maximum(np.maximum(group.least, along_pull / (limit - along_mean)), values) - values
    return after + np.einsum("kij,kj,klj->kil", vectors, raised, vectors)


def prepared(classes):
    made = []
    for one in classes:
        mean = np.array(one["mean"])
        precision = np.array(one["precision"]).reshape(len(mean), len(mean))
        pull = precision @ mean
        made.append({"mean": mean, "precision": precision, "pull": pull, "constant": np.log(one["weight"]) + 0.5 * (one["logPrecision"] - pull @ mean)})
    return made


def updated(group, classes, lam, eta, vf, mf):
    """What the sites of a group want to be, how far they move, and their part of the evidence."""
    inverse_f = np.linalg.inv(vf)
    pf, hf = inverse_f - lam, np.einsum("kij,kj->ki", inverse_f, mf) - eta
    log_z, after_m, after_v = class_moments(classes, group.base, pf, hf)
    inverse_after = kept_proper(np.linalg.inv(after_v), after_m, pf, hf, group, classes)
    pull = np.einsum("kij,kj->ki", inverse_after, after_m)
    diag_v, diag_after = np.einsum("kii->ki", vf), np.einsum("kii->ki", np.linalg.inv(inverse_after))
    moves = np.maximum(np.abs(after_m - mf) / np.sqrt(diag_v), np.abs(np.log(diag_after / diag_v))).max(axis=1)
    log_normal = 0.5 * (group.lines * np.log(2 * np.pi) + np.linalg.slogdet(vf)[1] + np.einsum("ki,kij,kj->k", mf, inverse_f, mf))
    return inverse_after - pf, pull - hf - eta, moves, np.sum(log_z - log_normal)


def settle_few(group, classes, own, stepped, few, mean, covariance, settled_at):
    """As focus.ts: the few sites that still move, settled one after the other in the joint normal of their forms; written into `stepped`."""
    m = group.lines
    forms = group.forms[few].reshape(-1, covariance.shape[0])
    joint, middle = forms @ covariance @ forms.T, forms @ mean
    lam, eta = own[0][few].copy(), own[1][few].copy()
    for _ in range(MOST_ROUNDS):
        most = 0
        for k in range(len(few)):
            at = slice(k * m, (k + 1) * m)
            wanted, step, moved, _ = updated(group, classes, lam[k : k + 1], eta[k : k + 1], joint[None, at, at], middle[None, at])
            change, columns = wanted[0] - lam[k], joint[:, at]
            gain = columns @ change @ np.linalg.inv(np.eye(m) + joint[at, at] @ change)
            middle = middle + (columns - gain @ joint[at, at]) @ (step[0] - change @ middle[at])
            joint = joint - gain @ columns.T
            lam[k], eta[k] = wanted[0], eta[k] + step[0]
            most = max(most, moved[0])
        if most < CLOSER * settled_at:
            break
    stepped[0][few], stepped[1][few] = lam, eta


def foreseen(group, classes, lam, eta, vf, mf):
    wanted, step, _, _ = updated(group, classes, lam, eta, vf, mf)
    return wanted, eta + step


def shortened(share, swings):
    return np.where(swings, np.maximum(LEAST_SHARE, SWINGING * share), np.minimum(1, GOING_ON * share))


def posterior(problem, visit, start, classes):
    scale = 1 / visit["roughnessMm"] ** 2
    prior = problem.fixed_with_read + scale * problem.rough
    groups = list(zip(problem.groups, classes))
    if start is None:
        width = problem.high - problem.low
        bounded = width < 1e6
        tau = np.where(bounded, 1 / (width**2 / 12 + problem.s**2), 0)
        nu = np.where(bounded, tau * (problem.low + problem.high) / 2, 0)
        sites = [group.start(kinds) for group, kinds in groups]
    else:
        # as expectationPropagation.ts: frets change with the scatters, in the contexts that they had elsewhere, far more than what all else says of them
        tau, nu, left = start
        sites = [foreseen(group, kinds, *one) for (group, kinds), one in zip(groups, left)]
    share, shares = np.full(len(tau), FIRST_SHARE), [np.full(len(eta), FIRST_SHARE) for _, eta in sites]
    last, lasts = np.zeros_like(nu), [np.zeros_like(eta) for _, eta in sites]
    before = None
    for sweep in range(1, MOST_SWEEPS + 1):
        for _ in range(8):
            matrix = prior + problem.rows.T @ (tau[:, None] * problem.rows)
            for (group, _kinds), (lam, _eta) in zip(groups, sites):
                matrix += group.information(lam)
            factor, failed = dpotrf(matrix, lower=1)
            if not failed or before is None:
                break
            tau, nu = (before[0] + tau) / 2, (before[1] + nu) / 2
            sites = [((lam + old_lam) / 2, (eta + old_eta) / 2) for (lam, eta), (old_lam, old_eta) in zip(sites, before[2])]
        if failed:
            return None
        inverse, _ = dpotri(factor, lower=1)
        covariance = np.tril(inverse) + np.tril(inverse, -1).T
        right = problem.right + problem.rows.T @ nu + sum(np.einsum("kin,ki->n", group.forms, eta) for (group, _kinds), (_lam, eta) in zip(groups, sites))
        mean = covariance @ right
        marginals = [group.marginals(covariance, mean) for group in problem.groups]
        v = np.einsum("in,in->i", problem.rows @ covariance, problem.rows)
        m = problem.rows @ mean
        p, h = np.maximum(1 / v - tau, 1e-3), m / v - nu
        log_z, after_m, after_v = interval_moments(problem.low, problem.high, problem.s, p, h)
        wanted = [updated(group, kinds, lam, eta, *marginal) for (group, kinds), (lam, eta), marginal in zip(groups, sites, marginals)]
        moves = max(np.max(np.abs(after_m - m) / np.sqrt(v)), np.max(np.abs(np.log(after_v / v))), *(one[2].max() for one in wanted))
        if moves < visit["settledAt"]:
            break
        step = after_m / after_v - h - nu
        share = shortened(share, step * last < 0)
        shares = [shortened(one, np.sum(new[1] * old, axis=1) < 0) for one, new, old in zip(shares, wanted, lasts)]
        last, lasts, before = step, [one[1] for one in wanted], (tau, nu, sites)
        tau, nu = tau + share * (1 / after_v - p - tau), nu + share * step
        own = sites
        sites = [(lam + one[:, None, None] * (lam_wanted - lam), eta + one[:, None] * eta_step) for (lam, eta), one, (lam_wanted, eta_step, _, _) in zip(sites, shares, wanted)]
        for (group, kinds), mine, stepped, (_, _, moving, _) in zip(groups, own, sites, wanted):
            few = np.flatnonzero(moving > visit["settledAt"] / 2)
            if 0 < len(few) <= MOST_FEW:
                settle_few(group, kinds, mine, stepped, few, mean, covariance, visit["settledAt"])
    log_det = 2 * np.sum(np.log(np.diag(factor)))
    log_normal = 0.5 * (np.log(p * v) + m * m / v - h * h / p)
    evidence = problem.read_constant + np.sum(log_z - log_normal) + sum(one[3] for one in wanted)
    evidence += 0.5 * (problem.log_prior + problem.rough_rank * np.log(scale) - log_det) + 0.5 * right @ mean
    left = (after_v**-1 - p, after_m / after_v - h, [(*site, *marginal) for site, marginal in zip(sites, marginals)])
    return mean, covariance, left, evidence, sweep


def heights(problem, visits, classes, rows):
    known, seen = [], []
    for visit, kinds in zip(visits, classes):
        at = np.array(visit["at"])
        start = min(known, key=lambda one: np.sum((one[0] - at) ** 2))[1] if known else None
        found = posterior(problem, visit, start, kinds) or posterior(problem, visit, None, kinds)
        if found is None:
            continue
        known.append((at, found[2]))
        if visit["weight"] > 0:
            seen.append((visit["weight"], found[0], found[1]))
    value, square = 0, 0
    for weight, mean, covariance in seen:
        at = rows @ mean
        value = value + weight * at
        square = square + weight * (np.einsum("in,in->i", rows @ covariance, rows) + at * at)
    return value, np.sqrt(np.maximum(0, square - value**2))


def main():
    given = json.load(sys.stdin)
    rows = rows_matrix(given["heights"], given["size"])
    times = []
    for _ in range(given["repeats"] + 1):
        cpu, wall = time.process_time(), time.perf_counter()
        problem = Problem(given)
        classes = [[prepared(kinds) for kinds in visit["classes"]] for visit in given["visits"]]
        value, u = heights(problem, given["visits"], classes, rows)
        times.append((1000 * (time.process_time() - cpu), 1000 * (time.perf_counter() - wall)))
    cpu, wall = (np.sort(np.array(times[1:])[:, k]) for k in (0, 1))
    mean, known = np.array(given["mean"]), np.array(given["u"])
    read = known > 1e-6
    print(json.dumps({
        "numpy": np.__version__, "scipy": scipy.__version__, "repeats": given["repeats"],
        "cpuMs": {"median": float(np.median(cpu)), "least": float(cpu[0])}, "wallMs": {"median": float(np.median(wall)), "least": float(wall[0])},
        "mostShift": float(np.max(np.abs(value - mean)[read] / known[read])), "mostOfU": float(np.max(np.abs(u[read] / known[read] - 1))),
    }))


main()
