"""The take-off as tables, CSV, JSON, workbook and pictures."""
