"""What to buy: the cheapest sticks or orders that everything learned so far allows."""
