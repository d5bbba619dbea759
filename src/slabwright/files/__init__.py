"""Files a person brings: read into the model with every mistake reported at once, written back unharmed."""
