"""What goes to a yard: the buy list and the request for quotation, as plain text and CSV."""

from shared.writers.letter.csv import buy_list_csv, request_csv
from shared.writers.letter.text import buy_list_text, request_text

__all__ = [
    "buy_list_csv",
    "buy_list_text",
    "request_csv",
    "request_text",
]
