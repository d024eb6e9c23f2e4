"""The photographs beside a workbook: judged by their bytes, kept as they are, shown without what they tell."""
