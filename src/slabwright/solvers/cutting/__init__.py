"""Cutting and lapping: which pieces from which stock, proven as cheap as can be."""
