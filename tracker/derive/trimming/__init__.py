"""From one trim to the next: what each took away, what grew between them, and when the next is due."""
