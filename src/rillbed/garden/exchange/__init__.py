"""A loop to take along: a zip with its set-up, a table for each kind of entry and a readme; read with distrust."""
