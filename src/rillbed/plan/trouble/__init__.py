"""A way through trouble: from any partial set of facts to ordered findings, actions, refusals and one question."""

from rillbed.plan.trouble.answer import Do, Found, NextTest, Question, Refused, Triage
from rillbed.plan.trouble.short import Case, case_of
from rillbed.plan.trouble.triage import triage

__all__ = ["Case", "Do", "Found", "NextTest", "Question", "Refused", "Triage", "case_of", "triage"]
