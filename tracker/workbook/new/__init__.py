"""Workbooks that we make ourselves."""
