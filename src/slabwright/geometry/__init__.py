"""The shape of the concrete: depth field, solid, sections, take-off."""
