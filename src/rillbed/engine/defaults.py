"""Median and spread of every sampled parameter for one kind of loop, from the table of parameters."""

from rillbed import facts
from rillbed.engine.inputs import Number

SEEDS = {"none": "cap_a0_tap", "pond": "cap_a0_pond", "mature": "cap_a0_mature"}
VARIANTS = (
    "cap_a0_",
    "kla_o2_",
    "coupled_share_raft",
    "k_denit_raft",
    "kit_bias",
)  # rows picked from, or used elsewhere


def spread(seeding: str, aeration: str, media: bool, cap_max: Number) -> dict[str, tuple[Number, Number]]:
    """Give median and ln-sd by name.

    Parameters
    ----------
    seeding, aeration : str
        As in a System.
    media : bool
        Whether solids stay in media beds; otherwise they are taken out daily.
    cap_max : float
        Capacity the surfaces can carry, g/m3/day.
    """
    rows = facts.priors()
    table: dict[str, tuple[Number, Number]] = {
        name: (row.median, row.ln_sd) for name, row in rows.items() if not name.startswith(VARIANTS)
    }

    def of(name: str) -> tuple[float, float]:
        return rows[name].median, rows[name].ln_sd

    table["cap_a0"] = of(SEEDS[seeding])
    table["kla_o2"] = of(f"kla_o2_{aeration}")
    if not media:
        table["coupled_share"], table["k_denit"] = of("coupled_share_raft"), of("k_denit_raft")
    table["cap_max"] = (cap_max, rows["cap_max"].ln_sd)
    # nitrogen contents are those of the crop; members only differ by a factor
    table["n_crit"], table["n_lux"] = (1.0, rows["n_crit_pct"].ln_sd), (1.0, rows["n_lux_pct"].ln_sd)
    return table
