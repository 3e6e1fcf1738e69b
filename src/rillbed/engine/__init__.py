"""How a loop evolves: one stoichiometric table, an hourly and a daily step, the ledger."""
