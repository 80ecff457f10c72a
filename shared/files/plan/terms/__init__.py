"""What a plan file says of yards: orders, carried pieces, changed sections, money apart."""
