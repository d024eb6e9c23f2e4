"""Plain statistics of a few values: a robust slope, whether it is more than chance, how two people agree."""
