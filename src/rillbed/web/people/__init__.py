"""Who may come in: one-time links, signing in and out."""
