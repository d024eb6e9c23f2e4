"""One typed cell to a value or a note about it."""
