"""What compiling the elimination of the screen would win: `python -m tests.bench.compiled`, where numba is installed.

The same operations in the same order as `bracing.layout.screen.brace_forces`, so that the bytes are the same.
"""

from __future__ import annotations

import os
import time

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from bracing.layout.screen import SINGULAR, brace_forces
from tests.bench.layouts import least_time

BRACES, MOTIONS, CASES, LAYOUTS = 8, 2, 10, 384


def eliminated(flexibility, motions, give, under, work):
    """What `brace_forces` does with gaps, in loops a compiler can take; the innermost goes over the block."""
    n, m, count = motions.shape
    cases = under.shape[1]
    size = n + m
    start = size + cases
    w, held = np.zeros((size, start + n, count)), np.ones(count, dtype=np.bool_)
    w[:n, :n] = flexibility
    for i in range(n):
        w[i, i] += give[i]
        w[i, n:size] = -motions[i]
        w[i, size:start] = under[i]
        w[i, start + i] = 1.0
        for j in range(m):
            w[n + j, i] = -motions[i, j]
    for j in range(m):
        for k in range(cases):
            w[n + j, size + k] = -work[k, j]
    top, pivot = np.zeros(count), np.empty(count)
    for i in range(n):
        for q in range(count):
            top[q] = max(top[q], abs(w[i, i, q]))
    for p in range(size):
        for q in range(count):
            pivot[q] = w[p, p, q]
            if p >= n and abs(pivot[q]) < SINGULAR / top[q]:
                held[q], pivot[q] = False, -1.0
        stop = start + min(p + 1, n)
        for k in range(p + 1, stop):
            for q in range(count):
                w[p, k, q] = w[p, k, q] / pivot[q]
        for i in range(p + 1, size):
            for k in range(p + 1, stop):
                for q in range(count):
                    w[i, k, q] -= w[i, p, q] * w[p, k, q]
    for p in range(size - 2, -1, -1):
        for k in range(size, start + n):
            total = np.zeros(count)
            for i in range(p + 1, size):
                for q in range(count):
                    total[q] += w[p, i, q] * w[i, k, q]
            for q in range(count):
                w[p, k, q] -= total[q]
    return w[:n, size:start], w[:n, start:], held


def main():
    """Compare both, if there is a compiler."""
    began = time.process_time()
    try:
        import numba
    except ImportError:
        print("numba is not installed")
        return
    loaded = time.process_time() - began
    draw = np.random.default_rng(1)
    some = draw.normal(size=(BRACES, BRACES, LAYOUTS))
    given = (
        np.einsum("ijb,kjb->ikb", some, some) * 1e-3, draw.normal(size=(BRACES, MOTIONS, LAYOUTS)),
        draw.uniform(1e-4, 1e-3, size=(BRACES, LAYOUTS)), draw.normal(size=(BRACES, CASES, LAYOUTS)),
        draw.normal(size=(CASES, MOTIONS)),
    )  # fmt: skip
    began = time.process_time()
    compiled = numba.njit(error_model="numpy")(eliminated)
    found = compiled(*given)
    took = time.process_time() - began
    plain = brace_forces(*given[:3], under=given[3], work=given[4])
    same = all(np.array_equal(one, two) for one, two in zip(found, plain, strict=True))
    slow = least_time(lambda: brace_forces(*given[:3], under=given[3], work=given[4]))
    fast = least_time(lambda: compiled(*given))
    print(
        f"loads in {loaded:.2f} s, compiles in {took:.1f} s, the same bytes: {same}; numpy {1e6 * slow / LAYOUTS:.2f}, "
        f"compiled {1e6 * fast / LAYOUTS:.2f} us a layout, {slow / fast:.1f} times"
    )


if __name__ == "__main__":
    main()
