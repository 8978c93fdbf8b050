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

LEAST_PRECISION, BEYOND_CLASSES = 1 / 0.1**2, 0.035
FIRST_SHARE, LEAST_SHARE, SWINGING, GOING_ON, MOST_SWEEPS = 1.0, 0.05, 0.8, 1.05, 60


def rows_matrix(rows, size):
    matrix = np.zeros((len(rows), size))
    for at, row in enumerate(rows):
        np.add.at(matrix[at], row["index"], row["coefficient"])
    return matrix


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
        self.frets = np.stack([rows_matrix(fret, self.size) for fret in given["frets"]])
        self.flat_frets = self.frets.reshape(-1, self.size)
        self.base = 1 / given["baseSd"] ** 2
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


def fret_moments(classes, base, precision, shift):
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


def kept_proper(after, mean, precision, shift, base, centres):
    """As keepProper.ts: base and site of a fret stay a distribution that a fret could have."""
    size = mean.shape[1]
    pull = np.einsum("kij,kj->ki", precision, mean) - base * mean - shift
    values, vectors = np.linalg.eigh(after - precision + base * np.eye(size))
    along_pull, along_mean = np.einsum("kij,ki->kj", vectors, pull), np.einsum("kij,ki->kj", vectors, mean)
    along_centres = np.einsum("kij,ci->ckj", vectors, centres)
    limit = np.where(along_pull > 0, along_centres.max(axis=0) + BEYOND_CLASSES, along_centres.min(axis=0) - BEYOND_CLASSES)
    raised = np.maximum(np.maximum(LEAST_PRECISION, along_pull / (limit - along_mean)), values) - values
    return after + np.einsum("kij,kj,klj->kil", vectors, raised, vectors)


def prepared(classes, size):
    made = []
    for one in classes:
        precision, mean = np.array(one["precision"]).reshape(size, size), np.array(one["mean"])
        pull = precision @ mean
        made.append({"mean": mean, "precision": precision, "pull": pull, "constant": np.log(one["weight"]) + 0.5 * (one["logPrecision"] - pull @ mean)})
    return made


