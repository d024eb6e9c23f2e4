"""Checked tables to quantities: plain functions that never see a raw cell."""
