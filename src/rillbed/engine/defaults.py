"""Spread of every sampled parameter: the table of facts where it has the key, the model's own choice elsewhere."""

from rillbed import facts

OWN: dict[str, tuple[float, float]] = {
    "mu_a": (0.60, 0.30), "mu_n": (0.54, 0.30), "theta_a": (1.10, 0.0), "theta_n": (1.063, 0.0), "decay": (0.06, 0.35),
    "cap_a0_tap": (0.004, 1.5), "cap_a0_pond": (0.03, 1.2), "cap_a0_mature": (0.5, 0.8), "cap_ratio": (0.3, 0.6),
    "k_tan": (0.6, 0.4), "k_no2": (0.8, 0.6), "alk_half_startup": (0.25, 0.5), "alk_half_mature": (0.1, 0.5),
    "ki_nh3": (1.5, 0.6), "uneaten": (0.03, 0.5), "faecal": (0.12, 0.3), "solids_share_media": (0.5, 0.4),
    "solids_share_raft": (0.15, 0.4), "solids_k": (0.10, 0.4), "organic_k": (0.15, 0.4), "coupled_share": (0.12, 0.5),
    "k_denit": (0.010, 0.7), "respiration": (0.7, 0.3), "kla_o2": (20.0, 0.6), "dm_gain": (1.0, 0.25),
    "et_factor": (1.0, 0.3), "tgc_factor": (1.0, 0.2), "fcr_factor": (1.0, 0.12), "fe_loss": (0.08, 0.7),
    "cap_max": (1.0, 0.4),
}  # fmt: skip
RELATIVE = ("dm_gain", "et_factor", "tgc_factor", "fcr_factor", "cap_max")  # multipliers: their median is 1 here
SEEDS = {"none": "cap_a0_tap", "pond": "cap_a0_pond", "mature": "cap_a0_mature"}
KLA_MEDIAN = {"stones": 9.0, "cascade": 20.0, "strong": 40.0}  # 1/day for about a cubic metre
RAFT_LOSS = {"coupled_share": 0.05, "k_denit": 0.004}  # solids removed daily


def spread(seeding: str, aeration: str, media: bool, cap_max: float) -> dict[str, tuple[float, float]]:
    """Median and ln-sd of every parameter for one kind of loop."""
    known = facts.priors() if hasattr(facts, "priors") else {}
    table = {
        name: (known[name].median, known[name].ln_sd) if name in known and name not in RELATIVE else own
        for name, own in OWN.items()
    }
    for name in RELATIVE:
        if name in known:
            table[name] = (1.0, known[name].ln_sd)
    seed = table[SEEDS[seeding]]
    table = {name: value for name, value in table.items() if not name.startswith("cap_a0")}
    table["cap_a0"] = seed
    table["kla_o2"] = (KLA_MEDIAN[aeration], table["kla_o2"][1])
    if not media:
        for name, median in RAFT_LOSS.items():
            table[name] = (median, table[name][1])
    table["cap_max"] = (cap_max, table["cap_max"][1])
    return table
