"""One file a page: its path, and `layout`, which makes the page's parts from what the book says."""
