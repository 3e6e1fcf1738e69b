"""What the user has and what happened: types, file formats and the fold over the log."""
