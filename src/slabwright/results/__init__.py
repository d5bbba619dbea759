"""The small vocabulary every study speaks: checks, quantities, drawings, tables. No study, no file, no screen."""
