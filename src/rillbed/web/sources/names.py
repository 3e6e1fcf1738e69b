"""Names of fields as people read them: the unit at the end of a field name is set apart."""

from __future__ import annotations

import re

# Longest first where one ends with another.
UNITS = {
    "_mg_kg_dm": "mg/kg of dry matter",
    "_mj_m2_day": "MJ/m²/day",
    "_eq_per_g": "eq/g",
    "_per_day": "1/day",
    "_g_kg": "g/kg",
    "_g_l": "g/L",
    "_mg_kg_h": "mg/kg/h",
    "_mg_kg": "mg/kg",
    "_g_m3_day": "g/m³/day",
    "_g_m2_day": "g/m²/day",
    "_g_m2_d_mean": "g/m²/day",
    "_g_m2_per_crop": "g/m² a crop",
    "_kg_fresh_m2_per_crop": "kg fresh/m² a crop",
    "_g_fresh_per_plant_per_harvest": "g fresh a plant and harvest",
    "_mol_m2_day": "mol/m²/day",
    "_mol_m2_d": "mol/m²/day",
    "_m_s": "m/s",
    "_m2_m2": "m²/m²",
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
# Abbreviations of the tables -> words; the trade's own stay.
SHORT = {
    "ph": "pH", "ec": "EC", "tan": "TAN", "dli": "DLI", "fcr": "FCR", "tgc": "TGC", "nft": "NFT", "dwc": "DWC",
    "temp": "temperature", "t": "temperature", "min": "lowest", "max": "highest", "opt": "best", "do": "oxygen",
    "o2": "oxygen", "ref": "reference", "pctbwd": "% of body weight a day", "topt": "best temperature",
    "tmin": "lowest", "tmax": "highest", "tavg": "mean", "growout": "grow-out", "dm": "dry matter",
    "germ": "germination", "precip": "rain", "n": "N", "b": "exponent", "k": "K", "uk": "UK", "au": "Australian",
    "us": "US", "kc": "crop coefficient", "ini": "at first", "mid": "in the middle", "lw": "length and weight",
    "pka": "pKa", "rh": "humidity", "ghi": "sunlight", "nh3": "NH₃", "no2": "NO₂", "no3": "NO₃", "h": "hour",
    "sd": "deviation", "ln": "log", "et": "evapotranspiration", "crit": "critical", "lux": "luxury",
    "ca": "Ca", "mg": "Mg", "fe": "Fe", "p": "P", "s": "S", "pk": "pK", "kla": "kLa", "co2": "CO₂",
}  # fmt: skip
ELEMENTS = {"n": "N", "p": "P", "k": "K", "ca": "Ca", "mg": "Mg", "fe": "Fe", "s": "S", "na": "Na", "cl": "Cl"}
ELEMENTS |= {"mn": "Mn", "b": "B", "mo": "Mo", "zn": "Zn", "cu": "Cu", "no3": "NO₃", "so4": "SO₄"}
ELEMENTS |= {"h": "H", "c": "C", "o": "O"}
ION = re.compile(r"\b(NO₂|NO₃|SO₄) ([NS])\b")  # counted as its element
POWER = {"2": "²", "3": "³"}
# Groups of columns whose name says too little alone.
PARTS = {
    "lw": "length and weight", "ctmi": "growth by temperature", "o2": "oxygen use", "tgc": "growth by warmth",
    "fcr": "feed for each gram gained", "legal": "law and care", "ph_ec": "pH and EC", "kc": "water use",
    "temp": "temperature of the water", "air_temp": "temperature of the air", "cardinal": "limits of growth",
    "water": "limits of the water", "time": "days", "dli": "light", "density": "fish for each m³",
}  # fmt: skip
# Names that the rules below would garble.
NAMES = {
    "harvests_default_n": "harvests",
    "beginner_rank_1easy_5hard": "rank for beginners, 1 easy to 5 hard",
    "plants_low_m2": "plants/m², low",
    "plants_high_m2": "plants/m², high",
    "sun_h": "hours of sun",
    "signs": "seen, × as often",
    "water": "read, × as often",
    "past_its_days": "past its days",
    "within_its_days": "within its days",
    "names": "also called",
    "lw_a_g_cm": "a, in grams and centimetres",
    "lw_b": "b, the exponent",
    "o2_rest_a_mg_kg_h": "at rest: a, in mg/kg/h",
    "o2_rest_b_exponent": "at rest: b, the exponent of weight",
}


def field_name(name: str) -> tuple[str, str]:
    """Split a field name into words and unit.

    Examples
    --------
    >>> field_name("temp_opt_min_c"), field_name("n_pct_dm"), field_name("fcr_typical")
    (('temperature best lowest', '°C'), ('N', '% of dry matter'), ('FCR typical', ''))
    """
    if name in NAMES:
        return NAMES[name], ""
    for ending, unit in UNITS.items():
        if name.endswith(ending) and len(name) > len(ending):
            return words(name.removesuffix(ending)), unit
    return words(name), ""


def words(name: str) -> str:
    """Write an identifier as words, with elements and abbreviations in their usual letters."""
    parts = name.replace(".", "_").split("_")
    head = ELEMENTS.get(parts[0], SHORT.get(parts[0], parts[0]))
    return ION.sub(r"\1-\2", " ".join([head, *(SHORT.get(part, part) for part in parts[1:])]))


def value(given: object) -> str:
    """Write a figure as in its table; ranges over many rows as lowest to highest."""
    if isinstance(given, bool):
        return "yes" if given else "no"
    if isinstance(given, float):
        return f"{given:.6g}".replace("-", "\u2212")
    if isinstance(given, int):
        return f"{given}".replace("-", "\u2212")
    return readable(str(given)).replace("_", " ")


def readable(text: str) -> str:
    """Write the units of a note as elsewhere on the page.

    Examples
    --------
    >>> readable("250 umol/m2/s at 20 degC")
    '250 µmol/m²/s at 20 °C'
    """
    plain = " ".join(text.split()).replace("degC", "°C").replace("umol", "µmol")
    return re.sub(r"\b([cm]?m)([23])\b", lambda found: found[1] + POWER[found[2]], plain)


def part_name(group: str) -> str:
    """Name a group of columns.

    Examples
    --------
    >>> part_name("ctmi"), part_name("germination")
    ('growth by temperature', 'germination')
    """
    return PARTS.get(group, words(group))
