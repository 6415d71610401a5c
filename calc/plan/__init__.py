"""Changes that are tried on a whole design: fixes found."""
