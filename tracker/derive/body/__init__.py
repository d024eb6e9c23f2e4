"""A horse's body: weight, condition, crest, and its vital signs beside published and its own usual values."""
