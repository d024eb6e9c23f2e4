"""What the abscesses of one horse tell together: how long, how often, where again, and where the crack is now."""
