"""Labels for parts, drops and bars, and the sheets they are printed on."""
