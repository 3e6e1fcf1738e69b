"""diffrax on the same right-hand side, compiled for all members at once; timed where it is installed.

It is in no lock: ``pip install diffrax`` beside the project, then ``python -m benchmarks.peers``.
"""

from __future__ import annotations

import types
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
from benchmarks import peers
from benchmarks.engine import PILOT, SHORT, YEAR, play

from rillbed.engine.hourly import BENCH_FROM_H
from rillbed.engine.pools import Step
from rillbed.engine.result import Array
from rillbed.engine.simulate import Run

MEMBERS = 100  # of the timed run


@cache
def on_jax(work: Callable[..., Any]) -> Callable[..., Any]:
    """Give the same code, with what it calls, for arrays of jax."""
    import jax.numpy as jnp

    known = dict(work.__globals__)
    for name in work.__code__.co_names:
        thing = known.get(name)
        if thing is np:
            known[name] = jnp
        elif thing is peers.benched:
            known[name] = benched
        elif isinstance(thing, types.FunctionType):
            known[name] = on_jax(thing)
    return types.FunctionType(work.__code__, known, work.__name__, work.__defaults__, work.__closure__)


def benched(h: Any, co2: Any, alk: Any, tan: Any, p: Any, k: Step) -> Any:
    """Do the work of `peers.benched` without a branch: all members go through as one."""
    import jax.numpy as jnp

    full = on_jax(peers.polished)(h, co2, alk, tan, p, k.k1, k.rho, k.gamma1, k.kw, k.ka_nh3, k.ka_po4)
    return jnp.where(h < BENCH_FROM_H, full, h)


@cache
def solver() -> Callable[..., Any]:
    """Compile Tsit5 for all members, once for all tolerances; Kvaerno5 was still compiling after four minutes."""
    import diffrax
    import jax
    import jax.numpy as jnp

    jax.config.update("jax_enable_x64", True)
    slopes = on_jax(peers.slopes)

    def slope(_: Any, z: Any, told: Any) -> Any:
        c, d, p, h = told
        return jnp.stack(slopes(z, Step._make(c), d, p, h))

    def one(z: Any, c: Any, d: Any, p: Any, h: Any, a: Any, b: Any, tol: Any) -> Any:
        found = diffrax.diffeqsolve(
            diffrax.ODETerm(slope), diffrax.Tsit5(), a, b, None, z, (c, d, p, h),
            stepsize_controller=diffrax.PIDController(rtol=tol, atol=tol), max_steps=100_000, throw=False,
        )  # fmt: skip
        return found.ys[-1]

    return jax.jit(jax.vmap(one, in_axes=(0, 0, 0, 0, 0, None, None, None)))  # type: ignore[no-any-return]


class Peer(peers.Peer):
    """A run whose hours diffrax does."""

    def between(self, *given: Any) -> Array:
        """Take all members at once."""
        return np.asarray(solver()(*given, self.tol))


def run_by(tol: float) -> tuple[list[Run], float]:
    """Give some members one by one, and the seconds of a member-year of many at once."""
    kind = type("One", (Peer,), {"tol": tol, "spent": 0.0})
    with np.errstate(all="ignore"):
        runs = [play(kind, 1, SHORT, first)[0] for first in range(PILOT)]
        play(kind, MEMBERS, 1)  # compiles
        kind.spent = 0.0
        play(kind, MEMBERS, SHORT)
    return runs, kind.spent / MEMBERS * YEAR / SHORT
