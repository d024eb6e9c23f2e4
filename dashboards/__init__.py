"""The dashboard: one workbook in the browser, on this computer only."""
