"""How likely it is that a horse is getting worse, from its scores up to that day."""
