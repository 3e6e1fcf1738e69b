"""Why a run of the forecast ended, in the reader's language."""

from __future__ import annotations

import re

from rillbed.tongue import tr
from rillbed.words.numbers import say

CLOSED = re.compile(r"reached the horizon of (\d+) days with every balance closed")
OPEN = re.compile(r"reached the horizon of (\d+) days, but a balance is open by (\S+) of its turnover")


def ended(why: str) -> str:
    """Say why a run ended.

    Examples
    --------
    >>> ended("reached the horizon of 365 days with every balance closed")
    'reached the horizon of 365 days with every balance closed'
    """
    if found := CLOSED.fullmatch(why):
        return say("reached the horizon of {days} days with every balance closed", days=found[1])
    if found := OPEN.fullmatch(why):
        return say(
            "reached the horizon of {days} days, but a balance is open by {share} of its turnover",
            days=found[1],
            share=found[2],
        )
    return tr("stopped: a state is no longer a number") if why.startswith("stopped: a state") else why
