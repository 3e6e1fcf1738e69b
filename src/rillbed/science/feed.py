"""Where feed goes: every element of it ends in fish, in faeces, uneaten, or dissolved, and the four sum to the feed.

Nitrogen is closed once. What fish keep follows from how much they gain, faeces and leftovers from their shares, and
what dissolves is the rest; a factor per gram of feed is only used to size a filter on the safe side.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import value
from rillbed.science.arrays import Array, array, clipped, plain
from rillbed.science.checks import AMOUNT, ANY, POSITIVE, SHARE, Range, checked

N_OF_PROTEIN = value("feed.n_of_protein")
"""Nitrogen in crude protein, by the definition of crude protein (N times 6.25)."""

FISH_N = value("feed.fish_n")
"""Nitrogen in whole wet fish, a share."""

MOST_KEPT = value("feed.most_kept")
"""Most of the digested nitrogen fish can keep."""

SIZING_TAN_PER_PROTEIN = value("feed.tan_per_protein")
"""Ammonia-N per gram of feed protein for sizing, the upper end of what mass balances give."""

USUAL_UNEATEN = value("feed.usual_uneaten")
"""Share left uneaten that is contained in published shares to solids."""


@dataclass(frozen=True, slots=True)
class Fate:
    """Grams of one element of the feed by where they go; the four sum to `given`."""

    retained: Array
    faecal: Array
    uneaten: Array
    dissolved: Array

    @property
    def solids(self) -> Array:
        """What stays as particles: faeces and leftovers."""
        return plain(self.faecal + self.uneaten)

    @property
    def given(self) -> Array:
        """What the feed brought."""
        return plain(self.retained + self.faecal + self.uneaten + self.dissolved)


@checked(feed_g=AMOUNT, protein_share=SHARE)
def nitrogen_g(feed_g: ArrayLike, protein_share: ArrayLike) -> Array:
    """Return the nitrogen in feed, g; `protein_share` is crude protein over feed as fed, 0 to 1.

    Examples
    --------
    >>> round(float(nitrogen_g(1000.0, 0.32)), 1)
    51.2
    """
    return plain(array(feed_g) * array(protein_share) * N_OF_PROTEIN)


@checked(fcr=POSITIVE, protein_share=Range(0.0, 1.0, above=True), fish_n=SHARE)
def retained_share(fcr: ArrayLike, protein_share: ArrayLike, fish_n: ArrayLike = FISH_N) -> Array:
    """Return the share of feed nitrogen that ends in fish, from the feed conversion ratio.

    Parameters
    ----------
    fcr : array_like
        Feed given per gain, > 0.
    protein_share : array_like
        Crude protein over feed, 0 to 1.
    fish_n : array_like
        Nitrogen in wet fish, a share, 0.022 to 0.029.

    Notes
    -----
    Derived: nitrogen of the gain over nitrogen of the feed (protein holds 16 %).

    Examples
    --------
    >>> round(float(retained_share(1.5, 0.32)), 3)
    0.319
    """
    return plain(array(fish_n) / array(fcr) / nitrogen_g.inner(1.0, protein_share))


@checked(given_g=AMOUNT, gain_g=ANY, uneaten_share=SHARE, faecal_share=SHARE, fish_n=SHARE)
def nitrogen_fate(
    given_g: ArrayLike, gain_g: ArrayLike, uneaten_share: ArrayLike, faecal_share: ArrayLike, fish_n: ArrayLike = FISH_N
) -> Fate:
    """Return where the nitrogen of a day's feed goes, g; what dissolves is what is left.

    Parameters
    ----------
    given_g : array_like
        Nitrogen in the feed given, g, >= 0.
    gain_g : array_like
        Gain of the fish it was given to, g wet; a loss is negative and dissolves.
    uneaten_share, faecal_share : array_like
        Shares of the feed given, each >= 0.
    fish_n : array_like
        Nitrogen in wet fish, a share.

    Notes
    -----
    Derived: balance of one day; shares are the caller's. Where the shares ask for more than there is, leftovers come
    before faeces and fish keep at most `MOST_KEPT` of what they digest, so no part but a loss of the fish is ever
    negative.

    Examples
    --------
    >>> fate = nitrogen_fate(51.2, 1000.0 / 1.5, 0.03, 0.12)
    >>> round(float(fate.retained), 1), round(float(fate.solids), 1), round(float(fate.dissolved), 1)
    (16.3, 7.7, 27.2)
    """
    given = array(given_g)
    uneaten = given * clipped(array(uneaten_share), 0.0, 1.0)
    faecal = np.minimum(given * array(faecal_share), given - uneaten)
    digested = given - uneaten - faecal
    retained = np.minimum(array(gain_g) * array(fish_n), MOST_KEPT * digested)
    return Fate(plain(retained), plain(faecal), plain(uneaten), plain(digested - retained))


@checked(given_g=AMOUNT, uneaten_share=SHARE)
def element_fate(
    given_g: ArrayLike, to_fish: ArrayLike, dissolved: ArrayLike, uneaten_share: ArrayLike = USUAL_UNEATEN
) -> Fate:
    """Return where an element of a day's feed goes, g, from its shares of the feed given.

    Parameters
    ----------
    given_g : array_like
        The element in the feed given, g, >= 0.
    to_fish, dissolved : array_like
        Its shares at the usual leftovers; with them they must not exceed 1, and faeces are the rest.
    uneaten_share : array_like
        Share of the feed left uneaten, 0 to 1.

    Raises
    ------
    ValueError
        If the shares sum to more than 1.

    Notes
    -----
    Derived: balance of one day; shares are the caller's.

    Examples
    --------
    >>> round(float(element_fate(12.0, 0.35, 0.20).dissolved), 3)
    2.4
    """
    fish, water = array(to_fish), array(dissolved)
    if np.any(fish < 0.0) or np.any(water < 0.0) or np.any(fish + water > 1.0 - USUAL_UNEATEN):
        raise ValueError(
            f"to_fish {fish} and dissolved {water}: must be at least 0 and sum to at most {1.0 - USUAL_UNEATEN}"
        )
    given = array(given_g)
    uneaten = given * clipped(array(uneaten_share), 0.0, 1.0)
    eaten = given - uneaten
    # published shares are of the feed given; of the feed eaten they are this much more
    per_eaten = eaten / (1.0 - USUAL_UNEATEN)
    retained, left = per_eaten * fish, per_eaten * water
    return Fate(plain(retained), plain(eaten - retained - left), plain(uneaten), plain(left))


@checked(feed_g_day=AMOUNT, protein_share=SHARE)
def sizing_tan_g_day(feed_g_day: ArrayLike, protein_share: ArrayLike) -> Array:
    """Return the ammonia-N a filter must be able to take, g/day: a safe upper end, never part of a balance.

    Source: the chain 0.16 N in protein x 0.80 assimilated x 0.80 excreted x 0.90 as ammonia of the aquaculture
    textbooks; mass balances of measured retention give 0.063 to 0.093.

    Examples
    --------
    >>> round(float(sizing_tan_g_day(1000.0, 0.32)), 1)
    29.4
    """
    return plain(array(feed_g_day) * array(protein_share) * SIZING_TAN_PER_PROTEIN)
