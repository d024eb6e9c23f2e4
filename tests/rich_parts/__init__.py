"""What the rich workbooks of the tests are made of."""
