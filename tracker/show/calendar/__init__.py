"""The days to come that a record names, as a calendar that other programs read (RFC 5545)."""
