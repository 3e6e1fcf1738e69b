"""The frozen records that the tables of facts are made of."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed.facts.climate import Month as Month
from rillbed.facts.climate import Town as Town
from rillbed.facts.figures import Fact as Fact
from rillbed.facts.jobs import UpkeepJob as UpkeepJob
from rillbed.facts.living import Crop as Crop
from rillbed.facts.living import Species as Species
from rillbed.facts.loops import FeedRateBand as FeedRateBand
from rillbed.facts.loops import KitKind as KitKind
from rillbed.facts.loops import Medium as Medium
from rillbed.facts.loops import Prior as Prior
from rillbed.facts.loops import WaterLimit as WaterLimit
from rillbed.facts.supplies import AmmoniaSource as AmmoniaSource
from rillbed.facts.supplies import ElementFraction as ElementFraction
from rillbed.facts.supplies import Feed as Feed
from rillbed.facts.supplies import Supplement as Supplement


@dataclass(frozen=True, slots=True)
class Source:
    """A published work that figures are taken from; an undated page has no year.

    `terms` are those of a data set that is carried as a whole.
    """

    key: str
    title: str
    author: str
    year: int | None = None
    doi: str = ""
    terms: str = ""
