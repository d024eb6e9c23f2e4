"""A whole book as plain tables, for other programs: what was typed, what was read of it, what follows from it."""
