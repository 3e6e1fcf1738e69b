"""Draw the members: one log-normal value per parameter, each member's own stream.

A draw depends on (seed, parameter name, member number) only, so neither the number of members, nor the chunk a
member is computed in, nor a new parameter changes anybody's values.
"""

import hashlib
from collections.abc import Mapping

import numpy as np
from scipy.special import ndtri

from rillbed import facts
from rillbed.engine.inputs import Number
from rillbed.engine.result import Array
from rillbed.engine.version import MODEL_VERSION

ATTEMPTS = 12


def loop_seed(name: str, started_on: str) -> int:
    """Seed of a loop: its name and start and the model version, never its log."""
    text = f"{name}\x1f{started_on}\x1f{MODEL_VERSION}"
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")


def normals(seed: int, name: str, members: int, first: int = 0) -> Array:
    """Draw a standard normal per member, from a counter-based stream of this parameter."""
    key = hashlib.sha256(f"{seed}\x1f{name}".encode()).digest()[:16]
    bits = np.random.Philox(key=int.from_bytes(key, "big"))
    uniform = np.random.Generator(bits).random(first + members)[first:]
    result: Array = ndtri(np.clip(uniform, 1e-12, 1.0 - 1e-12))
    return result


def draw(
    table: Mapping[str, tuple[Number, Number]], seed: int, members: int, first: int = 0, centre: bool = False
) -> dict[str, Array]:
    """Values of every parameter in `table` (name to median, ln-sd) for members `first` to `first + members`.

    Median and ln-sd are one figure or one per member. With `centre` every member is the median one.
    """

    def one(name: str, z: Array) -> Array:
        median, sd = table[name]
        return np.asarray(median * np.exp(sd * z))

    zero = np.zeros(members)
    pair, most = facts.value("nitrifier.growth_correlation"), facts.value("nitrifier.decay_share_most")
    result = {n: one(n, zero if centre else normals(seed, n, members, first)) for n in table}
    if centre or "mu_a" not in table:
        return result
    pending = np.ones(members, bool)
    for attempt in range(ATTEMPTS):
        za, zn, zb = (normals(seed, f"{n}#{attempt}", members, first) for n in ("mu_a", "mu_n", "decay"))
        trial = {
            "mu_a": one("mu_a", za),
            "mu_n": one("mu_n", pair * za + np.sqrt(1.0 - pair**2) * zn),
            "decay": one("decay", zb),
        }
        for name, value in trial.items():
            result[name] = np.where(pending, value, result[name])
        pending &= trial["decay"] > most * np.minimum(trial["mu_a"], trial["mu_n"])
        if not pending.any():
            break
    return result
