"""What is to be built and what was measured: frozen dataclasses in SI. No file, no screen, no computation beyond sums."""
