"""A book as shapes, words, charts and JSON. Nothing here decides anything."""
