"""When the water is needed, and whether it will be there. All dates are here."""
