"""What a line says beside its part or stick: prices by quantity, substitutes, its yard."""
