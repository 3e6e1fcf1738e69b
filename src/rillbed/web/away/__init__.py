"""Days away: holidays and school terms known ahead, and who feeds meanwhile."""
