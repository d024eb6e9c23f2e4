"""A workbook given out as a folder of plain tables, and read back from it cell for cell."""
