"""The copy of a workbook in which the cells with a problem are coloured and noted."""
