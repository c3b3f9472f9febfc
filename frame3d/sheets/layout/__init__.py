"""Sheets: views scaled, broken and placed, borders, tables of words."""
