"""Numerics without trade words: plain arrays in, plain arrays out, each usable by itself."""
