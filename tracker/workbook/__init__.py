"""The only door to spreadsheet files: the gate, the reader, the blank workbook."""