def posterior(problem, visit, start, classes):
    lines = problem.frets.shape[1]
    scale = 1 / visit["roughnessMm"] ** 2
    prior = problem.fixed_with_read + scale * problem.rough
    frets = problem.frets
    if start is None:
        width = problem.high - problem.low
        bounded = width < 1e6
        tau = np.where(bounded, 1 / (width**2 / 12 + problem.s**2), 0)
        nu = np.where(bounded, tau * (problem.low + problem.high) / 2, 0)
        lam = np.repeat((classes[0]["precision"] - problem.base * np.eye(lines))[None], len(frets), axis=0)
        eta = np.zeros((len(frets), lines))
    else:
        tau, nu, lam, eta = (part.copy() for part in start)
    centres = np.stack([one["mean"] for one in classes])
    share, share_frets = np.full(len(tau), FIRST_SHARE), np.full(len(eta), FIRST_SHARE)
    last, last_frets = np.zeros_like(nu), np.zeros_like(eta)
    before = None
    for sweep in range(1, MOST_SWEEPS + 1):
        for _ in range(8):
            matrix = prior + problem.rows.T @ (tau[:, None] * problem.rows)
            matrix += problem.flat_frets.T @ np.einsum("kij,kjn->kin", lam, frets).reshape(-1, problem.size)
            factor, failed = dpotrf(matrix, lower=1)
            if not failed or before is None:
                break
            tau, nu, lam, eta = ((old + new) / 2 for old, new in zip(before, (tau, nu, lam, eta)))
        if failed:
            return None
        inverse, _ = dpotri(factor, lower=1)
        covariance = np.tril(inverse) + np.tril(inverse, -1).T
        mean = covariance @ (problem.right + problem.rows.T @ nu + np.einsum("kin,ki->n", frets, eta))
        v = np.einsum("in,in->i", problem.rows @ covariance, problem.rows)
        m = problem.rows @ mean
        vf = np.einsum("kin,kjn->kij", (problem.flat_frets @ covariance).reshape(frets.shape), frets)
        mf = frets @ mean
        inverse_f = np.linalg.inv(vf)
        p, h = np.maximum(1 / v - tau, 1e-3), m / v - nu
        log_z, after_m, after_v = interval_moments(problem.low, problem.high, problem.s, p, h)
        pf, hf = inverse_f - lam, np.einsum("kij,kj->ki", inverse_f, mf) - eta
        log_zf, after_mf, after_vf = fret_moments(classes, problem.base, pf, hf)
        inverse_after = kept_proper(np.linalg.inv(after_vf), after_mf, pf, hf, problem.base, centres)
        moves = max(np.max(np.abs(after_m - m) / np.sqrt(v)), np.max(np.abs(np.log(after_v / v))))
        pull = np.einsum("kij,kj->ki", inverse_after, after_mf)
        diag_v = np.einsum("kii->ki", vf)
        moved = pull - np.einsum("kij,kj->ki", inverse_f, mf) - np.einsum("kij,kj->ki", inverse_after - inverse_f, mf)
        moves = max(moves, np.max(np.abs(moved) * np.sqrt(diag_v)), np.max(np.abs(np.einsum("kii->ki", inverse_after - inverse_f)) * diag_v))
        if moves < visit["settledAt"]:
            break
        step, step_frets = after_m / after_v - h - nu, pull - hf - eta
        share = np.where(step * last < 0, np.maximum(LEAST_SHARE, SWINGING * share), np.minimum(1, GOING_ON * share))
        share_frets = np.where(np.sum(step_frets * last_frets, axis=1) < 0, np.maximum(LEAST_SHARE, SWINGING * share_frets), np.minimum(1, GOING_ON * share_frets))
        last, last_frets, before = step, step_frets, (tau, nu, lam, eta)
        tau, nu = tau + share * (1 / after_v - p - tau), nu + share * step
        lam, eta = lam + share_frets[:, None, None] * (inverse_after - pf - lam), eta + share_frets[:, None] * step_frets
    log_det = 2 * np.sum(np.log(np.diag(factor)))
    log_normal = 0.5 * (np.log(p * v) + m * m / v - h * h / p)
    normal_frets = 0.5 * (lines * np.log(2 * np.pi) + np.linalg.slogdet(vf)[1] + np.einsum("ki,kij,kj->k", mf, inverse_f, mf))
    evidence = problem.read_constant + np.sum(log_z - log_normal) + np.sum(log_zf - normal_frets)
    right = problem.right + problem.rows.T @ nu + np.einsum("kin,ki->n", frets, eta)
    evidence += 0.5 * (problem.log_prior + problem.rough_rank * np.log(scale) - log_det) + 0.5 * right @ mean
    return mean, covariance, (tau, nu, lam, eta), evidence, sweep


def heights(problem, visits, classes, rows):
    known, seen = [], []
    for visit, kinds in zip(visits, classes):
        at = np.array(visit["at"])
        start = min(known, key=lambda one: np.sum((one[0] - at) ** 2))[1] if known else None
        found = posterior(problem, visit, start, kinds) or posterior(problem, visit, None, kinds)
        if found is None:
            continue
        known.append((at, found[2]))
        if visit["weighed"]:
            seen.append((found[3] - 0.5 * at @ at, found[0], found[1]))
    logs = np.array([log for log, _, _ in seen])
    weights = np.where(logs > logs.max() + np.log(0.02), np.exp(logs - logs.max()), 0)
    weights /= weights.sum()
    value, square = 0, 0
    for weight, (_, mean, covariance) in zip(weights, seen):
        if weight == 0:
            continue
        at = rows @ mean
        value = value + weight * at
        square = square + weight * (np.einsum("in,in->i", rows @ covariance, rows) + at * at)
    return value, np.sqrt(np.maximum(0, square - value**2))


def main():
    given = json.load(sys.stdin)
    rows = rows_matrix(given["heights"], given["size"])
    lines = len(given["frets"][0])
    times = []
    for _ in range(given["repeats"] + 1):
        cpu, wall = time.process_time(), time.perf_counter()
        problem = Problem(given)
        classes = [prepared(visit["classes"], lines) for visit in given["visits"]]
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
