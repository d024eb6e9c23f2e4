"""Sheets as typed to checked tables and the problems found on the way."""
