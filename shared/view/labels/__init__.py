"""Labels for parts, drops and bars."""
