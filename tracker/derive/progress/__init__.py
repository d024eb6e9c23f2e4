"""How one way of looking went on since the shoes came off: by month, by slope, around each trim."""
