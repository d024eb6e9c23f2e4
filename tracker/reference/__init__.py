"""Every number that we did not measure ourselves: its unit, its source, and how sure it is."""
