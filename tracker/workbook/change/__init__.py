"""The lossless writer: what changes in a workbook, and how it is saved."""
