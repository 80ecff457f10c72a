"""The buy list and the request for quotation."""
