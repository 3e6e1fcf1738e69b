"""Names of fields as people read them: the unit at the end of a field name is set apart."""

from __future__ import annotations

# Longest first where one ends with another.
UNITS = {
    "_mg_kg_dm": "mg/kg of dry matter",
    "_mg_kg_h": "mg/kg/h",
    "_g_m3_day": "g/m³/day",
    "_g_m2_day": "g/m²/day",
    "_g_m2_d_mean": "g/m²/day",
    "_g_m2_per_crop": "g/m² a crop",
    "_kg_fresh_m2_per_crop": "kg fresh/m² a crop",
    "_g_fresh_per_plant_per_harvest": "g fresh a plant and harvest",
    "_mol_m2_d": "mol/m²/day",
    "_plants_m2": "plants/m²",
    "_meq_l": "meq/L",
    "_mg_l": "mg/L",
    "_kg_m3": "kg/m³",
    "_ms_cm": "mS/cm",
    "_g_ml": "g/mL",
    "_m2_m3": "m²/m³",
    "_pct_dm": "% of dry matter",
    "_pct": "%",
    "_degc": "°C",
    "_deg": "°",
    "_days": "days",
    "_minutes": "min",
    "_per1000": "per 1000",
    "_kpa": "kPa",
    "_mm": "mm",
    "_cm": "cm",
    "_ms": "m/s",
    "_m2": "m²",
    "_m3": "m³",
    "_kg": "kg",
    "_ml": "mL",
    "_c": "°C",
    "_d": "days",
    "_g": "g",
    "_l": "L",
    "_m": "m",
}
SHORT = {"ph": "pH", "ec": "EC", "tan": "TAN", "dli": "DLI", "fcr": "FCR", "tgc": "TGC", "nft": "NFT", "dwc": "DWC"}
ELEMENTS = {"n": "N", "p": "P", "k": "K", "ca": "Ca", "mg": "Mg", "fe": "Fe", "s": "S", "na": "Na", "cl": "Cl"}


def field_name(name: str) -> tuple[str, str]:
    """Split a field name into words and unit.

    Examples
    --------
    >>> field_name("temp_opt_min_c"), field_name("n_pct_dm"), field_name("fcr_typical")
    (('temp opt min', '°C'), ('N', '% of dry matter'), ('FCR typical', ''))
    """
    for ending, unit in UNITS.items():
        if name.endswith(ending) and len(name) > len(ending):
            return words(name.removesuffix(ending)), unit
    return words(name), ""


def words(name: str) -> str:
    """Write an identifier as words, with elements and abbreviations in their usual letters."""
    parts = name.replace(".", "_").split("_")
    head = ELEMENTS.get(parts[0], SHORT.get(parts[0], parts[0]))
    return " ".join([head, *(SHORT.get(part, part) for part in parts[1:])])


def value(given: object) -> str:
    """Write a figure as in its table; ranges over many rows as lowest to highest."""
    if isinstance(given, bool):
        return "yes" if given else "no"
    if isinstance(given, float):
        return f"{given:.6g}".replace("-", "\u2212")
    if isinstance(given, int):
        return f"{given}".replace("-", "\u2212")
    return " ".join(str(given).split())
