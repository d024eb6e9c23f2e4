"""Formats that are read and never written."""
