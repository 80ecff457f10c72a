"""Events of the shop in the store: each finds, changes, books and answers in one transaction."""
