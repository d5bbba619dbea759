"""Readings of a plan: drawings, book, workbook, machine-readable results."""
