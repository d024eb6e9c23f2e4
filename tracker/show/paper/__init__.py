"""What is printed and filled in by pencil: the form for the barn door, and the measuring sheet for a trim."""
